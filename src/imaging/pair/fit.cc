// SPDX-License-Identifier: Apache-2.0
#include "imaging/pair/fit.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

#include "geometry/curve.h"
#include "geometry/triangulate.h"
#include "imaging/pair/courses.h"
#include "imaging/pair/marks.h"

namespace fairlead {
namespace {

constexpr int kRounds = 4;          // of sliding clicks along a course and fitting again
constexpr double kBesideMm = 25.0;  // of the vessel on either side of an occlusion: it tells the direction at the cap
constexpr double kFarFactor = 6.0;  // a click farther off its course than so many sd is dropped, once

using Placed = CourseStretch::Placed;

class Work {
 public:
  explicit Work(const Seen& seen) : seen_(seen) { fit_.bundle = BundleOf(seen.frames, seen.click_sd_px); }

  Result<Fit> Run() {
    located_ = LocateMarks(seen_);
    if (const Status enough = Enough(); !enough) return enough.error();
    if (!FitMarks(seen_, located_, fit_.bundle)) return NotSettled();
    for (const SeenPath& path : seen_.paths) {
      if (const Status added = AddPath(path); !added) return Within("path \"" + path.name + "\"", added.error());
    }
    if (seen_.occlusion && CapsInSpace()) AddOcclusion(*seen_.occlusion);
    KeepFreeMarks();
    for (int round = 0; round < kRounds; ++round) {
      Slide(round);
      if (!Solve(fit_.bundle)) return NotSettled();
    }
    fit_.normals = NormalsOf(fit_.bundle);
    fit_.spread = SpreadOf(fit_.normals);
    if (!fit_.spread.good) return NotSettled();
    FinishMarks();
    return std::move(fit_);
  }

 private:
  static Error NotSettled() {
    return {"the points cannot be brought together in space", "",
            "look for a point that is marked at another place in one of the views"};
  }

  const Located* LocatedAs(const std::string& name) const {
    const auto found =
        std::find_if(located_.begin(), located_.end(), [&](const Located& each) { return each.mark.name == name; });
    return found == located_.end() ? nullptr : &*found;
  }
  const Located* Cap(bool near) const {
    return LocatedAs(near ? seen_.occlusion->near_cap.name : seen_.occlusion->far_cap.name);
  }
  bool CapsInSpace() const { return Cap(true) != nullptr && Cap(false) != nullptr; }

  Status Enough() {
    for (const Located& each : located_) fit_.between = std::max(fit_.between, each.between);
    if (located_.empty()) {
      return Error{"no point is marked in two views at least 15 degrees apart", "",
                   "mark the same points in a second view, best 60 to 120 degrees from the first"};
    }
    const bool unknown = std::any_of(seen_.frames.begin() + 1, seen_.frames.end(),
                                     [](const PairFrame& f) { return f.table == TablePlace::kUnknown && !f.shift_sd; });
    if (unknown && located_.size() < kMarksForUnknownTable) {
      return Error{"the table may have moved between the runs, and " + std::to_string(located_.size()) +
                       " shared points are too few to tell",
                   "table",
                   "mark at least 3 points that both views show, or say that the table stood still or where it stood"};
    }
    return Done{};
  }

  // Where clicks of a stretch may lie on a course: its length in mm, parameters between which they may slide, and how
  // far along the course the stretch begins.
  struct Slot {
    double whole_mm = 0.0, low = 0.0, high = 0.0, offset_mm = 0.0;
  };
  void PutClicks(const std::vector<Placed>& clicks, const Slot& slot, FittedCourse& course) const {
    const double per_mm = static_cast<double>(course.spline.spans()) / slot.whole_mm;
    for (const Placed& placed : clicks) {
      CourseClick click;
      click.frame = placed.frame, click.at = placed.at;
      click.low = slot.low, click.high = slot.high;
      click.parameter = std::clamp((placed.along_mm + slot.offset_mm) * per_mm, slot.low, slot.high);
      click.fixed = placed.end;
      course.clicks.push_back(click);
    }
  }

  Status AddPath(const SeenPath& path) {
    const auto stretch = StretchOf(fit_.bundle, path.lines, {});
    if (!stretch) return stretch.error();
    FittedCourse course = CourseAlong(stretch->points, BendingOf(path.kind));
    const double spans = static_cast<double>(course.spline.spans());
    PutClicks(stretch->clicks, {LengthOf(stretch->points).millimetres(), 0.0, spans, 0.0}, course);
    for (CourseClick& click : course.clicks) {
      if (click.fixed) click.parameter = click.parameter < 0.5 * spans ? 0.0 : spans;
    }
    fit_.courses.push_back({path.name, path.kind, fit_.bundle.courses.size(), 0.0, spans, 0, stretch->uncertain});
    fit_.bundle.courses.push_back(std::move(course));
    return Done{};
  }

