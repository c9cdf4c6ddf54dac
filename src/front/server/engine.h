// SPDX-License-Identifier: Apache-2.0
// One data folder, served: what `fairlead serve` and `fairlead demo` start.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>

#include "front/server/http.h"
#include "front/server/log.h"
#include "front/server/practice.h"
#include "measure/result.h"

namespace fairlead {

struct EngineSettings {
  std::filesystem::path folder;
  std::string address = "127.0.0.1";  // anything beyond loopback needs `tls` and at least one person
  TlsFiles tls{};
  std::uint16_t port = 8420;     // 0: any free one
  int ports_to_try = 20;
  std::filesystem::path web{};   // the page's files; empty: those built in
  std::string version{};
  bool stop_on_signals = false;
  ImageStoreSettings images{};
  std::chrono::milliseconds beat{2'000};
  std::chrono::milliseconds deadline{10'000};
  std::string outbox{}, outbox_lab{};  // the shared registry that rows are sent to, and this lab's name there
};

class Engine {
 public:
  virtual ~Engine() = default;
  virtual Practice& practice() = 0;
  virtual std::uint16_t port() const = 0;
  // "http://127.0.0.1:8420/?start=TOKEN", which lets one browser in, once; where passwords are asked for,
  // "https://lab-2.example:8420/".
  virtual std::string NewAddress() = 0;
  virtual void Run() = 0;                // until Stop or a signal
  virtual void Stop() = 0;
};

// Opens the folder and listens. `log` outlives the engine. Errors: another process has the folder; no port is free; the
// address is beyond loopback without a certificate or without people.
Result<std::unique_ptr<Engine>> OpenEngine(const EngineSettings& settings, Log& log);

// The socket through which commands speak to the process that has the folder.
std::filesystem::path SocketOf(const std::filesystem::path& folder);

}  // namespace fairlead
