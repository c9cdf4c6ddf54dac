// SPDX-License-Identifier: Apache-2.0
// The doors of a server: a port, the socket in the data folder, and the signals that end it.
#include <arpa/inet.h>
#include <fcntl.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <signal.h>
#include <sys/eventfd.h>
#include <sys/signalfd.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <thread>

#include "front/server/http.h"
#include "front/server/sessions.h"

namespace fairlead {
namespace {

using Clock = std::chrono::steady_clock;

// An open descriptor; -1 if none.
class Handle {
 public:
  explicit Handle(int fd = -1) : fd_(fd) {}
  Handle(const Handle&) = delete;
  Handle& operator=(const Handle&) = delete;
  Handle(Handle&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}
  Handle& operator=(Handle&& other) noexcept {
    std::swap(fd_, other.fd_);
    return *this;
  }
  ~Handle() {
    if (fd_ >= 0) ::close(fd_);
  }
  int get() const { return fd_; }
  bool ok() const { return fd_ >= 0; }

 private:
  int fd_;
};

Error Outside(std::string what, std::string where, std::string to_do) {
  return {std::move(what), std::move(where), std::move(to_do), Fault::kOutside};
}

// A listening socket on that port of an address; an empty handle if the port is taken.
Handle ListenOn(const sockaddr* place, socklen_t size) {
  Handle door(::socket(place->sa_family, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0));
  const int yes = 1;
  if (!door.ok()) return door;
  if (place->sa_family != AF_UNIX) ::setsockopt(door.get(), SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
  if (::bind(door.get(), place, size) != 0 || ::listen(door.get(), SOMAXCONN) != 0) return Handle();
  return door;
}

struct Port {
  Handle door;
  std::uint16_t number = 0;
};

Result<Port> OpenPort(const ServerSettings& settings) {
  sockaddr_in place{};
  place.sin_family = AF_INET;
  if (::inet_pton(AF_INET, settings.address.c_str(), &place.sin_addr) != 1) {
    return Error{"this is no IPv4 address to listen on", settings.address, "use 127.0.0.1", Fault::kUsage};
  }
  const int last = std::min(65535, settings.port + std::max(1, settings.ports_to_try) - 1);
  for (int port = settings.port; port <= last; ++port) {
    place.sin_port = htons(static_cast<std::uint16_t>(port));
    Handle door = ListenOn(reinterpret_cast<const sockaddr*>(&place), sizeof place);
    if (!door.ok() && errno == EACCES) break;
    if (!door.ok()) continue;
    sockaddr_in got{};
    socklen_t size = sizeof got;
    ::getsockname(door.get(), reinterpret_cast<sockaddr*>(&got), &size);
    return Port{std::move(door), ntohs(got.sin_port)};
  }
  return Outside("no port to listen on is free", "from " + std::to_string(settings.port) + " to " + std::to_string(last),
                 "give another --port");
}

// Bound by way of the folder's descriptor, since a socket's path may have only 107 characters.
Result<Handle> OpenSocket(const std::filesystem::path& path) {
  const Handle folder(::open(path.parent_path().c_str(), O_PATH | O_DIRECTORY | O_CLOEXEC));
  const std::string place = "/proc/self/fd/" + std::to_string(folder.get()) + "/" + path.filename().string();
  sockaddr_un name{};
  name.sun_family = AF_UNIX;
  if (place.size() >= sizeof name.sun_path) return Outside("the name of the socket is too long", "data folder", "");
  std::memcpy(name.sun_path, place.c_str(), place.size() + 1);
  ::unlink(path.c_str());  // left by a process that was killed; the folder is ours
  const auto before = ::umask(0177);
  Handle door = ListenOn(reinterpret_cast<const sockaddr*>(&name), sizeof name);
  ::umask(before);
  if (door.ok()) return door;
  return Outside(std::string("the socket for commands cannot be made: ") + std::strerror(errno),
                 "fairlead.sock in the data folder", "check the folder's file system and rights");
}

// SIGTERM and SIGINT, blocked in this thread and in every thread that it makes, to be read in Run.
Handle TakeSignals() {
  sigset_t set{};
  ::sigemptyset(&set);
  ::sigaddset(&set, SIGTERM);
  ::sigaddset(&set, SIGINT);
  ::pthread_sigmask(SIG_BLOCK, &set, nullptr);
  return Handle(::signalfd(-1, &set, SFD_CLOEXEC | SFD_NONBLOCK));
}

class HttpServer : public Server {
 public:
  HttpServer(ServerSettings settings, Port port, Handle local)
      : settings_(std::move(settings)), port_(std::move(port)), local_(std::move(local)),
        stop_(::eventfd(0, EFD_CLOEXEC | EFD_NONBLOCK)),
        signals_(settings_.stop_on_signals ? TakeSignals() : Handle()) {}  // before the sessions make their threads
  Status Open(Service service) {
    auto sessions = OpenSessions(settings_, std::move(service));
    if (!sessions.ok()) return sessions.error();
    sessions_ = std::move(*sessions);
    return Done{};
  }
  ~HttpServer() override {
    if (local_.ok()) ::unlink(settings_.socket.c_str());
  }

  std::uint16_t port() const override { return port_.number; }
  std::size_t connections() const override { return sessions_->count(); }

  void Run() override {
    auto next_tick = Clock::now() + settings_.tick;
    while (true) {
      std::array<pollfd, 4> doors{{{stop_.get(), POLLIN, 0},
                                   {signals_.get(), POLLIN, 0},
                                   {port_.door.get(), POLLIN, 0},
                                   {local_.get(), POLLIN, 0}}};  // a descriptor of -1 is passed over
      const auto wait = std::chrono::duration_cast<std::chrono::milliseconds>(next_tick - Clock::now());
      ::poll(doors.data(), doors.size(), static_cast<int>(std::max<std::int64_t>(0, wait.count() + 1)));
      if (doors[0].revents != 0 || doors[1].revents != 0) break;
      if (doors[2].revents != 0) Accept(port_.door, false);
      if (doors[3].revents != 0) Accept(local_, true);
      if (Clock::now() >= next_tick) {
        sessions_->Tick();
        next_tick = Clock::now() + settings_.tick;
      }
    }
    port_.door = Handle();
    sessions_->End();
  }

  void Stop() override {
    const std::uint64_t one = 1;
    [[maybe_unused]] const auto written = ::write(stop_.get(), &one, sizeof one);
  }

 private:
  void Accept(const Handle& door, bool local) {
    const int socket = ::accept4(door.get(), nullptr, nullptr, SOCK_CLOEXEC | SOCK_NONBLOCK);
    if (socket < 0) {
      // Out of descriptors: wait for some to come free instead of spinning.
      if (errno == EMFILE || errno == ENFILE) std::this_thread::sleep_for(std::chrono::milliseconds(50));
      return;
    }
    const int yes = 1;
    if (!local) ::setsockopt(socket, IPPROTO_TCP, TCP_NODELAY, &yes, sizeof yes);
    sessions_->Welcome(socket, local);
  }

  const ServerSettings settings_;
  Port port_;
  Handle local_;
  Handle stop_;
  Handle signals_;
  std::unique_ptr<Sessions> sessions_;
};

}  // namespace

std::string_view QueryValue(const RequestHead& head, std::string_view name) {
  for (const auto& [key, value] : head.query) {
    if (key == name) return value;
  }
  return {};
}

Result<std::unique_ptr<Server>> Listen(const ServerSettings& settings, Service service) {
  auto port = OpenPort(settings);
  if (!port.ok()) return port.error();
  Handle local;
  if (!settings.socket.empty()) {
    auto opened = OpenSocket(settings.socket);
    if (!opened.ok()) return opened.error();
    local = std::move(*opened);
  }
  auto server = std::make_unique<HttpServer>(settings, std::move(*port), std::move(local));
  if (auto opened = server->Open(std::move(service)); !opened.ok()) return opened.error();
  return std::unique_ptr<Server>(std::move(server));
}

}  // namespace fairlead
