// SPDX-License-Identifier: Apache-2.0
// Goals: 5,000 typed entries folded in under 5 ms; one more in under 0.1 ms.
#include <benchmark/benchmark.h>

#include "casebook/fold.h"
#include "tests/casebook/invented_entries.h"

namespace fairlead {
namespace {

std::vector<Entry> Numbered(std::size_t count) {
  std::vector<Entry> entries = InventedCase(count, "fold_bench");
  for (std::size_t i = 0; i < entries.size(); ++i) entries[i].seq = static_cast<std::int64_t>(i) + 1;
  return entries;
}

void FoldsFiveThousandEntries(benchmark::State& bench) {
  const auto entries = Numbered(5000);
  for (auto _ : bench) {
    bench.PauseTiming();
    auto copy = entries;
    bench.ResumeTiming();
    State state = Fold(std::move(copy));
    benchmark::DoNotOptimize(state);
    bench.PauseTiming();
    state = State{};
    bench.ResumeTiming();
  }
}
BENCHMARK(FoldsFiveThousandEntries)->Unit(benchmark::kMillisecond);

void AddsOneToFiveThousand(benchmark::State& bench) {
  State state = Fold(Numbered(5000));
  std::int64_t seq = 5000;
  for (auto _ : bench) {
    ++seq;
    Entry entry = Written(static_cast<std::uint64_t>(seq) * 1000, LengthOf(12), 300);
    entry.seq = seq;
    AddEntry(state, std::move(entry));
  }
}
BENCHMARK(AddsOneToFiveThousand)->Unit(benchmark::kMicrosecond)->Iterations(20000);

}  // namespace
}  // namespace fairlead
