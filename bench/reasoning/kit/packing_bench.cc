// SPDX-License-Identifier: Apache-2.0
#include <benchmark/benchmark.h>

#include "reasoning/kit/packing.h"

namespace fairlead {
namespace {

std::vector<Length> Mm(std::initializer_list<double> values) {
  std::vector<Length> lengths;
  for (const double v : values) lengths.push_back(Length::Millimetres(v));
  return lengths;
}

void Run(benchmark::State& state, const std::vector<Length>& given) {
  Packing packing;
  for (auto _ : state) benchmark::DoNotOptimize(packing = Pack(given));
  state.counters["smallest_mm"] = packing.smallest.millimetres();
  state.counters["proved_mm"] = packing.proved.millimetres();
}

void BM_ThreeShafts(benchmark::State& state) { Run(state, Mm({1.06, 0.93, 0.83})); }
void BM_ThreeShaftsAndThreeWires(benchmark::State& state) { Run(state, Mm({0.93, 0.93, 0.83, 0.3556, 0.3556, 0.3556})); }
void BM_FourShafts(benchmark::State& state) { Run(state, Mm({0.87, 0.87, 0.87, 0.62})); }
void BM_FiveShafts(benchmark::State& state) { Run(state, Mm({1.0, 0.9, 0.8, 0.7, 0.6})); }
void BM_SevenUnequal(benchmark::State& state) { Run(state, Mm({1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4})); }
void BM_TenEqual(benchmark::State& state) { Run(state, std::vector<Length>(10, Length::Millimetres(0.8))); }
void BM_TenUnequal(benchmark::State& state) {
  Run(state, Mm({1.1, 1.0, 0.95, 0.9, 0.8, 0.75, 0.7, 0.6, 0.5, 0.4}));
}
BENCHMARK(BM_ThreeShafts);
BENCHMARK(BM_ThreeShaftsAndThreeWires);
BENCHMARK(BM_FourShafts)->Unit(benchmark::kMillisecond);
BENCHMARK(BM_FiveShafts)->Unit(benchmark::kMillisecond);
BENCHMARK(BM_SevenUnequal)->Unit(benchmark::kMillisecond);
BENCHMARK(BM_TenEqual)->Unit(benchmark::kMillisecond);
BENCHMARK(BM_TenUnequal)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace fairlead
