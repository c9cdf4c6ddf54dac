// SPDX-License-Identifier: Apache-2.0
// One connection, over whichever wire it came: read, answered, kept or closed. It runs on its own strand; workers reach it by
// posting. Its members stand in connection_*.h; one .cc file a wire makes the code.
#pragma once

#include <utility>  // before Boost.Asio, which uses it without saying so

#include <atomic>
#include <boost/asio.hpp>
#include <boost/asio/ssl.hpp>
#include <boost/beast/core.hpp>
#include <boost/beast/http.hpp>
#include <boost/beast/ssl.hpp>
#include <cstdint>
#include <deque>
#include <memory>
#include <mutex>
#include <optional>
#include <stop_token>
#include <string>
#include <type_traits>
#include <unordered_map>
#include <unordered_set>
#include <vector>

#include "front/server/http.h"
#include "front/server/target.h"

namespace fairlead::wire {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
namespace ssl = boost::asio::ssl;
using Code = boost::system::error_code;
using PlainWire = beast::basic_stream<asio::ip::tcp>;
using LocalWire = beast::basic_stream<asio::local::stream_protocol>;
using SecureWire = ssl::stream<PlainWire>;

constexpr std::size_t kPiece = 256 * 1024;  // of an upload; each must come within the deadline

constexpr std::size_t kSeatsOfOne = 128;  // connections of one address from outside: a dozen browsers with seven each; chosen

class AnyConnection {
 public:
  virtual ~AnyConnection() = default;
  virtual void End() = 0;  // the server stops: idle connections and streams close, running requests are told
};

// What every connection needs of its server; outlives them all.
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
  std::unordered_set<AnyConnection*> open{};  // guarded by mutex, as is the next
  std::unordered_map<std::string, std::size_t> seats{};  // connections by the address they come from

  bool Seat(const asio::ip::address& from) {
    const std::lock_guard lock(mutex);
    std::size_t& taken = seats[from.to_string()];
    if (!from.is_loopback() && taken >= kSeatsOfOne) return false;
    ++taken;
    return true;
  }
};

template <typename Wire>
class Connection : public AnyConnection, public std::enable_shared_from_this<Connection<Wire>> {
  using Socket = typename beast::lowest_layer_type<Wire>::socket_type;

 public:
  Connection(House& house, Wire stream) : house_(house), stream_(std::move(stream)) {
    ++house_.connections;
    const std::lock_guard lock(house_.mutex);
    house_.open.insert(this);
  }
  ~Connection() override {
    {
      const std::lock_guard lock(house_.mutex);
      house_.open.erase(this);
      if (const auto seat = house_.seats.find(from_); seated_ && seat != house_.seats.end() && --seat->second == 0) house_.seats.erase(seat);
    }
    gone_.request_stop();
    --house_.connections;
  }

  void Start() {
    if constexpr (!std::is_same_v<Wire, LocalWire>) {
      Code ignored;
      const asio::ip::address from = Lowest().socket().remote_endpoint(ignored).address();
      from_ = from.to_string();
      if (!house_.Seat(from)) return;  // nobody owns this connection yet: it closes
      seated_ = true;
    }
    OnStrand([self = this->shared_from_this()] {
      if constexpr (std::is_same_v<Wire, SecureWire>) return self->ShakeHands();
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
    explicit OneReply(std::shared_ptr<Connection> connection) : connection_(std::move(connection)) {}
    ~OneReply() override {
      if (!done_.exchange(true)) Post(connection_->house_.service.refuse(500, "no answer was made", "try again"));
    }
    void Send(Response response) override {
      if (!done_.exchange(true)) Post(std::move(response));
    }
    std::shared_ptr<Stream> Open() override {
      if (done_.exchange(true)) return nullptr;
      auto stream = std::make_shared<Follower>(connection_);
      connection_->OnStrand([connection = connection_] { connection->OpenStream(); });
      return stream;
    }

   private:
    void Post(Response response) {
      connection_->OnStrand([connection = connection_, held = std::make_shared<Response>(std::move(response))] {
        connection->Answer(std::move(*held));
      });
    }
    std::shared_ptr<Connection> connection_;
    std::atomic<bool> done_{false};
  };

  class Follower : public Stream {
   public:
    explicit Follower(std::shared_ptr<Connection> connection) : connection_(std::move(connection)) {}
    bool Send(std::shared_ptr<const std::string> bytes) override {
      if (connection_->closed_) return false;
      const std::size_t unsent = connection_->unsent_.fetch_add(bytes->size()) + bytes->size();
      connection_->OnStrand([connection = connection_, bytes = std::move(bytes), unsent] { connection->Queue(bytes, unsent); });
      return !connection_->closed_;
    }
    void End() override {
      connection_->OnStrand([connection = connection_] { connection->Close(); });
    }

   private:
    std::shared_ptr<Connection> connection_;
  };

  template <typename Work>
  void OnStrand(Work work) {
    asio::post(stream_.get_executor(), std::move(work));
  }
  auto Self() { return this->shared_from_this(); }
  auto& Lowest() { return beast::get_lowest_layer(stream_); }

  // --- Reading a request: connection_read.h.
  void ShakeHands();
  void AwaitRequest(std::chrono::milliseconds patience);
  void ReadHead();
  void OnHead(Code code);
  RequestHead Head(Target&& target);
  void Continue(bool streamed);
  void BeginBody(bool streamed);
  void ReadPiece();
  void OnPiece(Code code);

  // --- Answering: connection_answer.h.
  void Dispatch();
  void WatchClient();
  void Refuse(int status, std::string what, std::string to_do);
  void TooLarge();
  void Answer(Response response);
  void Linger();
  void Drain();

  // --- An answer that goes on, and the end: connection_stream.h.
  void OpenStream();
  void Queue(const std::shared_ptr<const std::string>& bytes, std::size_t unsent);
  void WriteQueue();
  void Close();

  House& house_;
  Wire stream_;
  std::string from_;
  beast::flat_buffer buffer_{128 * 1024};
  std::optional<http::request_parser<http::buffer_body>> parser_;
  RequestHead head_;
  std::uint64_t limit_ = 0, taken_ = 0;
  bool slow_ = false, busy_ = false, last_ = false, streaming_ = false, writing_ = false, seated_ = false;
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

// Starts a connection, each in a file of its own.
void StartConnection(House& house, PlainWire wire);
void StartConnection(House& house, LocalWire wire);
void StartConnection(House& house, SecureWire wire);

}  // namespace fairlead::wire
