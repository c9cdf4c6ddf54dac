// SPDX-License-Identifier: Apache-2.0
// Who may speak with the server. Any page in the operator's browser can send requests to loopback: the names in Host
// and Origin tell them apart (a foreign name that was made to resolve to 127.0.0.1 is still foreign), and a cookie that
// only the printed address hands out proves that this browser was let in by the person who started the program.
#pragma once

#include <cstdint>
#include <deque>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>

#include "front/server/http.h"

namespace fairlead {

class Guard {
 public:
  // The port is known once the server listens.
  void SetPort(std::uint16_t port);

  // The sentence that refuses this request, or nothing: Host must name loopback and the port; Origin, if sent, the same.
  // What comes through the socket in the data folder was let in by its file mode.
  std::optional<std::string> Foreign(const RequestHead& head) const;

  // True if the cookie is one that was handed out.
  bool Knows(const RequestHead& head) const;

  // A new one-use token for an address. The sixteen newest count.
  std::string NewStart();

  // The value of Set-Cookie for a token that was not used before; the token is used then.
  std::optional<std::string> Redeem(std::string_view token);

 private:
  std::uint16_t port_ = 0;
  mutable std::mutex mutex_;
  std::deque<std::string> starts_;   // guarded by mutex_
  std::deque<std::string> cookies_;  // guarded by mutex_
};

}  // namespace fairlead
