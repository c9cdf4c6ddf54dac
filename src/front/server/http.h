// SPDX-License-Identifier: Apache-2.0
// HTTP for the page and for commands: requests, answers and event streams behind our own types, with limits that hold.
// Two threads move bytes and never wait for a disk; workers make the answers. Nothing queues without bound: each
// connection has one request at a time, and connections are counted.
#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <stop_token>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "measure/result.h"

namespace fairlead {

using NamedText = std::vector<std::pair<std::string, std::string>>;

// What is known of a request before its body.
struct RequestHead {
  std::string method{};            // "GET"
  std::string path{};              // percent-decoded, begins with '/', no control characters
  NamedText query{};               // decoded, in the order given
  std::string host{}, origin{}, cookie{}, content_type{}, last_event_id{}, if_none_match{};  // empty if not sent
  bool has_body = false;
  bool local = false;            // came through the socket in the data folder
  std::string from{};            // the other side's address; empty through the socket
};

// First value of that name; empty if there is none.
std::string_view QueryValue(const RequestHead& head, std::string_view name);

struct Response {
  int status = 200;
  std::string type = "application/json";
  NamedText headers{};             // beside Content-Type, Content-Length and those of ServerSettings
  std::string text{};              // the body, unless `bytes` is set
  std::span<const std::uint8_t> bytes{};
  std::shared_ptr<const void> keep{};  // owns `bytes`
};

// An open answer that goes on: text/event-stream. Safe to use from any thread; kept alive by whoever writes to it.
class Stream {
 public:
  virtual ~Stream() = default;
  // False once the follower is gone, or was dropped because it did not read (more than `stream_bytes` unsent).
  virtual bool Send(std::shared_ptr<const std::string> bytes) = 0;
  virtual void End() = 0;  // closes it
};

// Takes a body piece by piece. Called from a worker, never from two at once.
class BodySink {
 public:
  virtual ~BodySink() = default;
  virtual std::optional<Response> Add(std::span<const std::uint8_t> bytes) = 0;  // an answer ends the request
};

struct Request {
  RequestHead head{};
  std::string body{};               // if no sink was given
  std::unique_ptr<BodySink> sink{}; // the sink that took the body
  std::stop_token gone{};           // stop is requested when the client goes away or the server ends
};

// Answers one request, once, from any thread: Send or Open.
class Reply {
 public:
  virtual ~Reply() = default;
  virtual void Send(Response response) = 0;
  virtual std::shared_ptr<Stream> Open() = 0;
};

// What is decided from the head alone, on a thread that must not wait.
struct Admission {
  std::optional<Response> refused{};  // ends the request
  std::uint64_t body_limit = 0;     // more is answered 413
  bool streamed = false;            // ask `Service::sink` for a sink and wait for pieces, not for the whole
  bool slow = false;                // seconds of work: goes to the workers kept for that
};

// The answer to a request that breaks a limit or cannot be read: 400, 408, 413, 431, 503.
struct Service {
  std::function<Admission(const RequestHead&)> admit;
  std::function<std::unique_ptr<BodySink>(const RequestHead&, Response& refusal)> sink;  // null: refused
  std::function<void(Request, std::shared_ptr<Reply>)> answer;
  std::function<Response(int status, std::string what, std::string to_do)> refuse;
  std::function<void()> tick;       // every `tick` of the settings
};

struct TlsFiles {
  std::filesystem::path certificate, key;  // PEM; empty: the port speaks plain HTTP
};

struct ServerSettings {
  std::string address = "127.0.0.1";
  std::uint16_t port = 8420;          // 0: any free one
  int ports_to_try = 20;              // the next ones if it is taken
  std::filesystem::path socket;       // empty: none; made with mode 0600
  TlsFiles tls{};
  NamedText headers{};                  // in every answer
  std::size_t head_bytes = 16 * 1024;
  std::size_t connections = 512;
  std::size_t stream_bytes = 256 * 1024;
  std::chrono::milliseconds deadline{10'000};  // head and JSON body; each piece of an upload; sending
  std::chrono::milliseconds idle{60'000};      // a kept connection without a request
  std::chrono::milliseconds tick{2'000};
  bool stop_on_signals = false;       // SIGTERM and SIGINT end Run
};

class Server {
 public:
  virtual ~Server() = default;
  virtual std::uint16_t port() const = 0;
  virtual std::size_t connections() const = 0;
  // Serves until Stop or a signal; running requests get two seconds to finish.
  virtual void Run() = 0;
  virtual void Stop() = 0;  // from any thread
};

// Listens; Run serves. Errors: no port is free, the socket's path or the certificate cannot be used.
Result<std::unique_ptr<Server>> Listen(const ServerSettings& settings, Service service);

}  // namespace fairlead
