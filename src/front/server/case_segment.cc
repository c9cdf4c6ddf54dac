// SPDX-License-Identifier: Apache-2.0
#include "front/server/case_segment.h"

#include <fmt/core.h>

#include <functional>
#include <utility>

#include "front/server/known_runs.h"
#include "front/server/pair_body.h"
#include "front/server/pair_note.h"

namespace fairlead {
namespace {

constexpr double kUsualRadius_mm = 1.0;  // no width is measured in space; as a tree file without one

Tube TubeOf(const CourseInSpace& course, std::string name) {
  Tube tube;
  tube.name = std::move(name);
  for (const PlaceOnCourse& place : course.numbers.places) tube.course.push_back(place.at);
  tube.radius.assign(tube.course.size(), kUsualRadius_mm);
  return tube;
}

Result<MeasuredSegment> Again(Practice& practice, std::string_view points) {
  auto body = ParsePairPoints(points, "image");
  if (!body.ok()) return body.error();
  KnownRuns runs(practice);
  auto seen = SeenWithRuns(std::move(*body), std::ref(runs));
  if (!seen.ok()) return seen.error();
  const auto found = MeasurePair(*seen);
  if (!found.ok()) return found.error();
  if (!found->occlusion || !found->occlusion->course || found->occlusion->course->numbers.places.size() < 2) {
    return Error{"the two views give no course in space", "", "mark both caps in both views"};
  }
  MeasuredSegment segment;
  Tube target = TubeOf(*found->occlusion->course, "");
  segment.tree.target = std::move(target.course);
  segment.tree.target_radius = std::move(target.radius);
  segment.tree.target_name = "the occlusion";
  segment.tree.measured = true;
  for (const CourseInSpace& course : found->courses) {
    if (course.numbers.places.size() < 2) continue;
    if (course.kind == PathKind::kVessel) {
      segment.tree.vessels.push_back(TubeOf(course, course.name));
    } else {
      segment.tree.collateral = TubeOf(course, course.name).course;
      segment.tree.collateral_name = course.name;
    }
  }
  const Reading<Length>& length = found->occlusion->length;
  segment.said = length.sd ? fmt::format("{:.1f} ± {:.1f} mm", length.value.millimetres(), length.sd->millimetres())
                           : fmt::format("{:.1f} mm", length.value.millimetres());
  return segment;
}

}  // namespace

Result<std::optional<MeasuredSegment>> SegmentOfCase(Practice& practice, const State& state) {
  for (const char* name : {"length_angio_mm", "bend_angio_deg"}) {
    const FactStated* stated = StandingFact(state, {name, ""});
    if (stated == nullptr || stated->mark != Mark::kMeasured) continue;
    const auto points = PointsOfFact(*stated);
    if (!points) continue;
    auto segment = Again(practice, *points);
    if (!segment.ok()) return segment.error();
    segment->entry = StandingFactEntry(state, {name, ""})->id;
    return std::optional(std::move(*segment));
  }
  return std::optional<MeasuredSegment>();
}

}  // namespace fairlead
