// SPDX-License-Identifier: Apache-2.0
// A whole plan: goal below 50 ms up to five strategies.
#include <benchmark/benchmark.h>

#include "tests/reasoning/strategy/invented_model.h"

namespace fairlead {
namespace {

// Strategies, classes, budgets held (1: minutes; 3: contrast and kerma too).
void SolvePlan(benchmark::State& state) {
  SeededRandom random(3);
  LadderModel model = InventedModel(random, static_cast<int>(state.range(0)), static_cast<int>(state.range(1)), 120);
  model.budget = {120.0, std::nullopt, std::nullopt};
  if (state.range(2) == 3) model.budget = {120.0, 150.0, 2500.0};
  for (auto _ : state) benchmark::DoNotOptimize(Solve(model));
}
BENCHMARK(SolvePlan)->ArgsProduct({{3, 4, 5, 8}, {1, 2}, {1, 3}})->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace fairlead