  // Lines that go on to a cap: the cap's own click is their shared end.
  std::vector<SeenLine> WithCaps(const std::vector<SeenLine>& lines, const SeenMark* first,
                                 const SeenMark* last) const {
    std::vector<SeenLine> out;
    for (const SeenLine& line : lines) {
      SeenLine whole{line.frame, {}};
      const auto click_in = [&](const SeenMark* mark) {
        return std::find_if(mark->clicks.begin(), mark->clicks.end(),
                            [&](const Click& c) { return c.frame == line.frame; });
      };
      if (first != nullptr) {
        if (click_in(first) == first->clicks.end()) continue;
        whole.points.push_back(click_in(first)->at);
      }
      for (const ImagePoint& p : line.points) {
        if (whole.points.empty() || Distance(whole.points.back(), p) > 1.5) whole.points.push_back(p);
      }
      if (last != nullptr) {
        if (click_in(last) == last->clicks.end()) continue;
        while (whole.points.size() > 1 && Distance(whole.points.back(), click_in(last)->at) <= 1.5)
          whole.points.pop_back();
        whole.points.push_back(click_in(last)->at);
      }
      if (whole.points.size() >= 2) out.push_back(std::move(whole));
    }
    return out;
  }

  std::optional<CourseStretch> Try(const std::vector<SeenLine>& given, const SeenMark* first, const SeenMark* last,
                             FreeEnds free, const char* what) {
    const std::vector<SeenLine> lines = WithCaps(given, first, last);
    if (lines.size() < 2) return std::nullopt;
    auto stretch = StretchOf(fit_.bundle, lines, free);
    if (stretch) return std::move(*stretch);
    fit_.remarks.push_back(std::string("The ") + what + " was left out: " + stretch.error().what + ".");
    return std::nullopt;
  }

  void AddOcclusion(const SeenOcclusion& seen) {
    auto before = Try(seen.before, nullptr, &seen.near_cap, {true, false}, "vessel before the occlusion");
    const auto course_seen = Try(seen.course, &seen.near_cap, &seen.far_cap, {}, "course inside the occlusion");
    auto after = Try(seen.after, &seen.far_cap, nullptr, {false, true}, "vessel after the occlusion");
    fit_.before_seen = before.has_value(), fit_.course_seen = course_seen.has_value(),
    fit_.after_seen = after.has_value();
    if (before) CutBefore(*before);
    if (after) CutAfter(*after);
    std::vector<Vec3> points;
    if (before) points = before->points, points.pop_back();
    const auto length = [&points] { return points.size() < 2 ? 0.0 : LengthOf(points).millimetres(); };
    points.push_back(Cap(true)->at);
    const double near_at = length();
    if (course_seen) points.insert(points.end(), course_seen->points.begin() + 1, course_seen->points.end() - 1);
    points.push_back(Cap(false)->at);
    const double far_at = length();
    if (after) points.insert(points.end(), after->points.begin() + 1, after->points.end());
    const double whole = length();
    if (!(far_at - near_at > 0.3)) {
      fit_.remarks.push_back("The two caps lie on each other, so there is no occlusion to measure.");
      return;
    }
    FittedCourse course = CourseAlong(points, BendingOf(PathKind::kVessel));
    const double per_mm = static_cast<double>(course.spline.spans()) / whole, near = near_at * per_mm,
                 far = far_at * per_mm;
    const double spans = static_cast<double>(course.spline.spans());
    if (before) PutFree(*before, {whole, 0.0, near, near_at - LengthOf(before->points).millimetres()}, course);
    if (course_seen) PutFree(*course_seen, {whole, near, far, near_at}, course);
    if (after) PutFree(*after, {whole, far, spans, far_at}, course);
    for (const auto& [cap, at] : {std::pair{&seen.near_cap, near}, std::pair{&seen.far_cap, far}}) {
      for (const Click& click : cap->clicks)
        course.clicks.push_back({click.frame, click.at, at, at, at, true, 1.0, 0.0});
    }
    fit_.occlusion = FitCourse{"occlusion",
                               PathKind::kVessel,
                               fit_.bundle.courses.size(),
                               near,
                               far,
                               0,
                               course_seen ? course_seen->uncertain : 0.0};
    fit_.bundle.courses.push_back(std::move(course));
  }

