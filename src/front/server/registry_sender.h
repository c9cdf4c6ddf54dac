// SPDX-License-Identifier: Apache-2.0
// Sends what waits in the lab's own registry to the one that labs share, by itself and in a thread of its own: an entry
// never waits for it, a database that does not answer is asked again after ever longer pauses, and it can say how it stands.
#pragma once

#include <chrono>
#include <condition_variable>
#include <filesystem>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <thread>

#include "front/server/log.h"
#include "keeping/registry/registry_store.h"
#include "measure/instant.h"
#include "practice/audit/audit.h"
#include "practice/registry/registry.h"

namespace fairlead {

struct SenderSettings {
  std::filesystem::path folder;                  // where registry.sqlite is
  std::string address, lab;                      // postgresql://…, and this lab's name there
  std::chrono::milliseconds settle{2'000};       // entries of one burst leave together; chosen
  std::chrono::milliseconds first_pause{5'000};  // after a failure, doubled after each further one; chosen
  std::chrono::milliseconds longest_pause{300'000};
};

struct SenderState {
  std::string to, lab;                    // `to` without user and password
  std::int64_t waiting = 0;               // rows that wait in the lab's own registry
  std::size_t sent = 0;                   // since the program began
  std::optional<Instant> last_sent;       // when nothing waited any more
  std::optional<Instant> failing_since, next_try;
  std::string why;                        // of the last failure; empty while it works
};

class RegistrySender {
 public:
  using Rows = std::function<Result<Registry>()>;
  // `rows` is asked from the sender's thread; `log` outlives the sender. Errors: the lab's name or the address is none.
  static Result<std::unique_ptr<RegistrySender>> Of(SenderSettings settings, Rows rows, Log& log);
  ~RegistrySender();
  void Begin();
  void Wrote();                           // something may have changed; never waits for the database
  SenderState State() const;
  // The audit of this lab's rows as the shared registry holds them now. Errors: the database does not answer within seconds.
  Result<Audit> AuditThere(const Slice& slice) const;

 private:
  RegistrySender(SenderSettings settings, Rows rows, Log& log);
  void Send(const std::stop_token& stop);
  Status Round();
  void Note(const Status& done, std::chrono::milliseconds pause);

  SenderSettings settings_;
  Rows rows_;
  Log& log_;
  std::unique_ptr<RegistryStore> own_;    // of the sender's thread
  mutable std::mutex mutex_;
  std::condition_variable_any wake_;
  bool changed_ = true;                   // guarded by mutex_; at first there may be rows of earlier days
  SenderState state_;                     // guarded by mutex_
  std::jthread thread_;
};

// {"on": false}, or how the sender stands.
std::string SenderJson(const RegistrySender* sender);

}  // namespace fairlead
