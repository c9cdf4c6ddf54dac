// SPDX-License-Identifier: Apache-2.0
// An answer that goes on, and the end of a connection.
#pragma once

#include <algorithm>

#include "front/server/connection.h"

namespace fairlead::wire {

template <typename Wire>
void Connection<Wire>::OpenStream() {
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

template <typename Wire>
void Connection<Wire>::Queue(const std::shared_ptr<const std::string>& bytes, std::size_t unsent) {
  if (closed_) return;
  if (unsent > house_.settings.stream_bytes) return Close();  // it does not read; it may come back and resume
  queue_.push_back(bytes);
  if (streaming_ && !writing_) WriteQueue();
}

template <typename Wire>
void Connection<Wire>::WriteQueue() {
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

template <typename Wire>
void Connection<Wire>::Close() {
  if (closed_.exchange(true)) return;
  gone_.request_stop();
  Code ignored;
  Lowest().socket().shutdown(Socket::shutdown_both, ignored);
  Lowest().close();
}

}  // namespace fairlead::wire
