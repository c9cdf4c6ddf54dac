// SPDX-License-Identifier: Apache-2.0
// How a connection answers: a worker makes the answer, the strand sends it.
#pragma once

#include <sys/socket.h>

#include <cerrno>

#include "front/server/connection.h"

namespace fairlead::wire {

constexpr std::size_t kSlowest = 1024 * 1024;       // bytes a second that a reader of a large answer must take
constexpr std::size_t kSlowWaiting = 64;            // slow requests waiting for their workers: a dozen tabs, each with what a board asks
constexpr std::chrono::milliseconds kLinger{1'000};  // for a client that still sends what was refused

template <typename Wire>
void Connection<Wire>::Dispatch() {
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
    Response busy = house_.service.refuse(503, "too many long questions (images, ladders) are being worked on at once", "try again in a moment");
    busy.headers.emplace_back("Retry-After", "1");
    return reply->Send(std::move(busy));
  }
  ++house_.slow_waiting;
  asio::post(house_.slow, [self = Self(), request, reply] {
    if (request->gone.stop_requested()) reply->Send(self->house_.service.refuse(503, "nobody waits for the answer", "ask again"));  // it left while it waited
    else self->house_.service.answer(std::move(*request), reply);
    --self->house_.slow_waiting;
  });
}

// While a worker is busy nothing is read; a connection that becomes readable with nothing in it has been closed.
template <typename Wire>
void Connection<Wire>::WatchClient() {
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

template <typename Wire>
void Connection<Wire>::Refuse(int status, std::string what, std::string to_do) {
  last_ = true;
  Answer(house_.service.refuse(status, std::move(what), std::move(to_do)));
}

template <typename Wire>
void Connection<Wire>::TooLarge() {
  Refuse(413, "the request's body is larger than the limit of " + std::to_string(limit_) + " bytes",
         "send less at a time");
}

template <typename Wire>
void Connection<Wire>::Answer(Response response) {
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
template <typename Wire>
void Connection<Wire>::Linger() {
  Lowest().expires_after(kLinger);
  piece_.resize(kPiece);
  if constexpr (std::is_same_v<Wire, SecureWire>) {
    return stream_.async_shutdown([self = Self()](Code) { self->Drain(); });  // fails if the client still sends
  }
  Drain();
}

template <typename Wire>
void Connection<Wire>::Drain() {
  Code ignored;
  Lowest().socket().shutdown(Socket::shutdown_send, ignored);
  Lowest().async_read_some(asio::buffer(piece_), [self = Self()](Code code, std::size_t) {
    code ? self->Close() : self->Drain();
  });
}

}  // namespace fairlead::wire
