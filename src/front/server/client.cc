// SPDX-License-Identifier: Apache-2.0
#include "front/server/client.h"

#include <fcntl.h>
#include <poll.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <array>
#include <charconv>
#include <cstring>
#include <fstream>
#include <system_error>
#include <vector>

#include "front/server/engine.h"

namespace fairlead {
namespace {

constexpr int kPatience = 60'000;              // milliseconds for an answer; an image takes 20 s at most
constexpr std::size_t kLongestAnswer = 256 * 1024 * 1024;

class Socket {
 public:
  explicit Socket(int fd) : fd_(fd) {}
  Socket(const Socket&) = delete;
  Socket& operator=(const Socket&) = delete;
  ~Socket() {
    if (fd_ >= 0) ::close(fd_);
  }
  int get() const { return fd_; }

 private:
  int fd_;
};

// By way of the folder's descriptor, since a socket's path may have only 107 characters.
int Dial(const std::filesystem::path& folder) {
  const Socket inside(::open(folder.c_str(), O_PATH | O_DIRECTORY | O_CLOEXEC));
  if (inside.get() < 0) return -1;
  const std::string path =
      "/proc/self/fd/" + std::to_string(inside.get()) + "/" + SocketOf(folder).filename().string();
  sockaddr_un name{};
  name.sun_family = AF_UNIX;
  if (path.size() >= sizeof name.sun_path) return -1;
  std::memcpy(name.sun_path, path.c_str(), path.size() + 1);
  const int fd = ::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
  if (fd >= 0 && ::connect(fd, reinterpret_cast<const sockaddr*>(&name), sizeof name) == 0) return fd;
  if (fd >= 0) ::close(fd);
  return -1;
}

Error Lost() {
  return {"the running program does not answer", "fairlead.sock in the data folder",
          "look whether it still runs, then try again", Fault::kOutside};
}

bool SendAll(int fd, std::string_view bytes) {
  while (!bytes.empty()) {
    const auto n = ::send(fd, bytes.data(), bytes.size(), MSG_NOSIGNAL);
    if (n <= 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(n));
  }
  return true;
}

// Everything until the other side closes.
std::optional<std::string> ReceiveAll(int fd, const std::stop_token& stop) {
  std::string text;
  std::array<char, 65536> piece{};
  for (int waited = 0; waited < kPatience && text.size() < kLongestAnswer;) {
    pollfd ready{fd, POLLIN, 0};
    if (::poll(&ready, 1, 100) == 0) {
      waited += 100;
      if (stop.stop_requested()) return std::nullopt;
      continue;
    }
    const auto n = ::recv(fd, piece.data(), piece.size(), 0);
    if (n < 0) return std::nullopt;
    if (n == 0) return text;
    text.append(piece.data(), static_cast<std::size_t>(n));
  }
  return std::nullopt;
}

// "HTTP/1.1 200 OK", headers, an empty line, the body to the end (the request asked to close).
Result<ClientAnswer> ParseAnswer(std::string_view text) {
  const std::size_t end = text.find("\r\n\r\n");
  ClientAnswer answer;
  if (text.size() < 12 || end == std::string_view::npos) return Lost();
  if (std::from_chars(text.data() + 9, text.data() + 12, answer.status).ec != std::errc()) return Lost();
  answer.body = text.substr(end + 4);
  return answer;
}

std::string Head(std::string_view method, const std::string& path, std::string_view type, std::uint64_t length) {
  std::string head = std::string(method) + " " + path + " HTTP/1.1\r\nHost: fairlead\r\nConnection: close\r\n";
  if (!type.empty()) head += "Content-Type: " + std::string(type) + "\r\nContent-Length: " + std::to_string(length) + "\r\n";
  return head + "\r\n";
}

class SocketClient : public Client {
 public:
  explicit SocketClient(std::filesystem::path folder) : folder_(std::move(folder)) {}

  Result<ClientAnswer> Get(const std::string& path) override { return Exchange(Head("GET", path, "", 0)); }
  Result<ClientAnswer> Post(const std::string& path, std::string_view json) override {
    return Exchange(Head("POST", path, "application/json", json.size()) + std::string(json));
  }

  Result<ClientAnswer> PostFile(const std::string& path, const std::filesystem::path& file, std::stop_token stop,
                                const std::function<void(std::uint64_t, std::uint64_t)>& progress) override {
    std::error_code code;
    const std::uint64_t size = std::filesystem::file_size(file, code);
    std::ifstream stream(file, std::ios::binary);
    if (code || !stream) return Error{"the file cannot be read", file.string(), "check its name and rights", Fault::kInput};
    const Socket socket(Dial(folder_));
    if (socket.get() < 0 || !SendAll(socket.get(), Head("POST", path, "application/octet-stream", size))) return Lost();
    std::vector<char> piece(256 * 1024);
    std::uint64_t sent = 0;
    while (sent < size && stream) {
      if (stop.stop_requested()) return Error{"stopped", file.string(), "", Fault::kInput};
      stream.read(piece.data(), static_cast<std::streamsize>(piece.size()));
      const auto n = static_cast<std::size_t>(stream.gcount());
      if (!SendAll(socket.get(), {piece.data(), n})) break;  // refused early: the answer says why
      sent += n;
      progress(sent, size);
    }
    const auto text = ReceiveAll(socket.get(), stop);
    if (stop.stop_requested()) return Error{"stopped", file.string(), "", Fault::kInput};
    if (!text) return Lost();
    return ParseAnswer(*text);
  }

 private:
  Result<ClientAnswer> Exchange(const std::string& request) {
    const Socket socket(Dial(folder_));
    if (socket.get() < 0 || !SendAll(socket.get(), request)) return Lost();
    const auto text = ReceiveAll(socket.get(), {});
    if (!text) return Lost();
    return ParseAnswer(*text);
  }
  std::filesystem::path folder_;
};

}  // namespace

std::unique_ptr<Client> Connect(const std::filesystem::path& folder) {
  const Socket socket(Dial(folder));
  if (socket.get() < 0) return nullptr;
  return std::make_unique<SocketClient>(folder);
}

}  // namespace fairlead
