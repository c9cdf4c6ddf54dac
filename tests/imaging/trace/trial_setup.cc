// SPDX-License-Identifier: Apache-2.0
#include "tests/imaging/trace/trial_setup.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <utility>

#include "imaging/phantom/random.h"
#include "tests/imaging/trace/other_runs.h"

namespace fairlead {
namespace {

constexpr std::array<std::string_view, 3> kScenes = {"open-left", "open-right", "open-left"};

void Narrow(Vessel& vessel, std::size_t middle, double depth, double width_mm) {
  double along = 0.0;
  std::vector<double> at(vessel.nodes.size(), 0.0);
  for (std::size_t i = 1; i < vessel.nodes.size(); ++i) at[i] = along += Norm(vessel.nodes[i].at - vessel.nodes[i - 1].at);
  for (std::size_t i = 0; i < vessel.nodes.size(); ++i) {
    const double off = (at[i] - at[middle]) / width_mm;
    vessel.nodes[i].radius *= 1.0 - depth * std::exp(-0.5 * off * off);
  }
}

std::vector<TruePoint> Truth(const Vessel& vessel, const Moment& moment, const Projector& project) {
  std::vector<TruePoint> truth;
  double along = 0.0;
  for (std::size_t i = 0; i < vessel.nodes.size(); ++i) {
    const Vec3 here = PlaceOf(vessel.nodes[i], moment);
    if (i > 0) along += Norm(here - PlaceOf(vessel.nodes[i - 1], moment));
    const auto hit = project(here);
    truth.push_back({{hit.at.column, hit.at.row}, 2.0 * vessel.nodes[i].radius * hit.pixels_per_mm, hit.pixels_per_mm, along});
  }
  return truth;
}

bool InsidePicture(const TruePoint& p, const View& view) {
  return p.at.x > 25 && p.at.y > 20 && p.at.x < view.columns - 25 && p.at.y < view.rows - 20;
}

// A stretch of 20 to 40 mm that is inside the picture, at least 0.8 mm wide, and not seen end-on.
bool ChooseStretch(TrialSetup& s, SeededRandom& random) {
  const Vessel& vessel = s.scene.vessels[s.vessel];
  const auto truth = Truth(vessel, TrialMoment(s), Projector(s.plan.view));
  const double wanted = random.Within(20.0, 40.0), total = truth.back().along_mm;
  if (total < wanted + 6.0) return false;
  const double from = random.Within(3.0, total - wanted - 3.0);
  s.begin = s.end = 0;
  double px = 0.0;
  for (std::size_t i = 0; i < truth.size(); ++i) {
    if (truth[i].along_mm < from) s.begin = i + 1;
    if (truth[i].along_mm <= from + wanted) s.end = i;
  }
  for (std::size_t i = s.begin; i <= s.end; ++i) {
    if (!InsidePicture(truth[i], s.plan.view) || truth[i].wide_px < truth[i].per_mm * 0.8) return false;
    if (i > s.begin) px += std::hypot(truth[i].at.x - truth[i - 1].at.x, truth[i].at.y - truth[i - 1].at.y);
  }
  const double seen = px / truth[s.begin].per_mm;
  return seen > 0.7 * wanted;
}

// Scene, view, filling and noise, drawn by lot.
bool DrawRun(TrialSetup& s, const TrialOrder& order, SeededRandom& random) {
  const std::uint64_t tree = random.Next() % 100000;  // drawn first, so that a seed's run stays the same with every compiler
  auto scene = MakeScene(order.other ? OtherSceneName(random) : kScenes[random.Next() % kScenes.size()], tree);
  if (!scene.ok()) return false;
  s.scene = std::move(*scene);
  const double primary = random.Within(-45.0, 55.0);
  s.plan.view = UsualView(Angle::Degrees(primary), Angle::Degrees(random.Within(-30.0, 30.0)));
  for (const GuideCatheter& catheter : s.scene.catheters) s.plan.injections.push_back({catheter.ostium, Duration{}, Duration::Seconds(3.0)});
  s.plan.frames = 2;
  s.plan.frame_time = Duration::Milliseconds(random.Within(850.0, 1000.0));
  s.plan.grade = order.grade;
  s.plan.seed = random.Next() % 1000000;
  if (order.other) MakeOther(s.scene, s.plan, random);
  return true;
}

std::vector<std::size_t> LargeArteries(const Scene& scene) {
  std::vector<std::size_t> arteries;
  for (std::size_t v = 0; v < scene.vessels.size(); ++v) {
    const Vessel& vessel = scene.vessels[v];
    if (vessel.kind == VesselKind::kArtery && !scene.catheters.empty() && vessel.nodes.size() > 40 && vessel.nodes.front().radius > 0.7) arteries.push_back(v);
  }
  return arteries;
}

void NarrowSomewhere(TrialSetup& s, SeededRandom& random) {
  Vessel& vessel = s.scene.vessels[s.vessel];
  const std::size_t stretch = s.end - s.begin;
  const std::size_t middle = s.begin + stretch * 2 / 5 + random.Next() % std::max<std::size_t>(1, stretch / 5);
  s.healthy_least_mm = 2.0 * vessel.nodes[middle].radius;
  const double width_mm = random.Within(1.5, 3.0);
  Narrow(vessel, middle, random.Within(0.25, 0.6), width_mm);
}

}  // namespace

Moment TrialMoment(const TrialSetup& s) { return MomentAt(s.scene, s.plan.frame_time * (s.plan.frames - 1), s.plan.grade != Grade::kClean); }

std::optional<TrialSetup> SetUpTrial(const TrialOrder& order) {
  SeededRandom random(order.seed * 1000003 + static_cast<std::uint64_t>(order.grade) * 77 + (order.narrowed ? 5 : 0));
  for (int attempt = 0; attempt < 40; ++attempt) {
    TrialSetup s;
    if (!DrawRun(s, order, random)) return std::nullopt;
    const std::vector<std::size_t> arteries = LargeArteries(s.scene);
    if (arteries.empty()) continue;
    s.vessel = arteries[random.Next() % arteries.size()];
    if (!ChooseStretch(s, random)) continue;
    if (order.other && !FilledBetween(s.scene, s.vessel, s.begin, s.end)) continue;
    if (order.narrowed) NarrowSomewhere(s, random);
    s.truth = Truth(s.scene.vessels[s.vessel], TrialMoment(s), Projector(s.plan.view));
    return s;
  }
  return std::nullopt;
}

}  // namespace fairlead
