// SPDX-License-Identifier: Apache-2.0
// A run as the demonstration makes it: 512 x 512 x 45, and the file with lossless compression.
#include <benchmark/benchmark.h>

#include "imaging/phantom/truth.h"

namespace fairlead {
namespace {

void RenderOneRun(benchmark::State& state) {
  const Scene scene = MakeScene("short-right", 1).value();
  const RunPlan plan = UsualRuns(scene, Grade::kTypical).front();
  for (auto _ : state) benchmark::DoNotOptimize(RenderRun(scene, plan));
}
BENCHMARK(RenderOneRun)->Unit(benchmark::kMillisecond);

void RenderAndWriteOneRun(benchmark::State& state) {
  const Scene scene = MakeScene("short-right", 1).value();
  const RunPlan plan = UsualRuns(scene, Grade::kTypical).front();
  for (auto _ : state) benchmark::DoNotOptimize(PhantomFile(scene, plan, 1));
}
BENCHMARK(RenderAndWriteOneRun)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace fairlead
