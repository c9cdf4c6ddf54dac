// SPDX-License-Identifier: Apache-2.0
// Many followers of one case on a running engine, and how long an entry takes to reach them: the same code for the
// small check and for the long measurement.
#pragma once

#include <fcntl.h>

#include <algorithm>
#include <string>
#include <thread>
#include <vector>

#include "front/server/engine.h"
#include "front/server/random.h"
#include "tests/front/server/wire.h"

namespace fairlead::test {

using Ticks = std::chrono::steady_clock;

struct Reached {
  std::vector<double> from_ack_ms;   // each entry at each follower; 0 if the event was there before the acknowledgement
  std::vector<double> from_sent_ms;  // from the moment at which the recorder sent the entry
  std::vector<double> board_ms;      // from the acknowledgement until the new board is there whole, if boards are asked for
  std::size_t missing = 0, disordered = 0;
};

inline double Share(std::vector<double> values, double share) {
  if (values.empty()) return 0.0;
  std::sort(values.begin(), values.end());
  return values[std::min(values.size() - 1, static_cast<std::size_t>(share * static_cast<double>(values.size())))];
}

class Crowd {
 public:
  // `head` is what every request carries: Host and Cookie lines. With `boards` each follower then does what a page does: it
  // asks for the run's panel, on a connection of its own that stays open.
  Crowd(std::uint16_t port, std::string case_id, std::string head, std::size_t followers, bool boards = false)
      : port_(port), case_id_(std::move(case_id)), head_(std::move(head)), streams_(followers) {
    for (Stream& stream : streams_) {
      stream.fd = Connect();
      if (boards) stream.board = Connect();
      Write(stream.fd, "GET /api/events?case=" + case_id_ + " HTTP/1.1\r\n" + head_ + "\r\n");
    }
    Settle();
  }
  Crowd(const Crowd&) = delete;
  Crowd& operator=(const Crowd&) = delete;
  ~Crowd() {
    for (const Stream& stream : streams_) {
      ::close(stream.fd);
      if (stream.board >= 0) ::close(stream.board);
    }
  }

  // Sends entries one by one, `pause` apart, and waits for each at every follower.
  Reached Send(int entries, std::chrono::milliseconds pause) {
    Reached reached;
    for (int i = 0; i < entries; ++i) {
      for (Stream& stream : streams_) stream.seen = stream.board_seen = Ticks::time_point{};
      Ticks::time_point acknowledged{};
      const auto sent = Ticks::now();
      std::thread recorder([&] {
        Post();
        acknowledged = Ticks::now();
      });
      ReadUntil(sent + std::chrono::seconds(10), [&] { return std::all_of(streams_.begin(), streams_.end(), Served); });
      recorder.join();
      for (const Stream& stream : streams_) Count(stream, sent, acknowledged, reached);
      std::this_thread::sleep_for(pause);
    }
    for (const Stream& stream : streams_) reached.disordered += stream.disordered;
    return reached;
  }

 private:
  struct Stream {
    int fd = -1, board = -1;
    std::string text, board_text;
    Ticks::time_point seen{}, board_seen{};
    long last = 0;
    std::size_t disordered = 0;
  };

  static bool Served(const Stream& s) {
    return s.seen != Ticks::time_point{} && (s.board < 0 || s.board_seen != Ticks::time_point{});
  }
  static double Since(Ticks::time_point from, Ticks::time_point to) {
    return std::max(0.0, std::chrono::duration<double, std::milli>(to - from).count());
  }
  static void Count(const Stream& stream, Ticks::time_point sent, Ticks::time_point acknowledged, Reached& reached) {
    if (stream.seen == Ticks::time_point{}) {
      ++reached.missing;
      return;
    }
    reached.from_ack_ms.push_back(Since(acknowledged, stream.seen));
    reached.from_sent_ms.push_back(Since(sent, stream.seen));
    if (stream.board < 0) return;
    if (stream.board_seen == Ticks::time_point{}) ++reached.missing;
    else reached.board_ms.push_back(Since(acknowledged, stream.board_seen));
  }

