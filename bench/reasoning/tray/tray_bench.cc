// SPDX-License-Identifier: Apache-2.0
#include <benchmark/benchmark.h>

#include "measure/random.h"
#include "reasoning/tray/tray.h"
#include "reasoning/tray/usual_route.h"

namespace fairlead {
namespace {

// The invented shelf over and over, each copy with slightly other sizes, until it has 5,000 devices.
Shelf Wide() {
  Shelf shelf;
  SeededRandom random(9);
  while (shelf.devices.size() < 5000) {
    for (Device device : InventedShelf().devices) {
      device.name += " " + std::to_string(shelf.devices.size());
      for (auto* size : {&device.od_prox, &device.od_dist, &device.profile, &device.lumen}) {
        if (*size) *size = **size * random.Within(0.97, 1.03);
      }
      shelf.devices.push_back(std::move(device));
    }
  }
  return shelf;
}

void BM_WholeLadderOnFiveThousandDevices(benchmark::State& state) {
  const Shelf shelf = Wide();
  TrayQuestion question;
  question.strategies = {"AW", "ADR", "RW", "RDR"};
  question.antegrade = UsualAntegrade("RCA");
  question.retrograde = UsualRetrograde("RCA", "septal");
  question.vessel = Length::Millimetres(3);
  question.today = "2026-11-25";
  for (auto _ : state) benchmark::DoNotOptimize(ChooseTray(question, shelf));
}
BENCHMARK(BM_WholeLadderOnFiveThousandDevices)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace fairlead
