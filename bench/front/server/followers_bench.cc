// SPDX-License-Identifier: Apache-2.0
// How long an event of 5 KB takes to reach each of 200 followers, all on this machine.
#include <arpa/inet.h>
#include <benchmark/benchmark.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <mutex>
#include <thread>
#include <vector>

#include "front/server/http.h"

namespace fairlead {
namespace {

using Clock = std::chrono::steady_clock;
constexpr std::size_t kFollowers = 200;
constexpr std::size_t kEvent = 5 * 1024;

int Follow(std::uint16_t port) {
  const int fd = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
  sockaddr_in place{};
  place.sin_family = AF_INET;
  place.sin_port = htons(port);
  place.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  static constexpr std::string_view kAsk = "GET / HTTP/1.1\r\nHost: x\r\n\r\n";
  if (::connect(fd, reinterpret_cast<const sockaddr*>(&place), sizeof place) != 0) std::abort();
  if (::send(fd, kAsk.data(), kAsk.size(), 0) != static_cast<ssize_t>(kAsk.size())) std::abort();
  return fd;
}

// Reads from all followers until each has had `each` bytes; gives the moment at which each had them.
std::vector<double> Await(std::vector<pollfd>& all, std::vector<std::size_t>& had, std::size_t each, Clock::time_point from) {
  std::vector<double> took;
  std::vector<char> piece(65536);
  while (took.size() < all.size()) {
    ::poll(all.data(), all.size(), 1000);
    for (std::size_t i = 0; i < all.size(); ++i) {
      if ((all[i].revents & POLLIN) == 0) continue;
      const auto n = ::recv(all[i].fd, piece.data(), piece.size(), 0);
      if (n <= 0) std::abort();
      had[i] += static_cast<std::size_t>(n);
      if (had[i] >= each && had[i] - static_cast<std::size_t>(n) < each) {
        took.push_back(std::chrono::duration<double, std::milli>(Clock::now() - from).count());
      }
    }
  }
  return took;
}

void TwoHundredFollowers(benchmark::State& state) {
  std::mutex mutex;
  std::vector<std::shared_ptr<Stream>> streams;
  Service service;
  service.admit = [](const RequestHead&) { return Admission{}; };
  service.refuse = [](int, std::string, std::string) { return Response{}; };
  service.tick = [] {};
  service.answer = [&](const Request&, const std::shared_ptr<Reply>& reply) {
    const std::lock_guard lock(mutex);
    streams.push_back(reply->Open());
  };
  ServerSettings settings;
  settings.port = 0;
  auto server = Listen(settings, std::move(service));
  if (!server.ok()) return state.SkipWithError("cannot listen");
  std::jthread running([&] { (*server)->Run(); });
  std::vector<pollfd> all;
  for (std::size_t i = 0; i < kFollowers; ++i) all.push_back({Follow((*server)->port()), POLLIN, 0});
  std::vector<std::size_t> had(kFollowers, 0);
  const auto count = [&] {
    const std::lock_guard lock(mutex);
    return streams.size();
  };
  while (count() < kFollowers) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  std::this_thread::sleep_for(std::chrono::milliseconds(200));
  std::vector<char> heads(65536);
  for (const auto& follower : all) {
    if (::recv(follower.fd, heads.data(), heads.size(), 0) <= 0) std::abort();
  }
  const auto event = std::make_shared<const std::string>(kEvent, 'e');
  std::vector<double> took;
  std::size_t each = 0;
  for (auto _ : state) {
    each += kEvent;
    const auto from = Clock::now();
    std::jthread tell([&] {
      for (const auto& stream : streams) stream->Send(event);
    });
    const auto these = Await(all, had, each, from);
    took.insert(took.end(), these.begin(), these.end());
  }
  std::sort(took.begin(), took.end());
  state.counters["p50_ms"] = took[took.size() / 2];
  state.counters["p99_ms"] = took[took.size() * 99 / 100];
  state.counters["worst_ms"] = took.back();
  streams.clear();
  (*server)->Stop();
  running.join();
  for (const auto& follower : all) ::close(follower.fd);
}
BENCHMARK(TwoHundredFollowers)->Unit(benchmark::kMillisecond)->Iterations(200);

}  // namespace
}  // namespace fairlead
