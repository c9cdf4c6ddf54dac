// SPDX-License-Identifier: Apache-2.0
// Both borders of a pullback of 512 x 512 pixels, from pixels to borders; the time is that of all frames together.
// race_scikit.py times a plain pipeline on the same picture.
#include <benchmark/benchmark.h>

#include "tests/imaging/pullback/scene.h"

namespace fairlead {
namespace {

const InventedPullback& Pullback() {
  static const InventedPullback made = *InventPullback(OrderOf("open", Grade::kTypical, 1, 300, 512));
  return made;
}

void BothBorders(benchmark::State& state) {
  const PullbackQuestion question = QuestionOf(Pullback());
  for (auto _ : state) {
    auto polar = ToPolar(question.stack, {});
    benchmark::DoNotOptimize(FindBorders(*polar, {}, {}));
  }
  state.counters["ms_a_frame"] = benchmark::Counter(0.3, benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}
BENCHMARK(BothBorders)->Unit(benchmark::kMillisecond)->UseRealTime();

void WholeReading(benchmark::State& state) {
  const PullbackQuestion question = QuestionOf(Pullback());
  for (auto _ : state) benchmark::DoNotOptimize(ReadPullback(question, {}));
}
BENCHMARK(WholeReading)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace
}  // namespace fairlead
