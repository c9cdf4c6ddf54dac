// SPDX-License-Identifier: Apache-2.0
#include "tests/imaging/trace/other_runs.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "imaging/phantom/flow.h"
#include "imaging/phantom/heart.h"

namespace fairlead {
namespace {

double LogWithin(SeededRandom& random, double from, double to) { return from * std::pow(to / from, random.Share()); }

void Reshape(Scene& scene, SeededRandom& random) {
  const double size = random.Within(0.8, 1.25);
  for (Vessel& vessel : scene.vessels) {
    for (Node& node : vessel.nodes) node.radius *= size;
    const double amplitude = random.Within(0.0, 1.6), wavelength = random.Within(12.0, 30.0);
    if (vessel.kind == VesselKind::kArtery) Wind(vessel.nodes, amplitude, wavelength, random.Within(0.0, 360.0));
  }
  for (GuideCatheter& catheter : scene.catheters) {
    const double french = 5.0 + static_cast<double>(random.Next() % 4);
    for (Node& node : catheter.course) node.radius *= french / catheter.french;
    catheter.french = french;
  }
}

void Harden(Scene& scene, SeededRandom& random) {
  const auto flecks = random.Next() % 12;
  for (std::uint64_t i = 0; i < flecks; ++i) {
    const Vessel& vessel = scene.vessels[random.Next() % scene.vessels.size()];
    if (vessel.kind != VesselKind::kArtery || vessel.nodes.size() < 10) continue;
    const std::size_t at = 1 + random.Next() % (vessel.nodes.size() - 2);
    const Vec3 along = Unit(vessel.nodes[at + 1].at - vessel.nodes[at - 1].at);
    const Vec3 side = Unit(Cross(along, Vec3{random.Within(-1, 1), random.Within(-1, 1), random.Within(-1, 1.1)}));
    CalciumFleck fleck{vessel.nodes[at], random.Within(0.8, 2.4) * along};
    fleck.at.at = fleck.at.at + 1.2 * vessel.nodes[at].radius * side;
    fleck.at.radius = random.Within(0.2, 0.45);
    scene.calcium.push_back(fleck);
  }
}

}  // namespace

std::string_view OtherSceneName(SeededRandom& random) {
  const auto names = SceneNames();
  return names[random.Next() % names.size()];
}

void MakeOther(Scene& scene, RunPlan& plan, SeededRandom& random) {
  Reshape(scene, random);
  Harden(scene, random);
  NoiseLevel level;
  level.quanta = LogWithin(random, 120.0, 2400.0);
  level.electronic = random.Within(1.0, 6.0);
  level.scatter = random.Within(0.1, 0.8);
  level.contrast = random.Within(0.30, 0.50);
  level.blur = random.Within(0.6, 1.5);
  level.busy = random.Within(0.2, 1.6);
  plan.level = level;
  plan.bits_stored = random.Next() % 2 == 0 ? 8 : 12;
  View& view = plan.view;
  view.source_to_detector = Length::Millimetres(random.Within(950.0, 1200.0));
  view.source_to_isocentre = Length::Millimetres(random.Within(700.0, 800.0));
  // A field of 130 to 250 mm at the detector, on 512, 768 or 1024 pixels.
  constexpr std::array<int, 3> kSizes = {512, 768, 1024};
  view.rows = view.columns = kSizes[random.Next() % kSizes.size()];
  view.row_spacing = view.column_spacing = Length::Millimetres(random.Within(130.0, 250.0) / view.columns);
}

bool FilledBetween(const Scene& scene, std::size_t vessel, std::size_t first, std::size_t last) {
  std::vector<double> most(scene.vessels[vessel].nodes.size(), 0.0);
  for (const GuideCatheter& catheter : scene.catheters) {
    const auto arrivals = ArrivalsFrom(scene, catheter.ostium);
    for (std::size_t i = first; i <= last; ++i) {
      if (arrivals[vessel][i].seconds >= 0.0 && arrivals[vessel][i].seconds < 0.5) most[i] = std::max(most[i], arrivals[vessel][i].share);
    }
  }
  return std::all_of(most.begin() + static_cast<std::ptrdiff_t>(first), most.begin() + static_cast<std::ptrdiff_t>(last) + 1, [](double share) { return share > 0.5; });
}

}  // namespace fairlead
