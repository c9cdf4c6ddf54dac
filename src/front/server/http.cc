// SPDX-License-Identifier: Apache-2.0
// Boost.Beast and Boost.Asio, here and nowhere else. A session runs on its own strand; workers reach it by posting.
#include "front/server/http.h"

#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <boost/asio.hpp>
#include <boost/asio/ssl.hpp>
#include <boost/beast/core.hpp>
#include <boost/beast/http.hpp>
#include <boost/beast/ssl.hpp>
#include <cerrno>
#include <deque>
#include <limits>
#include <mutex>
#include <thread>
#include <unordered_set>

#include "front/server/sessions.h"
#include "front/server/target.h"

namespace fairlead {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
namespace ssl = boost::asio::ssl;
using Code = boost::system::error_code;
using Plain = beast::basic_stream<asio::ip::tcp>;
using Local = beast::basic_stream<asio::local::stream_protocol>;
using Secure = ssl::stream<Plain>;

constexpr std::size_t kPiece = 256 * 1024;          // of an upload; each must come within the deadline
constexpr std::size_t kSlowest = 1024 * 1024;       // bytes a second that a reader of a large answer must take
constexpr std::size_t kSlowWaiting = 16;            // slow requests waiting for their workers
constexpr std::chrono::milliseconds kLinger{1'000};  // for a client that still sends what was refused
constexpr std::chrono::milliseconds kLastWords{2'000};
constexpr std::chrono::milliseconds kPause{5};      // between looks whether the last answers are out

class SessionBase {
 public:
  virtual ~SessionBase() = default;
  virtual void End() = 0;  // the server stops: idle connections and streams close, running requests are told
};

// What every session needs of its server; outlives them all.
struct House {
  const ServerSettings settings;
  const Service service;
  std::optional<ssl::context> tls{};  // of the port; the socket in the data folder is never encrypted
  asio::io_context io{2};
  asio::thread_pool quick{3};
  asio::thread_pool slow{2};
  std::atomic<std::size_t> connections{0};
  std::atomic<std::size_t> slow_waiting{0};
  std::atomic<bool> ending{false};
  std::mutex mutex{};
  std::unordered_set<SessionBase*> sessions{};  // guarded by mutex
};

template <typename Wire>
class Session : public SessionBase, public std::enable_shared_from_this<Session<Wire>> {
  using Socket = typename beast::lowest_layer_type<Wire>::socket_type;

 public:
  Session(House& house, Wire stream) : house_(house), stream_(std::move(stream)) {
    ++house_.connections;
    const std::lock_guard lock(house_.mutex);
    house_.sessions.insert(this);
  }
  ~Session() override {
    {
      const std::lock_guard lock(house_.mutex);
      house_.sessions.erase(this);
    }
    gone_.request_stop();
    --house_.connections;
  }

  void Start() {
    if constexpr (!std::is_same_v<Wire, Local>) {
      Code ignored;
      from_ = Lowest().socket().remote_endpoint(ignored).address().to_string();
    }
    OnStrand([self = this->shared_from_this()] {
      if constexpr (std::is_same_v<Wire, Secure>) return self->ShakeHands();
      else self->AwaitRequest(self->house_.settings.deadline);
    });
  }

  void End() override {
    // The last owner may have let go already: its destructor then waits for the mutex that our caller holds.
    auto self = this->weak_from_this().lock();
    if (!self) return;
    OnStrand([self = std::move(self)] {
      self->gone_.request_stop();
      self->last_ = true;
      if (!self->busy_) self->Close();
    });
  }

 private:
  // One answer. If whoever holds it lets go without answering, the client is told so.
  class OneReply : public Reply {
   public:
    explicit OneReply(std::shared_ptr<Session> session) : session_(std::move(session)) {}
    ~OneReply() override {
      if (!done_.exchange(true)) Post(session_->house_.service.refuse(500, "no answer was made", "try again"));
    }
    void Send(Response response) override {
      if (!done_.exchange(true)) Post(std::move(response));
    }
    std::shared_ptr<Stream> Open() override {
      if (done_.exchange(true)) return nullptr;
      auto stream = std::make_shared<Follower>(session_);
      session_->OnStrand([session = session_] { session->OpenStream(); });
      return stream;
    }

   private:
    void Post(Response response) {
      session_->OnStrand([session = session_, held = std::make_shared<Response>(std::move(response))] {
        session->Answer(std::move(*held));
      });
    }
    std::shared_ptr<Session> session_;
    std::atomic<bool> done_{false};
  };

  class Follower : public Stream {
   public:
    explicit Follower(std::shared_ptr<Session> session) : session_(std::move(session)) {}
    bool Send(std::shared_ptr<const std::string> bytes) override {
      if (session_->closed_) return false;
      const std::size_t unsent = session_->unsent_.fetch_add(bytes->size()) + bytes->size();
      session_->OnStrand([session = session_, bytes = std::move(bytes), unsent] { session->Queue(bytes, unsent); });
      return !session_->closed_;
    }
    void End() override {
      session_->OnStrand([session = session_] { session->Close(); });
    }

   private:
    std::shared_ptr<Session> session_;
  };

  template <typename Work>
  void OnStrand(Work work) {
    asio::post(stream_.get_executor(), std::move(work));
  }
  auto Self() { return this->shared_from_this(); }
  auto& Lowest() { return beast::get_lowest_layer(stream_); }

  void ShakeHands() {
    if constexpr (std::is_same_v<Wire, Secure>) {
      Lowest().expires_after(house_.settings.deadline);
      stream_.async_handshake(ssl::stream_base::server, [self = Self()](Code code) {
        code ? self->Close() : self->AwaitRequest(self->house_.settings.deadline);
      });
    }
  }

  // --- Reading a request.
  void AwaitRequest(std::chrono::milliseconds patience) {
    busy_ = false;
    if (last_ || house_.ending) return Close();
    parser_.emplace();
    parser_->header_limit(static_cast<std::uint32_t>(house_.settings.head_bytes));
    parser_->body_limit(std::numeric_limits<std::uint64_t>::max());  // counted here, where the path's limit is known
    body_.clear();
    sink_.reset();
    if (buffer_.size() > 0) return ReadHead();
    Lowest().expires_after(patience);
    stream_.async_read_some(buffer_.prepare(4096), [self = Self()](Code code, std::size_t n) {
      if (code) return self->Close();
      self->buffer_.commit(n);
      self->ReadHead();
    });
  }

  void ReadHead() {
    busy_ = true;
    Lowest().expires_after(house_.settings.deadline);
    http::async_read_header(stream_, buffer_, *parser_, [self = Self()](Code code, std::size_t) { self->OnHead(code); });
  }

  void OnHead(Code code) {
    if (code == http::error::header_limit || code == http::error::buffer_overflow) {
      return Refuse(431, "the request's headers are larger than 16 KiB", "send fewer or shorter headers");
    }
    if (code == http::error::end_of_stream || code == beast::error::timeout || code == asio::error::connection_reset ||
        code == asio::error::operation_aborted) {
      return Close();
    }
    if (code) return Refuse(400, "this is not an HTTP/1.1 request", "check the client");
    const auto& message = parser_->get();
    auto target = ParseTarget({message.target().data(), message.target().size()});
    if (!target) return Refuse(400, "the address of the request cannot be read", "check its percent escapes");
    head_ = Head(std::move(*target));
    Admission admission = house_.service.admit(head_);
    if (admission.refused) return Answer(std::move(*admission.refused));
    limit_ = admission.body_limit;
    slow_ = admission.slow;
    const auto length = parser_->content_length();
    if (length && *length > limit_) return TooLarge();
    if (parser_->is_done()) return Dispatch();
    if (beast::iequals(message[http::field::expect], "100-continue")) return Continue(admission.streamed);
    BeginBody(admission.streamed);
  }

  RequestHead Head(Target&& target) {
    const auto& message = parser_->get();
    const auto field = [&](http::field name) {
      const auto value = message[name];
      return std::string(value.data(), value.size());
    };
    const auto method = message.method_string();
    return {.method = std::string(method.data(), method.size()),
            .path = std::move(target.path),
            .query = std::move(target.query),
            .host = field(http::field::host),
            .origin = field(http::field::origin),
            .cookie = field(http::field::cookie),
            .content_type = field(http::field::content_type),
            .last_event_id = std::string(message["Last-Event-ID"].data(), message["Last-Event-ID"].size()),
            .if_none_match = field(http::field::if_none_match),
            .has_body = !parser_->is_done(),
            .local = std::is_same_v<Wire, Local>,
            .from = from_};
  }

  void Continue(bool streamed) {
    static constexpr std::string_view kGoOn = "HTTP/1.1 100 Continue\r\n\r\n";
    asio::async_write(stream_, asio::buffer(kGoOn), [self = Self(), streamed](Code code, std::size_t) {
      if (code) return self->Close();
      self->BeginBody(streamed);
    });
  }

  void BeginBody(bool streamed) {
    piece_.resize(streamed ? kPiece : std::size_t{64} * 1024);
    taken_ = 0;
    if (!streamed) return ReadPiece();
    asio::post(house_.quick, [self = Self()] {
      auto refusal = std::make_shared<Response>();
      self->sink_ = self->house_.service.sink(self->head_, *refusal);
      self->OnStrand([self, refusal] { self->sink_ ? self->ReadPiece() : self->Answer(std::move(*refusal)); });
    });
  }

  void ReadPiece() {
    if (sink_) Lowest().expires_after(house_.settings.deadline);  // else the head's deadline runs on
    parser_->get().body().data = piece_.data();
    parser_->get().body().size = piece_.size();
    parser_->get().body().more = true;
    http::async_read(stream_, buffer_, *parser_, [self = Self()](Code code, std::size_t) { self->OnPiece(code); });
  }

  void OnPiece(Code code) {
    if (code && code != http::error::need_buffer) {
      sink_.reset();
      return Close();
    }
    const std::size_t n = piece_.size() - parser_->get().body().size;
    taken_ += n;
    if (taken_ > limit_) return TooLarge();
    if (!sink_) {
      body_.append(reinterpret_cast<const char*>(piece_.data()), n);
      return parser_->is_done() ? Dispatch() : ReadPiece();
    }
    asio::post(house_.quick, [self = Self(), n] {
      auto ended = std::make_shared<std::optional<Response>>(self->sink_->Add({self->piece_.data(), n}));
      self->OnStrand([self, ended] {
        if (*ended) return self->Answer(std::move(**ended));
        self->parser_->is_done() ? self->Dispatch() : self->ReadPiece();
      });
    });
  }

  // --- Answering.
  void Dispatch() {
    gone_ = std::stop_source();
    if (house_.ending) gone_.request_stop();
    auto request = std::make_shared<Request>(
        Request{std::move(head_), std::move(body_), std::move(sink_), gone_.get_token()});
    piece_ = {};
    auto reply = std::make_shared<OneReply>(Self());
    Lowest().expires_never();
    WatchClient();
    if (!slow_) {
      asio::post(house_.quick,
                 [self = Self(), request, reply] { self->house_.service.answer(std::move(*request), reply); });
      return;
    }
    if (house_.slow_waiting >= kSlowWaiting) {
      return reply->Send(house_.service.refuse(503, "too many images are being read at once", "try again in a moment"));
    }
    ++house_.slow_waiting;
    asio::post(house_.slow, [self = Self(), request, reply] {
      self->house_.service.answer(std::move(*request), reply);
      --self->house_.slow_waiting;
    });
  }

  // While a worker is busy nothing is read; a connection that becomes readable with nothing in it has been closed.
  void WatchClient() {
    Lowest().socket().async_wait(Socket::wait_read, [self = Self()](Code code) {
      if (code) return;
      char byte = 0;
      const auto n = ::recv(self->Lowest().socket().native_handle(), &byte, 1, MSG_PEEK | MSG_DONTWAIT);
      if (n > 0) return;  // the next request, sent early
      if (n < 0 && (errno == EAGAIN || errno == EINTR)) return self->WatchClient();  // an old event of the poller
      self->gone_.request_stop();
      if (self->streaming_) self->Close();
      self->last_ = true;
    });
  }

  void Refuse(int status, std::string what, std::string to_do) {
    last_ = true;
    Answer(house_.service.refuse(status, std::move(what), std::move(to_do)));
  }
  void TooLarge() {
    Refuse(413, "the request's body is larger than the limit of " + std::to_string(limit_) + " bytes",
           "send less at a time");
  }

  void Answer(Response response) {
    if (closed_) return;
    Code ignored;
    Lowest().socket().cancel(ignored);  // of WatchClient; nothing else is under way
    sink_.reset();
    if (!parser_->is_done()) last_ = true;  // the body was not read
    response_ = std::move(response);
    const std::span<const std::uint8_t> bytes =
        response_.bytes.data() != nullptr
            ? response_.bytes
            : std::span(reinterpret_cast<const std::uint8_t*>(response_.text.data()), response_.text.size());
    auto& message = message_.emplace();
    message.result(static_cast<unsigned>(response_.status));
    message.version(11);
    message.set(http::field::content_type, response_.type);
    for (const auto& [name, value] : house_.settings.headers) message.set(name, value);
    for (const auto& [name, value] : response_.headers) message.set(name, value);
    message.body() = {bytes.data(), bytes.size()};
    if (response_.status != 304) message.content_length(bytes.size());
    message.keep_alive(!last_ && !house_.ending && parser_->keep_alive());  // a head that was refused asks nothing
    Lowest().expires_after(house_.settings.deadline + std::chrono::seconds(bytes.size() / kSlowest));
    http::async_write(stream_, message, [self = Self()](Code code, std::size_t) {
      const bool go_on = !code && self->message_->keep_alive();
      self->message_.reset();
      self->response_ = {};
      if (code) return self->Close();
      go_on ? self->AwaitRequest(self->house_.settings.idle) : self->Linger();
    });
  }

  // Closing with unread bytes resets the connection and may destroy the answer on its way: read on for a moment.
  void Linger() {
    Lowest().expires_after(kLinger);
    piece_.resize(kPiece);
    if constexpr (std::is_same_v<Wire, Secure>) {
      return stream_.async_shutdown([self = Self()](Code) { self->Drain(); });  // fails if the client still sends
    }
    Drain();
  }
  void Drain() {
    Code ignored;
    Lowest().socket().shutdown(Socket::shutdown_send, ignored);
    Lowest().async_read_some(asio::buffer(piece_), [self = Self()](Code code, std::size_t) {
      code ? self->Close() : self->Drain();
    });
  }

  // --- An answer that goes on.
  void OpenStream() {
    streaming_ = true;
    busy_ = false;
    std::string head = "HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\nCache-Control: no-store\r\n";
    for (const auto& [name, value] : house_.settings.headers) {
      if (name != "Cache-Control") head.append(name).append(": ").append(value).append("\r\n");
    }
    head += "Connection: close\r\n\r\n";
    queue_.push_front(std::make_shared<const std::string>(std::move(head)));
    if (last_) return Close();
    WriteQueue();
  }

  void Queue(const std::shared_ptr<const std::string>& bytes, std::size_t unsent) {
    if (closed_) return;
    if (unsent > house_.settings.stream_bytes) return Close();  // it does not read; it may come back and resume
    queue_.push_back(bytes);
    if (streaming_ && !writing_) WriteQueue();
  }

  void WriteQueue() {
    writing_ = true;
    sending_.assign(queue_.begin(), queue_.end());
    queue_.clear();
    std::vector<asio::const_buffer> buffers;
    for (const auto& bytes : sending_) buffers.emplace_back(bytes->data(), bytes->size());
    Lowest().expires_after(house_.settings.deadline);
    asio::async_write(stream_, buffers, [self = Self()](Code code, std::size_t n) {
      self->writing_ = false;
      if (code) return self->Close();
      self->unsent_ -= std::min(n, self->unsent_.load());  // the head was never counted
      self->sending_.clear();
      self->Lowest().expires_never();
      if (!self->queue_.empty()) self->WriteQueue();
    });
  }

  void Close() {
    if (closed_.exchange(true)) return;
    gone_.request_stop();
    Code ignored;
    Lowest().socket().shutdown(Socket::shutdown_both, ignored);
    Lowest().close();
  }

  House& house_;
  Wire stream_;
  std::string from_;
  beast::flat_buffer buffer_{128 * 1024};
  std::optional<http::request_parser<http::buffer_body>> parser_;
  RequestHead head_;
  std::uint64_t limit_ = 0, taken_ = 0;
  bool slow_ = false, busy_ = false, last_ = false, streaming_ = false, writing_ = false;
  std::string body_;
  std::unique_ptr<BodySink> sink_;
  std::vector<std::uint8_t> piece_;
  std::stop_source gone_;
  Response response_;
  std::optional<http::response<http::span_body<const std::uint8_t>>> message_;
  std::deque<std::shared_ptr<const std::string>> queue_;
  std::vector<std::shared_ptr<const std::string>> sending_;
  std::atomic<std::size_t> unsent_{0};
  std::atomic<bool> closed_{false};
};

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
      Begin<Local>(Take<asio::local::stream_protocol>(socket, asio::local::stream_protocol()));
    } else if (house_.tls) {
      Begin<Secure>(Take<asio::ip::tcp>(socket, FamilyOf(socket)), *house_.tls);
    } else {
      Begin<Plain>(Take<asio::ip::tcp>(socket, FamilyOf(socket)));
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
      for (SessionBase* session : house_.sessions) session->End();
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
  void Begin(std::optional<Socket> socket, More&... more) {
    if (socket) std::make_shared<Session<Wire>>(house_, Wire(std::move(*socket), more...))->Start();
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
