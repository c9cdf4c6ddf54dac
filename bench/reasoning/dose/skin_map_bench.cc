// SPDX-License-Identifier: Apache-2.0
// The skin map of 1,000 events on about 20,000 places, one thread and two, beside the plain walk over every place and
// event of the tests, whose answer is the same.
#include <benchmark/benchmark.h>

#include "reasoning/dose/estimate.h"
#include "tests/reasoning/dose/worked_events.h"

namespace fairlead {
namespace {

void Map(benchmark::State& state) {
  const auto events = EventsOf(SeededShots(5, 1000));
  const BeamSettings settings = WorkedSettings();
  const Beams beams = BeamsOf(events, settings);
  const Skin skin = SkinOf(settings.body.torso, Length::Millimetres(5.6));
  for (auto _ : state) benchmark::DoNotOptimize(MapOf(beams.beams, settings.body, skin, static_cast<int>(state.range(0))));
  state.counters["places"] = static_cast<double>(skin.places());
}
BENCHMARK(Map)->Arg(1)->Arg(2)->Unit(benchmark::kMillisecond)->UseRealTime();

void WithPeak(benchmark::State& state) {
  const auto events = EventsOf(SeededShots(5, 1000));
  for (auto _ : state) benchmark::DoNotOptimize(EstimateSkin(events, WorkedSettings(), 2).peak.gray);
}
BENCHMARK(WithPeak)->Unit(benchmark::kMillisecond)->UseRealTime();

void PlainWalk(benchmark::State& state) {
  const auto shots = SeededShots(5, 1000);
  const Skin skin = SkinOf(WorkedSettings().body.torso, Length::Millimetres(5.6));
  const SkinPart& part = skin.parts[0];
  for (auto _ : state) {
    std::vector<double> dose;
    for (int a = 0; a < part.along; ++a) {
      for (int r = 0; r < part.round; ++r) {
        double sum = 0;
        for (const plain::Shot& shot : shots) sum += plain::Dose(shot, WorkedPerson(), 2 * std::numbers::pi * r / part.round, part.z0 + a * part.step_z);
        dose.push_back(sum);
      }
    }
    benchmark::DoNotOptimize(dose);
  }
}
BENCHMARK(PlainWalk)->Unit(benchmark::kMillisecond)->Iterations(1)->UseRealTime();

}  // namespace
}  // namespace fairlead