  // The clicks of a stretch beside or in the occlusion, without the caps, which are put once.
  void PutFree(const CourseStretch& stretch, const Slot& slot, FittedCourse& course) const {
    const double length = LengthOf(stretch.points).millimetres();
    std::vector<Placed> clicks = stretch.clicks;
    std::erase_if(clicks, [&](const Placed& p) {
      const double along = p.along_mm + slot.offset_mm;
      return p.end || along < -0.5 || p.along_mm > length + 0.5 || along > slot.whole_mm + 0.5;
    });
    PutClicks(clicks, slot, course);
  }

  static void CutBefore(CourseStretch& before) {
    const double length = LengthOf(before.points).millimetres(), cut = length - kBesideMm;
    if (cut <= 0.0) return;
    before.points = PartOf(before.points, Length::Millimetres(cut), Length::Millimetres(length));
    std::erase_if(before.clicks, [cut](const Placed& p) { return p.along_mm < cut; });
    for (Placed& p : before.clicks) p.along_mm -= cut;
  }

  static void CutAfter(CourseStretch& after) {
    if (LengthOf(after.points).millimetres() <= kBesideMm) return;
    after.points = PartOf(after.points, Length{}, Length::Millimetres(kBesideMm));
    std::erase_if(after.clicks, [](const Placed& p) { return p.along_mm > kBesideMm; });
  }

  // Caps and ends are points of their courses from here on; the rest stay marks.
  void KeepFreeMarks() {
    std::vector<FittedMark> free;
    for (const Located& each : located_) {
      if (each.left_out || (each.needed && OnCourse(each.mark.name))) continue;
      free.push_back({each.at, each.mark.clicks});
      free_names_.push_back(each.mark.name);
    }
    // Known distances name marks that a reader gave: those stay in their order, before the caps and ends.
    fit_.bundle.marks = std::move(free);
  }
  bool OnCourse(const std::string& name) const {
    if (seen_.occlusion && (name == seen_.occlusion->near_cap.name || name == seen_.occlusion->far_cap.name))
      return fit_.occlusion.has_value();
    return true;
  }

  void Slide(int round) {
    const double far = round == 1 ? kFarFactor * fit_.bundle.click_sd_px : 1e9;
    const auto slide = [&](FitCourse& each) {
      each.dropped += Associate(fit_.bundle, fit_.bundle.courses[each.index], far);
    };
    for (FitCourse& each : fit_.courses) slide(each);
    if (fit_.occlusion) slide(*fit_.occlusion);
  }

  std::optional<std::pair<std::size_t, double>> PlaceOfEnd(const std::string& name) const {  // course and parameter
    if (fit_.occlusion && name == seen_.occlusion->near_cap.name)
      return std::pair{fit_.occlusion->index, fit_.occlusion->from};
    if (fit_.occlusion && name == seen_.occlusion->far_cap.name)
      return std::pair{fit_.occlusion->index, fit_.occlusion->to};
    for (const FitCourse& each : fit_.courses) {
      if (name == "start of " + each.name) return std::pair{each.index, each.from};
      if (name == "end of " + each.name) return std::pair{each.index, each.to};
    }
    return std::nullopt;
  }

  void FinishMarks() {
    for (const Located& each : located_) {
      FitMark mark{each.mark.name, each.at, {}, each.before_px, 0.0, each.left_out, false};
      const auto free = std::find(free_names_.begin(), free_names_.end(), each.mark.name);
      if (each.left_out) {
        mark.after_px = WorstPx(fit_.bundle, each.mark.clicks, each.at);
      } else if (free != free_names_.end()) {
        const auto i = static_cast<std::size_t>(free - free_names_.begin());
        constexpr std::array<double, 1> kOne{1.0};
        mark.at = fit_.bundle.marks[i].at;
        mark.covariance = CovarianceOf(fit_.spread, fit_.normals.mark_at[i], kOne);
      } else if (const auto end = PlaceOfEnd(each.mark.name)) {
        const FittedCourse& course = fit_.bundle.courses[end->first];
        const SplineWeights weights = WeightsAt(course.spline.spans(), end->second);
        mark.at = SplineAt(course.spline, end->second);
        mark.covariance =
            CovarianceOf(fit_.spread, fit_.normals.course_at[end->first] + 3 * weights.first, weights.value);
      }
      if (!each.left_out) mark.after_px = WorstPx(fit_.bundle, each.mark.clicks, mark.at);
      mark.doubtful = !each.left_out && mark.after_px > kDoubtful * fit_.bundle.click_sd_px;
      fit_.marks.push_back(std::move(mark));
    }
  }

  const Seen& seen_;
  Fit fit_;
  std::vector<Located> located_;
  std::vector<std::string> free_names_;
};

}  // namespace

Result<Fit> FitAll(const Seen& seen) {
  return Work(seen).Run();
}

}  // namespace fairlead
