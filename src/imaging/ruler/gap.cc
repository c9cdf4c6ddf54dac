// SPDX-License-Identifier: Apache-2.0
#include "imaging/ruler/gap.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace fairlead {
namespace {

constexpr double kClickSdPx = 1.0;   // per click and axis: practice, no source
// Between two moments the caps move: the heart's phase and the breath, along the occlusion. Practice, no source.
constexpr Length kPhaseSd = Length::Millimetres(3.0), kPhaseSdByLandmark = Length::Millimetres(1.0);
constexpr Angle kLeanSd = Angle::Degrees(15.0);  // of each limb out of the picture: practice, as for the ruler
constexpr double kArmMm = 5.0, kArmShare = 0.4;  // arms of a bend; shorter where the occlusion is. Chosen
constexpr int kSteps = 100;                      // of a course that is interpolated
constexpr double kBend = 45.0;                   // degrees: the published score's limit (j-cto-2011)

struct Way {
  double x = 0.0, y = 0.0;
};
double Norm(Way w) { return std::hypot(w.x, w.y); }
Way Unit(Way w) {
  const double n = Norm(w);
  return n > 0.0 ? Way{w.x / n, w.y / n} : Way{};
}
Way From(PixelPoint a, PixelPoint b) { return {b.x - a.x, b.y - a.y}; }

bool Placed(PixelPoint p) { return std::isfinite(p.x) && std::isfinite(p.y); }

std::optional<Error> Check(const GapRequest& r) {
  std::vector<PixelPoint> all{r.near.cap, r.far.cap};
  for (const auto* end : {&r.near, &r.far}) if (end->lumen) all.push_back(*end->lumen);
  all.insert(all.end(), r.between.begin(), r.between.end());
  if (r.landmark_near) all.push_back(*r.landmark_near);
  if (r.landmark_far) all.push_back(*r.landmark_far);
  if (!std::all_of(all.begin(), all.end(), Placed)) return Error{"a point has no place", "points", "click it again"};
  if (r.between.size() > 40) return Error{"there are more than 40 points between the caps", "between", "take some back"};
  if (r.landmark_near.has_value() != r.landmark_far.has_value()) {
    return Error{"the landmark is marked in one moment only", "landmark", "mark it in both, or in neither"};
  }
  if (!(r.pixel.per_pixel > Length{}) || r.pixel.sd < Length{}) return Error{"the size of a pixel is not known", "pixel_size", "calibrate on a catheter first"};
  return std::nullopt;
}

// A cubic that leaves along `out` and arrives along `in` (unit), at the speed that makes an arc of a circle of it where
// there is one: 2 tan(turn / 4) / sin(turn / 2) of the chord.
std::vector<PixelPoint> Curve(PixelPoint a, PixelPoint b, Way out, Way in) {
  const double turn = std::min(2.6, std::acos(std::clamp(out.x * in.x + out.y * in.y, -1.0, 1.0)));
  const double chord = Norm(From(a, b)) * (turn > 1e-6 ? 2.0 * std::tan(turn / 4.0) / std::sin(turn / 2.0) : 1.0);
  std::vector<PixelPoint> course;
  for (int i = 0; i <= kSteps; ++i) {
    const double t = static_cast<double>(i) / kSteps, t2 = t * t, t3 = t2 * t;
    const double ha = 2 * t3 - 3 * t2 + 1, hb = 3 * t2 - 2 * t3, hout = chord * (t3 - 2 * t2 + t), hin = chord * (t3 - t2);
    course.push_back({ha * a.x + hb * b.x + hout * out.x + hin * in.x, ha * a.y + hb * b.y + hout * out.y + hin * in.y});
  }
  return course;
}

double LengthOf(const std::vector<PixelPoint>& course) {
  double length = 0.0;
  for (std::size_t i = 1; i < course.size(); ++i) length += Norm(From(course[i - 1], course[i]));
  return length;
}

// How far a length moves with every click, each by one sd on each axis: root of the sum of squares.
template <typename Measure>
double ByClicks(std::vector<PixelPoint*> clicks, const Measure& measure) {
  constexpr double kStep = 0.05;  // pixels
  double squares = 0.0;
  for (PixelPoint* click : clicks) {
    for (double PixelPoint::*axis : {&PixelPoint::x, &PixelPoint::y}) {
      const double kept = click->*axis;
      click->*axis = kept + kStep;
      const double more = measure();
      click->*axis = kept - kStep;
      const double less = measure();
      click->*axis = kept;
      squares += (more - less) * (more - less) / (4 * kStep * kStep);
    }
  }
  return kClickSdPx * std::sqrt(squares);
}

std::vector<PixelPoint*> ClicksOf(GapRequest& r) {
  std::vector<PixelPoint*> clicks{&r.near.cap, &r.far.cap};
  for (GapEnd* end : {&r.near, &r.far}) if (end->lumen) clicks.push_back(&*end->lumen);
  for (PixelPoint& p : r.between) clicks.push_back(&p);
  return clicks;
}

std::vector<PixelPoint> CourseOf(const GapRequest& r) {
  if (!r.between.empty()) {
    std::vector<PixelPoint> course{r.near.cap};
    course.insert(course.end(), r.between.begin(), r.between.end());
    course.push_back(r.far.cap);
    return course;
  }
  if (!r.near.lumen && !r.far.lumen) return {r.near.cap, r.far.cap};
  const Way chord = Unit(From(r.near.cap, r.far.cap));
  return Curve(r.near.cap, r.far.cap, r.near.lumen ? Unit(From(*r.near.lumen, r.near.cap)) : chord, r.far.lumen ? Unit(From(r.far.cap, *r.far.lumen)) : chord);
}

// The place `along` pixels down the course, its ends carried on straight: the lumens go on that way.
PixelPoint At(const std::vector<PixelPoint>& course, double along) {
  for (std::size_t i = 1; i < course.size(); ++i) {
    const Way step = From(course[i - 1], course[i]);
    const double size = Norm(step);
    if ((along <= size || i + 1 == course.size()) && size > 0.0) return {course[i - 1].x + along / size * step.x, course[i - 1].y + along / size * step.y};
    along -= size;
  }
  return course.back();
}

// The course with a piece of the lumens at both ends, so that a bend at a cap counts.
std::vector<PixelPoint> WithLumens(const GapRequest& r) {
  std::vector<PixelPoint> course = CourseOf(r);
  if (r.near.lumen) course.insert(course.begin(), *r.near.lumen);
  if (r.far.lumen) course.push_back(*r.far.lumen);
  return course;
}

double LargestBend(const std::vector<PixelPoint>& course, double arm) {
  const double whole = LengthOf(course);
  double largest = 0.0;
  for (double along = arm; along <= whole - arm + 1e-9; along += std::max(0.25, (whole - 2 * arm) / 200.0)) {
    const Way in = Unit(From(At(course, along - arm), At(course, along))), out = Unit(From(At(course, along), At(course, along + arm)));
    largest = std::max(largest, std::acos(std::clamp(in.x * out.x + in.y * out.y, -1.0, 1.0)));
  }
  return largest;
}

// Mean of a function of two leans, each normal about 0: 13 places, 3 sd to each side.
template <typename Of>
double OverLeans(Angle lean_sd, const Of& of) {
  constexpr int kHalf = 6;
  double sum = 0.0, weights = 0.0;
  for (int i = -kHalf; i <= kHalf; ++i) {
    for (int k = -kHalf; k <= kHalf; ++k) {
      const double weight = std::exp(-0.125 * (i * i + k * k));
      sum += weight * of(0.5 * i * lean_sd.radians(), 0.5 * k * lean_sd.radians()), weights += weight;
    }
  }
  return sum / weights;
}

std::optional<GapBend> BendOf(GapRequest r, double length_px) {
  if (r.between.empty() && !r.near.lumen && !r.far.lumen) return std::nullopt;
  const double arm = std::min(kArmMm / r.pixel.per_pixel.millimetres(), kArmShare * length_px);
  GapBend bend;
  bend.arm = r.pixel.per_pixel * arm;
  bend.largest = Angle::Radians(LargestBend(WithLumens(r), arm));
  bend.by_clicks = Angle::Radians(ByClicks(ClicksOf(r), [&] { return LargestBend(WithLumens(r), arm); }));
  // Near 0 a bend has no slope by the clicks, yet they make one: at least what two arms between clicks are worth.
  bend.by_clicks = std::max(bend.by_clicks, Angle::Radians(std::numbers::sqrt2 * kClickSdPx / std::max(1.0, arm)));
  bend.sd = Angle::Radians(std::hypot(bend.by_clicks.radians(), BendByLean(bend.largest, kLeanSd).radians()));
  bend.over_45 = OddsOver45(bend.largest, bend.by_clicks, kLeanSd);
  return bend;
}

std::string MethodOf(const GapRequest& r) {
  const bool landmark = r.landmark_near.has_value();
  const std::string moments = r.moments == GapMoments::kOneFrame   ? "both caps in one frame"
                              : r.moments == GapMoments::kTwoFrames ? "two frames of one run"
                                                                    : "two runs of one pose";
  return "gap 1, one view, " + moments + (landmark && r.moments != GapMoments::kOneFrame ? ", shifted by a landmark" : "") + "; " + r.pixel.method;
}

}  // namespace

