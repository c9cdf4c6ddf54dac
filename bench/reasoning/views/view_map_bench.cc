// SPDX-License-Identifier: Apache-2.0
// The maps of 181 x 91 views: 80 points of the target, 1,200 of other vessels. Beside them the definition walked pair by
// pair, which is what one would write first.
#include <benchmark/benchmark.h>

#include <cmath>

#include "reasoning/views/advice.h"

namespace fairlead {
namespace {

std::vector<Vec3> Wave(int points, double step, double swing, Vec3 from, Vec3 way) {
  std::vector<Vec3> course;
  for (int i = 0; i < points; ++i) {
    const double s = step * i;
    course.push_back(from + s * Unit(way) + swing * Vec3{std::sin(0.09 * s), std::cos(0.07 * s), std::sin(0.05 * s)});
  }
  return course;
}

// 80 target points and 1,200 neighbours exactly.
TreeBalls Scene() {
  TreeBalls balls;
  for (const Vec3 at : Wave(80, 0.4, 5, {10, -30, 20}, {0.4, -0.3, -0.85})) balls.target.push_back({at, 1.2});
  for (int k = 0; k < 6; ++k) {
    for (const Vec3 at : Wave(200, 0.45, 6, {40.0 - 15 * k, -10.0 + 8 * k, 40.0 - 6 * k}, {0.3 * k - 0.8, 0.5 - 0.2 * k, -0.7})) balls.neighbours.push_back({at, 1.1});
  }
  return balls;
}

void Foreshortening(benchmark::State& state) {
  const auto course = Wave(80, 0.4, 5, {10, -30, 20}, {0.4, -0.3, -0.85});
  for (auto _ : state) benchmark::DoNotOptimize(ForeshorteningMap(ViewGrid{}, course, static_cast<int>(state.range(0))));
}
BENCHMARK(Foreshortening)->Arg(1)->Arg(2)->Unit(benchmark::kMicrosecond)->UseRealTime();

void Overlap(benchmark::State& state) {
  const TreeBalls balls = Scene();
  for (auto _ : state) benchmark::DoNotOptimize(OverlapMap(ViewGrid{}, balls, static_cast<int>(state.range(0))));
}
BENCHMARK(Overlap)->Arg(1)->Arg(2)->Unit(benchmark::kMillisecond)->UseRealTime();

void OverlapPairByPair(benchmark::State& state) {
  const TreeBalls balls = Scene();
  const ViewGrid grid;
  for (auto _ : state) {
    std::vector<double> map;
    for (std::size_t i = 0; i < grid.cells(); ++i) map.push_back(OverlapByDefinition(grid.AnglesAt(i), balls));
    benchmark::DoNotOptimize(map);
  }
}
BENCHMARK(OverlapPairByPair)->Unit(benchmark::kMillisecond)->Iterations(1)->UseRealTime();

void WholeAdvice(benchmark::State& state) {
  ViewQuestion question;
  question.tree = *ModelTree("LAD", 0.3, 0.5);
  for (auto _ : state) benchmark::DoNotOptimize(Advise(question, 2).best.size());
}
BENCHMARK(WholeAdvice)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace
}  // namespace fairlead
