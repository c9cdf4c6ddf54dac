// SPDX-License-Identifier: Apache-2.0
#include "imaging/pair/pair.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/triangulate.h"
#include "imaging/pair/fit.h"
#include "measure/normal.h"

namespace fairlead {
namespace {

constexpr double kContradictionPx =
    4.0;                          // sd of a click that the marks may miss by, root mean square; practice, no source
constexpr double kStrange = 3.5;  // sd of a change of geometry beyond which it is told; practice, no source

std::string Tenth(double value) {
  const double rounded = std::round(value * 10.0) / 10.0 + 0.0;
  std::string text = std::to_string(rounded);
  return text.substr(0, text.find('.') + 2);
}

double RmsOf(const std::vector<FitMark>& marks, double FitMark::*px) {
  double sum = 0.0;
  std::size_t count = 0;
  for (const FitMark& mark : marks) {
    if (mark.left_out) continue;
    sum += mark.*px * mark.*px;
    ++count;
  }
  return count == 0 ? 0.0 : std::sqrt(sum / static_cast<double>(count));
}

// How many sd the fitted geometry of a frame lies from what was stated, the worst of its numbers.
double Strangeness(const Fit& fit, std::size_t frame) {
  const GantryError& gantry = fit.bundle.gantry[static_cast<std::size_t>(fit.bundle.frames[frame].run)];
  double worst = std::max({std::abs(gantry[0]) / kAngleSd.radians(), std::abs(gantry[1]) / kAngleSd.radians(),
                           std::abs(gantry[2]) / kRollSd.radians(), std::abs(gantry[3]) / kDistanceSd.millimetres(),
                           std::abs(gantry[4]) / kDistanceSd.millimetres()});
  for (std::size_t i = 0; i < 3 && frame > 0; ++i)
    worst = std::max(worst, std::abs(fit.bundle.shift[frame][i]) / fit.bundle.shift_sd[frame][i]);
  return worst;
}

Status CheckAgreement(const Fit& fit, const Seen& seen) {
  const double rms = RmsOf(fit.marks, &FitMark::after_px), most = kContradictionPx * seen.click_sd_px;
  double strangest = 0.0;
  for (std::size_t i = 0; i < seen.frames.size(); ++i) strangest = std::max(strangest, Strangeness(fit, i));
  if (rms <= most && strangest <= 2.0 * kStrange) return Done{};
  return Error{rms > most ? "the views do not fit each other: after the best fit the marked points are still " +
                                Tenth(rms) + " pixels from where they were marked"
                          : "the views do not fit each other: the marked points can be brought together only with a "
                            "gantry or a table far from what the files state",
               "",
               "check that the same points are marked in both views, then the angles and distances of the two runs and "
               "whether the table moved"};
}

std::vector<FramePose> PosesOf(const Fit& fit, const Seen& seen) {
  std::vector<FramePose> poses;
  for (std::size_t i = 0; i < seen.frames.size(); ++i) {
    const GantryError& error = fit.bundle.gantry[static_cast<std::size_t>(seen.frames[i].run)];
    const auto& shift = fit.bundle.shift[i];
    FramePose pose{seen.frames[i].key,
                   seen.frames[i].view,
                   Angle::Radians(error[0]),
                   Angle::Radians(error[1]),
                   Angle::Radians(error[2]),
                   Length::Millimetres(error[3]),
                   Length::Millimetres(error[4]),
                   {shift[0], shift[1], shift[2]},
                   {}};
    const std::size_t n = fit.spread.size, row = fit.normals.shift_at[i];
    const auto sd = [&](std::size_t k) {
      return std::sqrt(std::max(0.0, fit.spread.covariance[(row + k) * n + row + k]));
    };
    if (i > 0) pose.shift_sd = {sd(0), sd(1), sd(2)};
    poses.push_back(std::move(pose));
  }
  return poses;
}

CourseInSpace CourseOf(const Fit& fit, const FitCourse& found, Length arm, CourseKnown shown = CourseKnown::kClicked) {
  CourseInSpace course;
  course.name = found.name;
  course.kind = found.kind;
  const FittedCourse& fitted = fit.bundle.courses[found.index];
  const CoursePart part{fitted, found.from, found.to, fit.normals.course_at[found.index]};
  course.numbers = NumbersOf(part, fit.spread, arm, shown);
  const auto points = SampledSpline(fitted.spline, found.from, found.to, 6);
  for (std::size_t frame = 0; frame < fit.bundle.frames.size(); ++frame) {
    SeenLine line{frame, {}};
    for (const Vec3& p : points) line.points.push_back(SeenIn(fit.bundle, frame, p));
    course.drawn.push_back(std::move(line));
  }
  if (found.dropped > 0)
    course.warnings.push_back(std::to_string(found.dropped) +
                              (found.dropped == 1 ? " point of this course fitted nothing and was left out."
                                                  : " points of this course fitted nothing and were left out."));
  if (found.uncertain > 0.25) {
    course.warnings.push_back("Over " + std::to_string(static_cast<int>(std::lround(10.0 * found.uncertain)) * 10) +
                              " % of its length this course runs along the line between the views: there the two "
                              "pictures were matched by order alone.");
  }
  return course;
}

bool SameFrames(const SeenMark& a, const SeenMark& b) {
  std::vector<std::size_t> in_a, in_b;
  for (const Click& c : a.clicks) in_a.push_back(c.frame);
  for (const Click& c : b.clicks) in_b.push_back(c.frame);
  std::sort(in_a.begin(), in_a.end());
  std::sort(in_b.begin(), in_b.end());
  return in_a == in_b;
}

OcclusionInSpace OcclusionOf(const Fit& fit, const Seen& seen) {
  OcclusionInSpace out;
  const bool together = SameFrames(seen.occlusion->near_cap, seen.occlusion->far_cap);
  out.method = together ? CapsMethod::kTwoViews : CapsMethod::kTwoViewsApart;
  out.course =
      CourseOf(fit, *fit.occlusion, kVesselArm, fit.course_seen ? CourseKnown::kClicked : CourseKnown::kHidden);
  out.length = out.course->numbers.length;
  out.over_20_mm = out.course->numbers.over_20_mm;
  out.course_seen = fit.course_seen;
  const std::string inside = fit.course_seen ? "along the course that was marked between them"
                             : fit.before_seen || fit.after_seen
                                 ? "along a course that goes on from the vessel on either side"
                                 : "along a course that may wander as coronary arteries do";
  out.method_text =
      std::string(together ? "Two views, both caps in each: a shift of the heart between the views cancels; "
                           : "Two views, each cap from its own frames: the heart's shift between them counts; ") +
      inside + ".";
  if (!fit.course_seen)
    out.course->warnings.push_back(
        "The course between the caps was not seen: the length is at least the chord, and the bend is that of the "
        "smoothest course.");
  return out;
}

OcclusionInSpace FromOnePose(const SingleView& single) {
  OcclusionInSpace out;
  out.method = single.one_frame ? CapsMethod::kOneFrame : CapsMethod::kSamePose;
  out.length = single.length;
  out.at_least = true;
  out.over_20_mm = single.over_20_mm;
  out.method_text = single.one_frame
                        ? "One view, both caps in frame " + single.frames + ": the true length is this or longer."
                        : "One pose, the caps in frames " + single.frames + ": the true length is this or longer; " +
                              (single.landmarks > 0 ? "the heart's shift between them was taken from " +
                                                          std::to_string(single.landmarks) +
                                                          (single.landmarks == 1 ? " mark." : " marks.")
                                                    : "nothing shows how the heart moved between them.");
  return out;
}

void WarnOfGeometry(const Fit& fit, const Seen& seen, PairFound& found) {
  if (found.narrow) {
    found.warnings.push_back("The views are " + Tenth(found.between.degrees()) +
                             " degrees apart: below 30 degrees the error in depth is more than twice that of views 60 "
                             "to 120 degrees apart.");
  }
  for (std::size_t i = 0; i < seen.frames.size(); ++i) {
    if (Strangeness(fit, i) > kStrange) {
      found.warnings.push_back("Frame " + seen.frames[i].key +
                               ": the fitted geometry lies far from what the file states. Check its angles, and "
                               "whether the table or the patient moved.");
    }
  }
  if (std::any_of(seen.frames.begin() + 1, seen.frames.end(),
                  [](const PairFrame& f) { return f.table == TablePlace::kUnknown && !f.shift_sd; })) {
    found.warnings.push_back(
        "The table's place is unknown: a shift along the line between the two sources changes every length by its "
        "share of a metre and cannot be seen in the pictures. The spread allows for 25 mm.");
  }
  if (found.widened > 1.05) {
    found.warnings.push_back("The points fit each other worse than clicks of " + Tenth(seen.click_sd_px) +
                             " pixels should: the spreads were widened by " + Tenth(found.widened) + ".");
  }
  for (const FitMark& mark : fit.marks) {
    if (mark.left_out)
      found.warnings.push_back("\"" + mark.name +
                               "\" fits no geometry that fits the others; it was left out. Mark it again.");
    if (mark.doubtful)
      found.warnings.push_back("\"" + mark.name + "\" is " + Tenth(mark.after_px) +
                               " pixels from where the fit sees it. Mark it again.");
  }
}

PairFound InSpace(const Fit& fit, const Seen& seen) {
  PairFound found;
  found.between = fit.between;
  found.narrow = fit.between < kWarnBelow;
  found.in_space = true;
  found.poses = PosesOf(fit, seen);
  found.stated_rms_px = RmsOf(fit.marks, &FitMark::before_px);
  found.fitted_rms_px = RmsOf(fit.marks, &FitMark::after_px);
  found.widened = fit.spread.widened;
  for (const FitMark& m : fit.marks)
    found.marks.push_back({m.name, m.at, m.covariance, m.before_px, m.after_px, m.left_out, m.doubtful});
  for (const FitCourse& each : fit.courses)
    found.courses.push_back(CourseOf(fit, each, each.kind == PathKind::kVessel ? kVesselArm : kChannelArm));
  if (fit.occlusion) found.occlusion = OcclusionOf(fit, seen);
  found.warnings = fit.remarks;
  WarnOfGeometry(fit, seen, found);
  found.sources = {"breath-2004"_source, "practice"_source};
  return found;
}

bool CapsSeen(const Seen& seen) {
  return seen.occlusion && !seen.occlusion->near_cap.clicks.empty() && !seen.occlusion->far_cap.clicks.empty();
}

}  // namespace

Result<PairFound> MeasurePair(const Seen& seen) {
  if (const Status good = CheckSeen(seen); !good) return good.error();
  auto fit = FitAll(seen);
  if (fit && (fit->occlusion || !CapsSeen(seen))) {
    if (const Status agree = CheckAgreement(*fit, seen); !agree) return agree.error();
    return InSpace(*fit, seen);
  }
  // Not in space: the caps may still be measured in one pose.
  if (!CapsSeen(seen)) return fit.error();
  const auto single = LengthInOnePose(seen);
  if (!single) return fit ? single.error() : fit.error().where == "table" ? fit.error() : single.error();
  PairFound found;
  if (fit && CheckAgreement(*fit, seen).ok()) found = InSpace(*fit, seen);
  found.occlusion = FromOnePose(*single);
  found.warnings.push_back(
      "One view: a line that leans 30 degrees out of the picture is 15 % longer than it looks, at 45 degrees 41 %. "
      "Both caps in a second view decide.");
  if (!fit && fit.error().where == "table") found.warnings.push_back("Not in space: " + fit.error().what + ".");
  found.sources = {"breath-2004"_source, "practice"_source};
  return found;
}

namespace {

// The part of an endless line that lies in the picture.
std::optional<std::pair<ImagePoint, ImagePoint>> Inside(const ImageLine& line, const View& view) {
  const double right = view.columns - 1.0, bottom = view.rows - 1.0;
  std::vector<ImagePoint> ends;
  const auto take = [&](double column, double row) {
    if (column < -1e-6 || row < -1e-6 || column > right + 1e-6 || row > bottom + 1e-6) return;
    if (std::all_of(ends.begin(), ends.end(), [&](ImagePoint p) { return Distance(p, {column, row}) > 1e-3; }))
      ends.push_back({column, row});
  };
  if (std::abs(line.b) > 1e-9) {
    for (const double column : {0.0, right}) take(column, -(line.a * column + line.c) / line.b);
  }
  if (std::abs(line.a) > 1e-9) {
    for (const double row : {0.0, bottom}) take(-(line.b * row + line.c) / line.a, row);
  }
  if (ends.size() < 2) return std::nullopt;
  return std::pair{ends[0], ends[1]};
}

}  // namespace

Result<GuideLine> GuideLineOf(const Seen& seen, std::size_t frame, ImagePoint at, std::size_t other) {
  Seen all = seen;
  all.marks.push_back({"the point", {{frame, at}}});
  if (const Status good = CheckSeen(all); !good) return good.error();
  if (other >= seen.frames.size() || other == frame)
    return Error{"the other frame is not given", "to", "name another frame"};
  const FitPose pose = PoseFrom(seen);
  const auto line = EpipolarLine(FittedView(pose.bundle, frame), at, FittedView(pose.bundle, other));
  if (!line) return line.error();
  const auto ends = Inside(*line, seen.frames[other].view);
  if (!ends)
    return Error{"the line of this point misses the other picture", "",
                 "check the angles of the two runs, or choose a point nearer to the middle"};
  GuideLine guide{ends->first, ends->second, 0.0, pose.marks};
  // Each mark takes away part of what is unknown of the shift across the line.
  const double shift = pose.bundle.shift_sd[other][0] / PixelSizeAtIsocentre(seen.frames[other].view).millimetres();
  const double click = seen.click_sd_px * std::sqrt(2.0);
  guide.sd_px =
      guide.marks == 0 ? std::hypot(shift, click) : click * std::sqrt(1.0 + 3.0 / static_cast<double>(guide.marks));
  return guide;
}

}  // namespace fairlead
