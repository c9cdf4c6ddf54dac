// SPDX-License-Identifier: Apache-2.0
// The whole audit over 10^4, 10^5 and 10^6 invented cases with ten attempts each, and the making of the packed rows from
// the generator. Prints the memory in use as well.
#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include "practice/audit/audit.h"
#include "practice/audit/invented.h"

namespace fairlead {
namespace {

// A case every five minutes, as all labs of a country together might have; the odds of failure rise for the last tenth.
PackedCases National(std::size_t cases) {
  PackedCases packed;
  packed.Reserve(cases, 10 * cases);
  const Instant last = ParseIso("2026-11-20T09:00:00Z").value();
  std::size_t i = 0;
  InventEach({.seed = 5, .cases = cases, .drift_from = cases - cases / 10, .odds_factor = 1.5, .more_tries = 9, .last = last}, [&](CaseRow&& row) {
    row.began = Instant{last.ms - static_cast<std::int64_t>(cases - i++) * 300'000};
    packed.Add(row);
  });
  packed.Sort();
  return packed;
}

double MegabytesHeld() {
  rusage used{};
  getrusage(RUSAGE_SELF, &used);
  return static_cast<double>(used.ru_maxrss) / 1024;
}

void FullAudit(benchmark::State& state) {
  const PackedCases packed = National(static_cast<std::size_t>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(RunAudit(packed, {}));
  state.counters["peak_MiB"] = MegabytesHeld();
}
void AuditText(benchmark::State& state) {
  const PackedCases packed = National(static_cast<std::size_t>(state.range(0)));
  std::size_t bytes = 0;
  for (auto _ : state) bytes = AuditJson(RunAudit(packed, {}), {}).size();
  state.counters["bytes"] = static_cast<double>(bytes);
}
void OneYearOfOneOperator(benchmark::State& state) {
  const PackedCases packed = National(static_cast<std::size_t>(state.range(0)));
  const Slice slice{.since = ParseIso("2026-01-01T00:00:00Z").value(), .by = "AB"};
  for (auto _ : state) benchmark::DoNotOptimize(RunAudit(packed, slice));
}
void MakePacked(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(National(static_cast<std::size_t>(state.range(0))));
}

BENCHMARK(FullAudit)->RangeMultiplier(10)->Range(10'000, 1'000'000)->Unit(benchmark::kMillisecond);
BENCHMARK(AuditText)->Arg(100'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);
BENCHMARK(OneYearOfOneOperator)->RangeMultiplier(10)->Range(10'000, 1'000'000)->Unit(benchmark::kMillisecond);
BENCHMARK(MakePacked)->RangeMultiplier(10)->Range(10'000, 1'000'000)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace fairlead
