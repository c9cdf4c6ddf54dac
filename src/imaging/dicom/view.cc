// SPDX-License-Identifier: Apache-2.0
// From where the run was taken: gantry angles (DICOM PS3.3 C.8.7.5, C.8.19.6.10), per frame where the gantry moved.
#include <algorithm>
#include <cmath>

#include "imaging/dicom/header.h"
#include "imaging/dicom/tags.h"

namespace fairlead {
namespace {

constexpr double kMostPrimary = 180.0, kMostSecondary = 90.0;   // degrees; the range of the attributes
constexpr double kUsualSecondary = 60.0;                        // degrees; practice

std::optional<ViewAngles> AnglesIn(const Item& item) {
  const std::optional<double> primary = NumberOf(item, tags::kPrimaryAngle);
  const std::optional<double> secondary = NumberOf(item, tags::kSecondaryAngle);
  if (!primary || !secondary) return std::nullopt;
  return ViewAngles{Angle::Degrees(*primary), Angle::Degrees(*secondary)};
}

// The bound is compared in degrees as stored, so that a stated 180 is inside.
bool Possible(const ViewAngles& view) {
  constexpr double kRounding = 1e-9;
  return std::abs(view.primary.degrees()) <= kMostPrimary + kRounding && std::abs(view.secondary.degrees()) <= kMostSecondary + kRounding;
}

// Increments are relative to the first frame.
void MoveWithIncrements(const Item& dataset, Run& run) {
  const std::vector<double> primary = NumbersOf(dataset, tags::kPrimaryIncrement);
  const std::vector<double> secondary = NumbersOf(dataset, tags::kSecondaryIncrement);
  const bool dynamic = TextOf(dataset, tags::kPositionerMotion) == "DYNAMIC";
  const auto frames = static_cast<std::size_t>(run.frames);
  if (primary.size() != frames || secondary.size() != frames || run.frames == 1) {
    if (dynamic) Warn(run, "The gantry is said to move during the run, but the angles of each frame are missing.");
    return;
  }
  const auto moves = [](double step) { return std::abs(step) > 0.05; };  // below the tenth of a degree that is displayed
  if (!std::ranges::any_of(primary, moves) && !std::ranges::any_of(secondary, moves)) return;
  for (std::size_t i = 0; i < frames; ++i) {
    run.frame_views.push_back({run.view->primary + Angle::Degrees(primary[i]), run.view->secondary + Angle::Degrees(secondary[i])});
  }
}

void FillEnhanced(const Item& dataset, Run& run) {
  std::vector<ViewAngles> views;
  for (int i = 0; i < run.frames; ++i) {
    const Item* position = GroupItem(dataset, tags::kPositionerPosition, i);
    const std::optional<ViewAngles> angles = position == nullptr ? std::nullopt : AnglesIn(*position);
    if (!angles) break;
    views.push_back(*angles);
  }
  if (views.empty()) return;
  run.view = views.front();
  const auto same = [&](const ViewAngles& v) { return v.primary == run.view->primary && v.secondary == run.view->secondary; };
  if (std::ranges::all_of(views, same)) return;
  if (views.size() == static_cast<std::size_t>(run.frames)) run.frame_views = std::move(views);
  else Warn(run, "The gantry moves during the run, but the angles of some frames are missing.");
}

void RemarkOnTable(const Item& dataset, Run& run) {
  bool moved = TextOf(dataset, tags::kTableMotion) == "DYNAMIC";
  for (const Tag tag : {tags::kTableVertical, tags::kTableLateral, tags::kTableLongitudinal}) {
    for (const double step : NumbersOf(dataset, tag)) moved = moved || step != 0.0;
  }
  if (moved) Warn(run, "The table moved during the run; do not compare positions between its frames.");
}

}  // namespace

void FillView(const Item& dataset, Run& run) {
  const bool classic = run.kind == RunKind::kAngiogram || run.kind == RunKind::kRadiofluoroscopy;
  if (!classic && run.kind != RunKind::kEnhancedAngiogram) return;
  if (classic) run.view = AnglesIn(dataset);
  else FillEnhanced(dataset, run);
  if (!run.view) {
    Note(run, "The file does not say the gantry's angles; name the view yourself.");
    return;
  }
  if (!Possible(*run.view)) {
    Warn(run, "The file states gantry angles of " + Plain(run.view->primary.degrees()) + " and " + Plain(run.view->secondary.degrees()) +
                  " degrees, which no gantry has; they are not used.");
    run.view.reset();
    run.frame_views.clear();
    return;
  }
  if (classic) MoveWithIncrements(dataset, run);
  if (!std::ranges::all_of(run.frame_views, Possible)) {
    Warn(run, "Some frames are said to have angles that no gantry has; only the first frame's angles are used.");
    run.frame_views.clear();
  }
  if (!run.frame_views.empty()) Note(run, "The gantry turns during the run; the angles shown are those of the first frame.");
  if (std::abs(run.view->secondary.degrees()) > kUsualSecondary) {
    Warn(run, "The cranial or caudal angle of " + Plain(std::abs(run.view->secondary.degrees())) + " degrees is unusually steep; check it.");
  }
  RemarkOnTable(dataset, run);
}

}  // namespace fairlead
