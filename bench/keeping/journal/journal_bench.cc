// SPDX-License-Identifier: Apache-2.0
// Goals: 5,000 entries opened from disk, checked and folded in under 60 ms; an append durable in about a millisecond.
#include <benchmark/benchmark.h>

#include "casebook/fold.h"
#include "tests/keeping/journal/data_folder.h"

namespace fairlead {
namespace {

void OpensChecksAndFoldsFiveThousandEntries(benchmark::State& bench) {
  DataFolder folder;
  JournalWithCase(folder, 5000).reset();
  for (auto _ : bench) {
    auto journal = Must(OpenJournal(folder.path(), {Access::kReadOnly, {}, 0}));
    benchmark::DoNotOptimize(Fold(Must(journal->Entries("c1"))));
  }
}
BENCHMARK(OpensChecksAndFoldsFiveThousandEntries)->Unit(benchmark::kMillisecond);

void ReadsTheDataOfFiveThousandEntries(benchmark::State& bench) {
  const auto entries = AsIncoming(InventedCase(5000, "journal"));
  for (auto _ : bench)
    for (const IncomingEntry& entry : entries)
      benchmark::DoNotOptimize(ReadEntryData(entry.entry.kind, entry.entry.v, entry.data));
}
BENCHMARK(ReadsTheDataOfFiveThousandEntries)->Unit(benchmark::kMillisecond);

void AppendsOneDurably(benchmark::State& bench) {
  DataFolder folder;
  auto journal = JournalWithCase(folder, 100);
  std::uint64_t n = 100000;
  for (auto _ : bench) Must(journal->Append("c1", std::vector{MakeIncoming(Written(++n, LengthOf(12)))}));
}
BENCHMARK(AppendsOneDurably)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace fairlead