  int Connect() const {
    const int fd = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    sockaddr_in place{};
    place.sin_family = AF_INET;
    place.sin_port = htons(port_);
    place.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    if (::connect(fd, reinterpret_cast<const sockaddr*>(&place), sizeof place) != 0) std::abort();
    return fd;
  }
  static void Write(int fd, const std::string& text) {
    if (::send(fd, text.data(), text.size(), MSG_NOSIGNAL) != static_cast<ssize_t>(text.size())) std::abort();
  }

  void Post() {
    const std::string entry = R"({"v":1,"id":")" + NewUlid(Now(), RandomTail()) + R"(","at":")" + ToIso(Now()) +
                              R"(","written":")" + ToIso(Now()) +
                              R"(","by":"AB","device":"test","kind":"note","data":{"text":"an invented entry"}})";
    const std::string body = R"({"entries":[)" + entry + "]}";
    const int fd = Connect();
    Write(fd, "POST /api/cases/" + case_id_ + "/entries HTTP/1.1\r\n" + head_ + "Connection: close\r\nContent-Type: application/json\r\nContent-Length: " +
                  std::to_string(body.size()) + "\r\n\r\n" + body);
    char piece[4096];
    if (::recv(fd, piece, sizeof piece, 0) < 12) std::abort();  // the first bytes are the acknowledgement
    if (std::string_view(piece + 9, 3) != "200") std::abort();
    ::close(fd);
  }

  // Everybody is connected when everybody has had a beat.
  void Settle() {
    ReadUntil(Ticks::now() + std::chrono::seconds(20), [&] {
      return std::all_of(streams_.begin(), streams_.end(), [](const Stream& s) { return s.text.find("event: beat") != std::string::npos; });
    });
    for (Stream& stream : streams_) stream.text.clear();
  }

  template <typename Enough>
  void ReadUntil(Ticks::time_point end, Enough enough) {
    std::vector<pollfd> ready;
    for (const Stream& stream : streams_) ready.push_back({stream.fd, POLLIN, 0});
    for (const Stream& stream : streams_) ready.push_back({stream.board, POLLIN, 0});  // one below 0 is passed over
    while (!enough() && Ticks::now() < end) {
      ::poll(ready.data(), ready.size(), 50);
      for (std::size_t i = 0; i < ready.size(); ++i) {
        if ((ready[i].revents & POLLIN) == 0) continue;
        if (i < streams_.size()) Read(streams_[i]);
        else ReadBoard(streams_[i - streams_.size()]);
      }
    }
  }
  // A whole answer with the length that its head gives.
  static void ReadBoard(Stream& stream) {
    char piece[65536];
    const auto n = ::recv(stream.board, piece, sizeof piece, MSG_DONTWAIT);
    if (n <= 0) return;
    stream.board_text.append(piece, static_cast<std::size_t>(n));
    const std::size_t head = stream.board_text.find("\r\n\r\n");
    const std::size_t length = stream.board_text.find("Content-Length: ");
    if (head == std::string::npos || length > head) return;
    const std::size_t whole = head + 4 + static_cast<std::size_t>(std::atol(stream.board_text.c_str() + length + 16));
    if (stream.board_text.size() < whole) return;
    if (std::string_view(stream.board_text).substr(9, 3) != "200") std::abort();
    stream.board_text.erase(0, whole);
    stream.board_seen = Ticks::now();
  }
  void Read(Stream& stream) {
    char piece[16384];
    const auto n = ::recv(stream.fd, piece, sizeof piece, MSG_DONTWAIT);
    if (n <= 0) return;
    stream.text.append(piece, static_cast<std::size_t>(n));
    const auto now = Ticks::now();
    for (std::size_t at; (at = stream.text.find("event: case")) != std::string::npos;) {
      const std::size_t end = stream.text.find("\n\n", at);
      if (end == std::string::npos) return;
      const long seq = std::atol(stream.text.c_str() + stream.text.find("\"seq\":", at) + 6);
      if (stream.last != 0 && seq != stream.last + 1) ++stream.disordered;
      stream.last = seq;
      stream.seen = now;
      if (stream.board >= 0) Write(stream.board, "GET /api/cases/" + case_id_ + "/panels/run HTTP/1.1\r\n" + head_ + "\r\n");
      stream.text.erase(0, end + 2);
    }
    if (stream.text.size() > 65536) stream.text.clear();
  }

  const std::uint16_t port_;
  const std::string case_id_, head_;
  std::vector<Stream> streams_;
};

}  // namespace fairlead::test
