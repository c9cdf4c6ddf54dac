// SPDX-License-Identifier: Apache-2.0
// A command's way to the process that has the data folder: HTTP through its socket.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <stop_token>
#include <string>
#include <string_view>

#include "measure/result.h"

namespace fairlead {

struct ClientAnswer {
  int status = 0;
  std::string body;
};

class Client {
 public:
  virtual ~Client() = default;
  // Errors: the process went away or does not answer within a minute.
  virtual Result<ClientAnswer> Get(const std::string& path) = 0;
  virtual Result<ClientAnswer> Post(const std::string& path, std::string_view json) = 0;
  // The file's bytes as the body; `progress` is told of bytes sent.
  virtual Result<ClientAnswer> PostFile(const std::string& path, const std::filesystem::path& file, std::stop_token stop,
                                        const std::function<void(std::uint64_t sent, std::uint64_t all)>& progress) = 0;
};

// Null if no process listens there.
std::unique_ptr<Client> Connect(const std::filesystem::path& folder);

}  // namespace fairlead
