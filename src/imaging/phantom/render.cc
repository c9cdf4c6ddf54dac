// SPDX-License-Identifier: Apache-2.0
#include "imaging/phantom/render.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <string>
#include <utility>

#include "geometry/trigonometry.h"
#include "imaging/phantom/canvas.h"
#include "imaging/phantom/catheter.h"
#include "imaging/phantom/chest.h"
#include "imaging/phantom/exposure.h"
#include "imaging/phantom/flow.h"

namespace fairlead {
namespace {

constexpr std::array<std::string_view, 3> kGrades{"clean", "typical", "poor"};
constexpr double kCatheterWall = 0.50;  // 1/mm; chosen: an empty catheter shows as two lines
constexpr double kCalcium = 0.16;       // 1/mm beyond water; chosen
constexpr double kLongestChord = 2.0;   // times the diameter: a tube seen end-on is no infinite shadow

using Filling = std::vector<std::vector<Arrival>>;

struct Injecting {
  Injection injection;
  Filling arrivals;
};

class Frames {
 public:
  Frames(const Scene& scene, const RunPlan& plan)
      : scene_(scene), plan_(plan), project_(plan.view), level_(LevelOf(plan)), canvas_(plan.view.rows, plan.view.columns) {
    for (const Injection& injection : plan.injections) injecting_.push_back({injection, ArrivalsFrom(scene, injection.ostium)});
  }

  // Attenuation of vessels, catheters and calcium at a time, without the chest.
  std::span<const float> At(Duration time) {
    canvas_.Clear();
    moment_ = MomentAt(scene_, time, plan_.grade != Grade::kClean);
    time_ = time.seconds();
    for (std::size_t i = 0; i < scene_.vessels.size(); ++i) DrawVessel(i);
    for (const GuideCatheter& catheter : scene_.catheters) DrawCatheter(catheter);
    for (const CalciumFleck& fleck : scene_.calcium) DrawFleck(fleck);
    return canvas_.sums();
  }

 private:
  double ContrastAt(std::size_t vessel, std::size_t node) const {
    double most = 0.0;
    for (const auto& [injection, arrivals] : injecting_) {
      if (arrivals[vessel].empty()) continue;
      most = std::max(most, FillingAt(arrivals[vessel][node], time_ - injection.start.seconds(), injection.length.seconds()));
    }
    return most;
  }

  TubePoint Shadow(Vec3 at, Vec3 along, double radius, double per_mm) const {
    const auto hit = project_(at);
    const Vec3 ray = Unit(at - project_.source());
    const double across = Norm(Cross(Unit(along), ray));
    const double chord = 2.0 * radius * std::min(kLongestChord, 1.0 / std::max(1e-3, across));
    return {static_cast<float>(hit.at.column), static_cast<float>(hit.at.row), static_cast<float>(radius * hit.pixels_per_mm),
            static_cast<float>(chord * per_mm)};
  }

  // The piece of a vessel between two nodes.
  void DrawStretch(std::size_t index, std::size_t first, std::size_t last, bool flat_start, bool flat_end) {
    const auto& nodes = scene_.vessels[index].nodes;
    points_.clear();
    for (std::size_t i = first; i <= last; ++i) {
      const Vec3 before = PlaceOf(nodes[i > 0 ? i - 1 : 0], moment_), after = PlaceOf(nodes[std::min(i + 1, nodes.size() - 1)], moment_);
      points_.push_back(Shadow(PlaceOf(nodes[i], moment_), after - before, nodes[i].radius, level_.contrast * ContrastAt(index, i)));
    }
    canvas_.DrawTube(points_, flat_start, flat_end);
  }

