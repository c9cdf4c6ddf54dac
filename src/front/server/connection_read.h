// SPDX-License-Identifier: Apache-2.0
// How a connection reads a request: its head, and its body piece by piece.
#pragma once

#include <limits>

#include "front/server/connection.h"

namespace fairlead::wire {

template <typename Wire>
void Connection<Wire>::ShakeHands() {
  if constexpr (std::is_same_v<Wire, SecureWire>) {
    Lowest().expires_after(house_.settings.deadline);
    stream_.async_handshake(ssl::stream_base::server, [self = Self()](Code code) {
      code ? self->Close() : self->AwaitRequest(self->house_.settings.deadline);
    });
  }
}

template <typename Wire>
void Connection<Wire>::AwaitRequest(std::chrono::milliseconds patience) {
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

template <typename Wire>
void Connection<Wire>::ReadHead() {
  busy_ = true;
  Lowest().expires_after(house_.settings.deadline);
  http::async_read_header(stream_, buffer_, *parser_, [self = Self()](Code code, std::size_t) { self->OnHead(code); });
}

template <typename Wire>
void Connection<Wire>::OnHead(Code code) {
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

template <typename Wire>
RequestHead Connection<Wire>::Head(Target&& target) {
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
          .local = std::is_same_v<Wire, LocalWire>,
          .from = from_};
}

template <typename Wire>
void Connection<Wire>::Continue(bool streamed) {
  static constexpr std::string_view kGoOn = "HTTP/1.1 100 Continue\r\n\r\n";
  asio::async_write(stream_, asio::buffer(kGoOn), [self = Self(), streamed](Code code, std::size_t) {
    if (code) return self->Close();
    self->BeginBody(streamed);
  });
}

template <typename Wire>
void Connection<Wire>::BeginBody(bool streamed) {
  piece_.resize(streamed ? kPiece : std::size_t{64} * 1024);
  taken_ = 0;
  if (!streamed) return ReadPiece();
  asio::post(house_.quick, [self = Self()] {
    auto refusal = std::make_shared<Response>();
    self->sink_ = self->house_.service.sink(self->head_, *refusal);
    self->OnStrand([self, refusal] { self->sink_ ? self->ReadPiece() : self->Answer(std::move(*refusal)); });
  });
}

template <typename Wire>
void Connection<Wire>::ReadPiece() {
  if (sink_) Lowest().expires_after(house_.settings.deadline);  // else the head's deadline runs on
  parser_->get().body().data = piece_.data();
  parser_->get().body().size = piece_.size();
  parser_->get().body().more = true;
  http::async_read(stream_, buffer_, *parser_, [self = Self()](Code code, std::size_t) { self->OnPiece(code); });
}

template <typename Wire>
void Connection<Wire>::OnPiece(Code code) {
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

}  // namespace fairlead::wire