double OddsOver45(Angle seen, Angle sd, Angle lean_sd) {
  const double limit = std::cos(kBend * std::numbers::pi / 180.0);
  return OverLeans(lean_sd, [&](double a, double b) {
    // The bend in the picture from which on the true one is more: cos 45 = cos(seen) cos a cos b + sin a sin b.
    const double least = std::acos(std::clamp((limit - std::sin(a) * std::sin(b)) / (std::cos(a) * std::cos(b)), -1.0, 1.0));
    if (!(sd.radians() > 0.0)) return seen.radians() > least ? 1.0 : 0.0;
    return 0.5 * std::erfc((least - seen.radians()) / (std::numbers::sqrt2 * sd.radians()));
  });
}

Angle BendByLean(Angle seen, Angle lean_sd) {
  return Angle::Radians(std::sqrt(OverLeans(lean_sd, [&](double a, double b) {
    const double true_bend = std::acos(std::clamp(std::cos(seen.radians()) * std::cos(a) * std::cos(b) + std::sin(a) * std::sin(b), -1.0, 1.0));
    return (true_bend - seen.radians()) * (true_bend - seen.radians());
  })));
}

Result<Gap> MeasureGap(const GapRequest& asked) {
  if (const auto error = Check(asked)) return *error;
  GapRequest r = asked;
  if (r.landmark_near && r.moments != GapMoments::kOneFrame) {
    const Way back = From(*r.landmark_far, *r.landmark_near);
    r.far.cap = {r.far.cap.x + back.x, r.far.cap.y + back.y};
    if (r.far.lumen) r.far.lumen = PixelPoint{r.far.lumen->x + back.x, r.far.lumen->y + back.y};
  }
  const double chord = Norm(From(r.near.cap, r.far.cap));
  if (!(chord > 2.0)) return Error{"the caps lie on each other", "far", "mark both caps; no gap needs no length"};
  Gap gap;
  gap.course = CourseOf(r);
  gap.course_from = !r.between.empty() ? "points between the caps" : gap.course.size() > 2 ? "the way each lumen comes" : "a straight line";
  const double length = LengthOf(gap.course);
  gap.chord = r.pixel.per_pixel * chord;
  gap.length.value = r.pixel.per_pixel * length;
  const double clicks = ByClicks(ClicksOf(r), [&] { return LengthOf(CourseOf(r)); });
  const Length lean = gap.length.value * (std::sqrt(3.0) / 2.0 * kLeanSd.radians() * kLeanSd.radians());
  gap.length.parts = {{"clicks", r.pixel.per_pixel * clicks},
                      {"size of a pixel", gap.length.value * (r.pixel.sd / r.pixel.per_pixel)},
                      {"lean out of the picture (assumed within 15 degrees)", lean}};
  if (r.moments != GapMoments::kOneFrame) {
    // The landmark's own two clicks move the far cap along the course.
    const double own = r.landmark_near ? std::numbers::sqrt2 * kClickSdPx : 0.0;
    const Length moved = r.landmark_near ? kPhaseSdByLandmark : kPhaseSd;
    gap.length.parts.push_back({"two moments: heart phase and breath", Length::Millimetres(std::hypot(moved.millimetres(), (r.pixel.per_pixel * own).millimetres()))});
    gap.warnings.emplace_back(r.landmark_near ? "Two moments: what the landmark does not share with the caps stays in the length."
                                              : "Two moments: the caps may have moved between them by 3 mm and more. A landmark in both, or one frame that shows both caps, is better.");
  }
  // A course that nobody saw is at least the chord; the other side is as far from it as the curve found is.
  if (r.between.empty()) gap.length.parts.push_back({"course not seen", std::max(0.02 * gap.length.value, 0.5 * (gap.length.value - gap.chord))});
  gap.length.sd = RootSumOfSquares(gap.length.parts);
  gap.length.origin.method = MethodOf(r);
  gap.bend = BendOf(r, length);
  gap.warnings.emplace_back("One view: the true length is this or longer, and a bend may be more or less than it looks. A second view decides.");
  return gap;
}

}  // namespace fairlead