  void DrawVessel(std::size_t index) {
    const Vessel& vessel = scene_.vessels[index];
    // A branch begins at the wall of its parent, else the two chords would add up inside it.
    std::size_t first = 0;
    if (vessel.from.vessel >= 0) {
      const double wall = 0.85 * scene_.vessels[static_cast<std::size_t>(vessel.from.vessel)].nodes[vessel.from.node].radius;
      while (first + 3 < vessel.nodes.size() && Norm(vessel.nodes[first].at - vessel.nodes[0].at) < wall) ++first;
    }
    const std::size_t last = vessel.nodes.size() - 1;
    if (!scene_.occlusion || scene_.occlusion->vessel != static_cast<int>(index)) {
      DrawStretch(index, first, last, false, false);
      return;
    }
    DrawStretch(index, first, scene_.occlusion->proximal, false, true);
    DrawStretch(index, scene_.occlusion->distal, last, true, false);
  }

  void DrawCatheter(const GuideCatheter& catheter) {
    double filled = 0.0;
    for (const auto& [injection, arrivals] : injecting_) {
      if (injection.ostium != catheter.ostium) continue;
      filled = std::max(filled, FillingAt({0.0, 1.0}, time_ - injection.start.seconds(), injection.length.seconds()));
    }
    const auto& nodes = catheter.course;
    const double fills = level_.contrast * filled - kCatheterWall;  // of the bore, against the wall that it displaces
    points_.clear();
    bore_.clear();
    for (std::size_t i = 0; i < nodes.size(); ++i) {
      const Vec3 at = PlaceOf(nodes[i], moment_);
      const Vec3 along = PlaceOf(nodes[std::min(i + 1, nodes.size() - 1)], moment_) - PlaceOf(nodes[i > 0 ? i - 1 : 0], moment_);
      points_.push_back(Shadow(at, along, nodes[i].radius, kCatheterWall));
      bore_.push_back(Shadow(at, along, kBoreShare * nodes[i].radius, std::abs(fills)));
    }
    canvas_.DrawTube(points_, true, false);
    canvas_.DrawTube(bore_, true, false, fills < 0.0 ? -1.0f : 1.0f);
  }

  void DrawFleck(const CalciumFleck& fleck) {
    const Vec3 at = PlaceOf(fleck.at, moment_);
    points_.clear();
    for (const double side : {-1.0, 0.0, 1.0}) points_.push_back(Shadow(at + side * fleck.towards, fleck.towards, fleck.at.radius, 2.0 * kCalcium));
    canvas_.DrawTube(points_, false, false);
  }

