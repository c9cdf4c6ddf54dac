// SPDX-License-Identifier: Apache-2.0
// From an entry, acknowledged after it is on the disk, to 200 followers of its case; the whole engine, over loopback.
#include <benchmark/benchmark.h>

#include <cstdlib>
#include <filesystem>
#include <thread>

#include "tests/front/server/followers.h"

namespace fairlead {
namespace {

void EntryToTwoHundredFollowers(benchmark::State& state) {
  const auto folder = std::filesystem::temp_directory_path() / ("fairlead-bench-" + RandomHex(8));
  NoLog log;
  EngineSettings settings;
  settings.folder = folder;
  settings.port = 0;
  auto engine = OpenEngine(settings, log);
  if (!engine.ok()) return state.SkipWithError("cannot listen");
  std::jthread running([&] { (*engine)->Run(); });
  auto case_id = (*engine)->practice().NewCase("invented", "1", "bench");
  const std::string host = "Host: 127.0.0.1:" + std::to_string((*engine)->port()) + "\r\n";
  const std::string address = (*engine)->NewAddress();
  test::Wire wire((*engine)->port());
  wire.Send("GET " + address.substr(address.find("/?")) + " HTTP/1.1\r\n" + host + "Connection: close\r\n\r\n");
  const std::string answer = wire.ReceiveAll();
  const auto at = answer.find("Set-Cookie: ") + 12;
  test::Reached reached;
  {
    test::Crowd crowd((*engine)->port(), *case_id, host + "Cookie: " + answer.substr(at, answer.find(';', at) - at) + "\r\n", 200);
    for (auto _ : state) reached = crowd.Send(200, std::chrono::milliseconds(50));
  }
  state.counters["ack_p50_ms"] = test::Share(reached.from_ack_ms, 0.5);
  state.counters["ack_p99_ms"] = test::Share(reached.from_ack_ms, 0.99);
  state.counters["sent_p99_ms"] = test::Share(reached.from_sent_ms, 0.99);
  state.counters["missing"] = static_cast<double>(reached.missing + reached.disordered);
  (*engine)->Stop();
  running.join();
  engine->reset();
  std::filesystem::remove_all(folder);
}
BENCHMARK(EntryToTwoHundredFollowers)->Unit(benchmark::kSecond)->Iterations(1);

}  // namespace
}  // namespace fairlead
