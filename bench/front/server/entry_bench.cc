// SPDX-License-Identifier: Apache-2.0
// From an entry, acknowledged after it is on the disk, to 200 followers of its case; the whole engine, over loopback.
#include <benchmark/benchmark.h>

#include <cstdlib>
#include <filesystem>
#include <string>
#include <thread>
#include <vector>

#include "tests/front/server/followers.h"

namespace fairlead {
namespace {

// An invented run of 80 entries, three hours long.
std::vector<std::string> InventedRun() {
  std::vector<std::string> lines{"access femoral r @-180m", "guide a in 7F 90cm @-179m", "guide r in 7F 90cm @-178m", "wire a in soft 0.8g 190cm @-176m",
                                 "mc a in 135cm @-175m", "hep 8000 @-174m", "start AW @-170m"};
  for (int minute = 168; minute >= 4 && lines.size() < 80; minute -= 4) {
    const std::string at = " @-" + std::to_string(minute) + "m";
    lines.push_back("contrast =" + std::to_string(20 + (168 - minute)) + at);
    const bool blood = minute % 16 == 0;
    lines.push_back(blood ? "act " + std::to_string(280 + minute % 50) + at : minute % 24 == 0 ? "hep 2000" + at : "bp 1" + std::to_string(10 + minute % 30) + "/70" + at);
  }
  return lines;
}

void EntryTo(benchmark::State& state, bool boards) {
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
  const std::string head = host + "Cookie: " + answer.substr(at, answer.find(';', at) - at) + "\r\n";
  for (const std::string& line : InventedRun()) {
    const std::string body = R"({"text":")" + line + R"(","by":"AB","write":true,"confirm":true})";
    test::Wire typed((*engine)->port());
    typed.Send("POST /api/cases/" + *case_id + "/log HTTP/1.1\r\n" + head + "Connection: close\r\nContent-Type: application/json\r\nContent-Length: " +
               std::to_string(body.size()) + "\r\n\r\n" + body);
    if (const std::string said = typed.ReceiveAll(); test::StatusOf(said) != 200) return state.SkipWithError((line + ": " + said).c_str());
  }
  test::Reached reached;
  {
    test::Crowd crowd((*engine)->port(), *case_id, head, 200, boards);
    for (auto _ : state) reached = crowd.Send(200, std::chrono::milliseconds(50));
  }
  state.counters["ack_p50_ms"] = test::Share(reached.from_ack_ms, 0.5);
  state.counters["ack_p99_ms"] = test::Share(reached.from_ack_ms, 0.99);
  state.counters["sent_p99_ms"] = test::Share(reached.from_sent_ms, 0.99);
  if (boards) state.counters["board_p50_ms"] = test::Share(reached.board_ms, 0.5), state.counters["board_p99_ms"] = test::Share(reached.board_ms, 0.99);
  state.counters["missing"] = static_cast<double>(reached.missing + reached.disordered);
  (*engine)->Stop();
  running.join();
  engine->reset();
  std::filesystem::remove_all(folder);
}
void EntryToTwoHundredFollowers(benchmark::State& state) { EntryTo(state, false); }
void EntryToTwoHundredBoards(benchmark::State& state) { EntryTo(state, true); }
BENCHMARK(EntryToTwoHundredBoards)->Unit(benchmark::kSecond)->Iterations(1);
BENCHMARK(EntryToTwoHundredFollowers)->Unit(benchmark::kSecond)->Iterations(1);

}  // namespace
}  // namespace fairlead