  const Scene& scene_;
  const RunPlan& plan_;
  Projector project_;
  NoiseLevel level_;
  Canvas canvas_;
  std::vector<Injecting> injecting_;
  std::vector<TubePoint> points_, bore_;
  Moment moment_;
  double time_ = 0.0;
};

std::vector<float> InsideCollimator(const RunPlan& plan, const PhantomRun& run) {
  std::vector<float> inside;
  const auto edge = [](double distance) { return static_cast<float>(std::clamp(0.5 + distance / 3.0, 0.0, 1.0)); };
  for (int row = 0; row < plan.view.rows; ++row) {
    const float y = std::min(edge(row - run.top + 0.5), edge(run.bottom - row + 0.5));
    for (int column = 0; column < plan.view.columns; ++column) {
      inside.push_back(std::min(y, std::min(edge(column - run.left + 0.5), edge(run.right - column + 0.5))));
    }
  }
  return inside;
}

Status CheckPlan(const RunPlan& plan) {
  if (const Status good = CheckView(plan.view); !good) return good.error();
  if (plan.bits_stored != 8 && plan.bits_stored != 12) return Error{"a phantom run stores 8 or 12 bits, not " + std::to_string(plan.bits_stored), "", "choose 8 or 12"};
  if (plan.frames < 1 || plan.frames > 300) return Error{"a phantom run has 1 to 300 frames, not " + std::to_string(plan.frames), "", "choose a number of frames from 1 to 300"};
  if (!(plan.frame_time.milliseconds() >= 20.0 && plan.frame_time.milliseconds() <= 1000.0)) {
    return Error{"the time between frames is not between 20 and 1000 ms", "", "choose a time between 20 and 1000 ms"};
  }
  if (plan.view.rows < 64 || plan.view.columns < 64 || plan.view.rows > 2048 || plan.view.columns > 2048) {
    return Error{"a phantom run has 64 to 2048 rows and columns", "", "choose a smaller or larger picture"};
  }
  return Done{};
}

}  // namespace

std::string_view GradeName(Grade grade) { return kGrades[static_cast<std::size_t>(grade)]; }

Result<Grade> ParseGrade(std::string_view name) {
  for (std::size_t i = 0; i < kGrades.size(); ++i) {
    if (name == kGrades[i]) return static_cast<Grade>(i);
  }
  return Error{"there is no grade \"" + std::string(name) + "\"", "", "choose clean, typical or poor"};
}

View UsualView(Angle primary, Angle secondary) {
  return {primary, secondary, Length::Millimetres(1100), Length::Millimetres(765), Length::Millimetres(0.3125), Length::Millimetres(0.3125), 512, 512, {}};
}

NoiseLevel NoiseOf(Grade grade) {
  // Quanta a pixel of 0.3 mm at 0.1 to 0.2 uGy a frame (30 000 per mm2 and uGy, beam quality RQA5, from memory) times a
  // detective efficiency of 0.7; scatter behind a grid 0.3 to 1.0, from memory; contrast and blur chosen.
  switch (grade) {
    case Grade::kClean: return {1200.0, 2.0, 0.20, 0.42, 0.75, 0.3};
    case Grade::kTypical: return {300.0, 3.0, 0.40, 0.40, 0.95, 1.0};
    case Grade::kPoor: return {90.0, 4.0, 0.85, 0.32, 1.35, 1.4};
  }
  return {};
}

NoiseLevel LevelOf(const RunPlan& plan) { return plan.level.value_or(NoiseOf(plan.grade)); }

double StoredValueOf(double quanta, const RunPlan& plan) {
  const double dark = kDarkest * LevelOf(plan).quanta, top = (1 << plan.bits_stored) - 1;
  return std::clamp(top * LogOf(quanta / dark) / LogOf(kBrightest / kDarkest), 0.0, top);
}

double QuantaOf(double stored, const RunPlan& plan) {
  const double dark = kDarkest * LevelOf(plan).quanta, top = (1 << plan.bits_stored) - 1;
  return dark * ExpOf(stored / top * LogOf(kBrightest / kDarkest));
}

Result<PhantomRun> RenderRun(const Scene& scene, const RunPlan& plan, bool noise) {
  if (const Status good = CheckPlan(plan); !good) return good.error();
  const int rows = plan.view.rows, columns = plan.view.columns;
  PhantomRun run;
  run.left = columns / 50, run.right = columns - 1 - columns / 50, run.top = rows / 100, run.bottom = rows - 1 - rows / 100;
  SeededRandom random(plan.seed * 7919 + 3);
  Canvas still(rows, columns);
  DrawStillChest(scene, plan.view, LevelOf(plan).busy, random, still);

  const std::size_t size = static_cast<std::size_t>(rows) * static_cast<std::size_t>(columns);
  std::vector<float> whole(still.sums().begin(), still.sums().end());
  AddMap(SoftChest(plan.view, 0.0), rows, columns, whole);
  Exposure exposure(plan, whole, InsideCollimator(plan, run));
  run.pixels.resize(size * static_cast<std::size_t>(plan.frames));
  Frames frames(scene, plan);
  double last_beat = -1.0;
  for (int f = 0; f < plan.frames; ++f) {
    const Duration time = plan.frame_time * f;
    const Moment moment = MomentAt(scene, time, plan.grade != Grade::kClean);
    std::copy(still.sums().begin(), still.sums().end(), whole.begin());
    AddMap(SoftChest(plan.view, moment.breath), rows, columns, whole);
    const std::span<const float> heart = frames.At(time);
    for (std::size_t i = 0; i < size; ++i) whole[i] += heart[i];
    exposure.Take(whole, noise ? &random : nullptr, std::span(run.pixels).subspan(size * static_cast<std::size_t>(f), size));
    const double beat = std::floor(time.seconds() * scene.heart_rate / 60.0);
    if (beat > last_beat) run.r_wave_frames.push_back(f);
    last_beat = beat;
  }
  return run;
}

}  // namespace fairlead
