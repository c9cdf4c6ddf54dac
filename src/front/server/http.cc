// SPDX-License-Identifier: Apache-2.0
// The server's connections, counted; and its TLS. Boost.Beast and Boost.Asio are here and in connection*.h alone.
#include "front/server/http.h"

#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <thread>

#include "front/server/connection.h"
#include "front/server/sessions.h"

namespace fairlead {
namespace {

using namespace wire;  // NOLINT(google-build-using-namespace): the wires of this room

constexpr std::chrono::milliseconds kLastWords{2'000};
constexpr std::chrono::milliseconds kPause{5};      // between looks whether the last answers are out

class AllSessions : public Sessions {
 public:
  AllSessions(const ServerSettings& settings, Service service, std::optional<ssl::context> tls)
      : house_{settings, std::move(service), std::move(tls)}, kept_running_(house_.io.get_executor()) {
    for (auto& thread : threads_) thread = std::jthread([this] { house_.io.run(); });
  }
  ~AllSessions() override { End(); }

  void Welcome(int socket, bool local) override {
    if (house_.ending || house_.connections >= house_.settings.connections) return TurnAway(socket);
    if (local) {
      Start<LocalWire>(Take<asio::local::stream_protocol>(socket, asio::local::stream_protocol()));
    } else if (house_.tls) {
      Start<SecureWire>(Take<asio::ip::tcp>(socket, FamilyOf(socket)), *house_.tls);
    } else {
      Start<PlainWire>(Take<asio::ip::tcp>(socket, FamilyOf(socket)));
    }
  }
  std::size_t count() const override { return house_.connections; }
  void Tick() override {
    asio::post(house_.quick, [this] { house_.service.tick(); });
  }

  void End() override {
    if (house_.ending.exchange(true)) return;
    {
      const std::lock_guard lock(house_.mutex);
      for (AnyConnection* connection : house_.open) connection->End();
    }
    const auto until = std::chrono::steady_clock::now() + kLastWords;  // by the clock: a busy machine oversleeps each pause
    while (house_.connections > 0 && std::chrono::steady_clock::now() < until) std::this_thread::sleep_for(kPause);
    kept_running_.reset();
    house_.io.stop();
    for (auto& thread : threads_) thread.join();
    house_.slow.join();
    house_.quick.join();
    house_.io.restart();
    house_.io.poll();  // answers made after the last words: their sessions end here
  }

 private:
  template <typename Protocol>
  std::optional<typename Protocol::socket> Take(int socket, const Protocol& protocol) {
    Code code;
    typename Protocol::socket taken(asio::make_strand(house_.io));
    taken.assign(protocol, socket, code);
    if (!code) return taken;
    ::close(socket);
    return std::nullopt;
  }
  template <typename Wire, typename Socket, typename... More>
  void Start(std::optional<Socket> socket, More&... more) {
    if (socket) StartConnection(house_, Wire(std::move(*socket), more...));
  }
  static asio::ip::tcp FamilyOf(int socket) {
    sockaddr_storage name{};
    socklen_t size = sizeof name;
    ::getsockname(socket, reinterpret_cast<sockaddr*>(&name), &size);
    return name.ss_family == AF_INET6 ? asio::ip::tcp::v6() : asio::ip::tcp::v4();
  }
  static void TurnAway(int socket) {
    static constexpr std::string_view kFull =
        "HTTP/1.1 503 Service Unavailable\r\nContent-Length: 0\r\nConnection: close\r\n\r\n";
    [[maybe_unused]] const auto sent = ::send(socket, kFull.data(), kFull.size(), MSG_DONTWAIT | MSG_NOSIGNAL);
    ::close(socket);
  }

  House house_;
  asio::executor_work_guard<asio::io_context::executor_type> kept_running_;
  std::array<std::jthread, 2> threads_;
};

// TLS 1.2 with forward secrecy, and 1.3 (RFC 9325 sections 3.1 and 4.2).
Result<std::optional<ssl::context>> OpenTls(const TlsFiles& files) {
  if (files.certificate.empty()) return std::optional<ssl::context>();
  ssl::context tls(ssl::context::tls_server);
  Code code;
  tls.set_options(ssl::context::default_workarounds | ssl::context::no_tlsv1 | ssl::context::no_tlsv1_1, code);
  tls.use_certificate_chain_file(files.certificate.string(), code);
  if (code) return Error{"the certificate cannot be used: " + code.message(), "--tls-cert", "give a PEM file", Fault::kOutside};
  tls.use_private_key_file(files.key.string(), ssl::context::pem, code);
  if (code) return Error{"the private key cannot be used: " + code.message(), "--tls-key", "give its PEM file", Fault::kOutside};
  ::SSL_CTX_set_cipher_list(tls.native_handle(), "ECDHE+AESGCM:ECDHE+CHACHA20");
  return std::optional<ssl::context>(std::move(tls));
}

}  // namespace

Result<std::unique_ptr<Sessions>> OpenSessions(const ServerSettings& settings, Service service) {
  auto tls = OpenTls(settings.tls);
  if (!tls.ok()) return tls.error();
  return std::unique_ptr<Sessions>(std::make_unique<AllSessions>(settings, std::move(service), std::move(*tls)));
}

}  // namespace fairlead
