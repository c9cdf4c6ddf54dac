// SPDX-License-Identifier: Apache-2.0
// Two views of 60 mm of an artery with an occlusion of 20 mm in it, marked as a reader would: matched, refined with its
// geometry, and told with its covariance. What stands between the last click and the figure on the page.
#include <benchmark/benchmark.h>

#include "imaging/pair/pair.h"
#include "tests/imaging/pair/invented.h"

namespace fairlead {
namespace {

// An arc of 60 mm, turned by 75 degrees; clicks a pixel off; the gantry half a degree off; `clicks` a side of the caps.
Seen Marked(int clicks) {
  Random random("Bench");
  Seen seen = TwoFrames(TheView(-20, -17), TheView(45, 25));
  Taken taken = AsStated(seen);
  taken.noise_px = 1.0, taken.random = &random;
  taken.views[1].primary = taken.views[1].primary + Angle::Degrees(0.5);
  const Curve artery = ArcOf(60.0 / (75.0 * std::numbers::pi / 180.0), 75.0);
  SeenOcclusion o;
  o.near_cap = MarkAt(taken, "near cap", artery(1.0 / 3.0)), o.far_cap = MarkAt(taken, "far cap", artery(2.0 / 3.0));
  o.before = LinesOf(taken, artery, 0.0, 0.32, clicks);
  o.after = LinesOf(taken, artery, 0.68, 1.0, clicks);
  seen.occlusion = o;
  for (int i = 0; i < 3; ++i)
    seen.marks.push_back(MarkAt(taken, "branch " + std::to_string(i + 1), artery(0.1 + 0.35 * i) + Vec3{9.0 - 7 * i, 6, 4.0 * i}));
  return seen;
}

void SixtyMillimetresInTwoViews(benchmark::State& state) {
  const Seen seen = Marked(static_cast<int>(state.range(0)));
  for (auto _ : state) {
    const auto found = MeasurePair(seen);
    if (!found || !found->occlusion || !found->occlusion->course) return state.SkipWithError("not measured");
    state.counters["length_mm"] = found->occlusion->length.value.millimetres();
  }
}
BENCHMARK(SixtyMillimetresInTwoViews)->Arg(4)->Arg(8)->Arg(16)->Unit(benchmark::kMillisecond)->UseRealTime();

// The whole 60 mm as one vessel.
void AVesselOfSixtyMillimetres(benchmark::State& state) {
  Seen seen = Marked(4);
  Random random("Bench vessel");
  Taken taken = AsStated(seen);
  taken.noise_px = 1.0, taken.random = &random;
  seen.occlusion.reset();
  seen.paths.push_back({"vessel", PathKind::kVessel,
                        LinesOf(taken, ArcOf(60.0 / (75.0 * std::numbers::pi / 180.0), 75.0), 0.0, 1.0, static_cast<int>(state.range(0)))});
  for (auto _ : state) {
    const auto found = MeasurePair(seen);
    if (!found || found->courses.empty()) return state.SkipWithError("not measured");
    state.counters["length_mm"] = found->courses[0].numbers.length.value.millimetres();
  }
}
BENCHMARK(AVesselOfSixtyMillimetres)->Arg(10)->Arg(30)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace
}  // namespace fairlead
