// SPDX-License-Identifier: Apache-2.0
// A client that speaks bytes, so that it can also speak wrongly.
#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <chrono>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>

namespace fairlead::test {

class Wire {
 public:
  explicit Wire(std::uint16_t port) : fd_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    sockaddr_in place{};
    place.sin_family = AF_INET;
    place.sin_port = htons(port);
    place.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    connected_ = ::connect(fd_, reinterpret_cast<const sockaddr*>(&place), sizeof place) == 0;
  }
  Wire(Wire&& other) noexcept : fd_(std::exchange(other.fd_, -1)), connected_(other.connected_) {}
  Wire(const Wire&) = delete;
  Wire& operator=(const Wire&) = delete;
  ~Wire() { Close(); }

  bool connected() const { return connected_; }
  void Close() {
    if (fd_ >= 0) ::close(std::exchange(fd_, -1));
  }
  bool Send(std::string_view bytes) {
    while (!bytes.empty()) {
      const auto n = ::send(fd_, bytes.data(), bytes.size(), MSG_NOSIGNAL);
      if (n <= 0) return false;
      bytes.remove_prefix(static_cast<std::size_t>(n));
    }
    return true;
  }
  // What comes until `until` was seen, the other side closes, or the time is over.
  std::string Receive(std::string_view until, std::chrono::milliseconds patience) {
    const auto end = std::chrono::steady_clock::now() + patience;
    std::string text;
    while (until.empty() || text.find(until) == std::string::npos) {
      const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(end - std::chrono::steady_clock::now());
      pollfd ready{fd_, POLLIN, 0};
      if (left.count() <= 0 || ::poll(&ready, 1, static_cast<int>(left.count())) <= 0) break;
      char piece[65536];
      const auto n = ::recv(fd_, piece, sizeof piece, 0);
      if (n <= 0) {
        closed_ = true;
        break;
      }
      text.append(piece, static_cast<std::size_t>(n));
    }
    return text;
  }
  std::string ReceiveAll() { return Receive({}, std::chrono::seconds(20)); }
  bool closed() const { return closed_; }  // the other side closed while something was received

 private:
  int fd_;
  bool connected_ = false;
  bool closed_ = false;
};

inline int StatusOf(std::string_view answer) {
  return answer.size() < 12 ? 0 : std::stoi(std::string(answer.substr(9, 3)));
}

inline std::string BodyOf(std::string_view answer) {
  const auto at = answer.find("\r\n\r\n");
  return at == std::string_view::npos ? std::string() : std::string(answer.substr(at + 4));
}

}  // namespace fairlead::test
