// SPDX-License-Identifier: Apache-2.0
#include "front/server/guard.h"

#include <algorithm>
#include <array>

#include "front/server/random.h"

namespace fairlead {
namespace {

constexpr std::size_t kStarts = 16;    // chosen
constexpr std::size_t kCookies = 256;  // browsers let in; the oldest is forgotten; chosen
constexpr std::size_t kSecret = 32;    // bytes

// Takes the same time wherever the two differ.
bool Same(std::string_view a, std::string_view b) {
  if (a.size() != b.size()) return false;
  unsigned different = 0;
  for (std::size_t i = 0; i < a.size(); ++i) different |= static_cast<unsigned>(a[i] ^ b[i]);
  return different == 0;
}

// Value of the cookie `fairlead` in a Cookie header; empty if it is not there.
std::string_view OurCookie(std::string_view header) {
  static constexpr std::string_view kName = "fairlead=";
  while (!header.empty()) {
    while (header.starts_with(' ')) header.remove_prefix(1);
    const std::size_t end = std::min(header.find(';'), header.size());
    const std::string_view pair = header.substr(0, end);
    if (pair.starts_with(kName)) return pair.substr(kName.size());
    header.remove_prefix(std::min(end + 1, header.size()));
  }
  return {};
}

}  // namespace

void Guard::SetPort(std::uint16_t port) { port_ = port; }

std::optional<std::string> Guard::Foreign(const RequestHead& head) const {
  if (head.local) return std::nullopt;
  static constexpr std::array<std::string_view, 3> kLoopback = {"127.0.0.1", "localhost", "[::1]"};
  const std::string port = ":" + std::to_string(port_);
  const bool at_home = std::any_of(kLoopback.begin(), kLoopback.end(),
                                   [&](std::string_view name) { return head.host == std::string(name) + port; });
  if (!at_home) return "the request names another host than this computer";
  if (!head.origin.empty() && head.origin != "http://" + head.host) return "the request comes from another site's page";
  return std::nullopt;
}

bool Guard::Knows(const RequestHead& head) const {
  const std::string_view given = OurCookie(head.cookie);
  const std::lock_guard lock(mutex_);
  bool known = false;
  for (const std::string& cookie : cookies_) known |= Same(given, cookie);
  return known;
}

std::string Guard::NewStart() {
  std::string token = RandomHex(kSecret);
  const std::lock_guard lock(mutex_);
  starts_.push_back(token);
  if (starts_.size() > kStarts) starts_.pop_front();
  return token;
}

std::optional<std::string> Guard::Redeem(std::string_view token) {
  const std::lock_guard lock(mutex_);
  const auto at = std::find_if(starts_.begin(), starts_.end(), [&](const std::string& t) { return Same(t, token); });
  if (at == starts_.end()) return std::nullopt;
  starts_.erase(at);
  cookies_.push_back(RandomHex(kSecret));
  if (cookies_.size() > kCookies) cookies_.pop_front();
  return "fairlead=" + cookies_.back() + "; HttpOnly; SameSite=Strict; Path=/";
}

}  // namespace fairlead
