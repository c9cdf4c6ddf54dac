// SPDX-License-Identifier: Apache-2.0
#include "imaging/pair/course.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>

#include "measure/normal.h"

namespace fairlead {
namespace {

constexpr int kPerSpan = 12;   // samples of a span for its length: within 1e-4 of it for bends as tight as a span
constexpr int kPairs = 96;     // draws, each with its mirror image
constexpr double kStep = 0.5;  // mm between samples for bends
// Of what the draws of a hidden course spread beyond the first order, the share that is stated: an artery follows the
// heart and wanders less freely than the draws. Calibrated on invented hearts (docs/methods-pair.md).
constexpr double kHiddenShare = 0.55;
// Of what the draws of a marked course are longer than the likeliest one. Calibrated likewise.
constexpr double kOfWindings = 0.35;

// Normal draws that are the same every time: splitmix64 and Box-Muller.
class Draws {
 public:
  double Next() {
    const double u = 1.0 - Share(), v = Share();
    return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * v);
  }

 private:
  double Share() {
    state_ += UINT64_C(0x9E3779B97F4A7C15);
    std::uint64_t z = state_;
    z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
    return static_cast<double>((z ^ (z >> 31)) >> 11) * 0x1p-53;
  }
  std::uint64_t state_ = 20260101;
};

double BetweenDirections(Vec3 a, Vec3 b) {
  return std::atan2(Norm(Cross(a, b)), Dot(a, b));
}

// Samples of one drawn course that lie about kStep apart, and the turns between arms at each.
struct Shape {
  std::vector<Vec3> points;
  std::vector<double> at;
  double length = 0.0;
};

Shape ShapeOf(const Spline& spline, double from, double to) {
  Shape shape;
  shape.points = SampledSpline(spline, from, to, kPerSpan);
  shape.at = ArcLengths(shape.points);
  shape.length = shape.at.back();
  return shape;
}

double ArmFor(double length, Length arm) {
  return std::min(arm.millimetres(), 0.4 * length);
}

struct TurnAt {
  double turn = 0.0, at = 0.0;
};

// The turn between the arms that end and begin at each place; arms are straight from place to place.
std::vector<TurnAt> TurnsAlong(const Shape& shape, double arm) {
  std::vector<TurnAt> turns;
  std::size_t before = 0, here = 0, after = 0;
  const auto place = [&shape](double at, std::size_t& hint) {
    while (hint + 2 < shape.at.size() && shape.at[hint + 1] < at) ++hint;
    const double share =
        std::clamp((at - shape.at[hint]) / std::max(1e-12, shape.at[hint + 1] - shape.at[hint]), 0.0, 1.0);
    return shape.points[hint] + share * (shape.points[hint + 1] - shape.points[hint]);
  };
  if (!(arm > 0.0) || shape.points.size() < 3) return turns;
  const double step = std::min(kStep, arm / 4.0);
  for (double at = arm; at <= shape.length - arm + 1e-9; at += step) {
    const Vec3 a = place(at - arm, before), b = place(at, here), c = place(at + arm, after);
    turns.push_back({BetweenDirections(b - a, c - b), at});
  }
  return turns;
}

TurnAt Largest(const std::vector<TurnAt>& turns) {
  TurnAt largest;
  for (const TurnAt& each : turns) {
    if (each.turn > largest.turn) largest = each;
  }
  return largest;
}

double Turning(const Shape& shape) {
  double sum = 0.0;
  for (std::size_t i = 2; i < shape.points.size(); ++i)
    sum += BetweenDirections(shape.points[i - 1] - shape.points[i - 2], shape.points[i] - shape.points[i - 1]);
  return sum;
}

// d(length) / d(control points): each sample pulls along the difference of the directions into and out of it.
std::vector<double> LengthGradient(const Spline& spline, double from, double to, bool chord) {
  std::vector<double> gradient(3 * spline.control.size(), 0.0);
  const double pieces = std::max(1.0, std::ceil((to - from) * kPerSpan - 1e-9));
  const std::size_t count = chord ? 1 : static_cast<std::size_t>(pieces);
  const auto parameter = [&](std::size_t k) {
    return from + (to - from) * static_cast<double>(k) / static_cast<double>(count);
  };
  for (std::size_t k = 0; k < count; ++k) {
    const Vec3 direction = Unit(SplineAt(spline, parameter(k + 1)) - SplineAt(spline, parameter(k)));
    for (const int end : {0, 1}) {
      const SplineWeights weights = WeightsAt(spline.spans(), parameter(k + static_cast<std::size_t>(end)));
      const double sign = end == 0 ? -1.0 : 1.0;
      for (std::size_t i = 0; i < 4; ++i) {
        double* at = gradient.data() + 3 * (weights.first + i);
        at[0] += sign * weights.value[i] * direction.x, at[1] += sign * weights.value[i] * direction.y,
            at[2] += sign * weights.value[i] * direction.z;
      }
    }
  }
  return gradient;
}

Reading<Length> AsReading(double value, const SpreadOfNumber& spread) {
  Reading<Length> reading;
  reading.value = Length::Millimetres(value);
  reading.sd = Length::Millimetres(spread.sd);
  for (const auto& [name, sd] : spread.parts) {
    if (sd > 0.0) reading.parts.push_back({name, Length::Millimetres(sd)});
  }
  return reading;
}

struct Moments {
  double sum = 0.0, squares = 0.0, count = 0.0;
  void Add(double x) { sum += x, squares += x * x, count += 1.0; }
  double mean() const { return count > 0.0 ? sum / count : 0.0; }
  double sd() const { return count > 1.0 ? std::sqrt(std::max(0.0, squares / count - mean() * mean())) : 0.0; }
};

struct Drawn {
  Moments length, winding, bend, turning;
  std::vector<Moments> turns;  // at the places of the likeliest course's turns
  double over_45 = 0.0;
};

void TakeDraw(const Spline& spline, double from, double to, Length arm, const std::vector<TurnAt>& places,
              Drawn& drawn) {
  const Shape shape = ShapeOf(spline, from, to);
  const double chord = Norm(shape.points.back() - shape.points.front());
  const auto turns = TurnsAlong(shape, ArmFor(shape.length, arm));
  const double bend = Largest(turns).turn * 180.0 / std::numbers::pi;
  drawn.length.Add(shape.length);
  drawn.winding.Add(shape.length / std::max(1e-9, chord));
  drawn.bend.Add(bend);
  drawn.turning.Add(Turning(shape));
  if (std::round(bend) > 45.0) drawn.over_45 += 1.0;
  for (std::size_t i = 0; i < places.size() && !turns.empty(); ++i) {
    const double share = places[i].at / std::max(1e-9, shape.length);
    const auto near = static_cast<std::size_t>(
        std::clamp(share * static_cast<double>(turns.size()), 0.0, static_cast<double>(turns.size() - 1)));
    // The turn's own peak, within an arm of where it was.
    const std::size_t reach = turns.size() / 40 + 1;
    double most = 0.0;
    for (std::size_t j = near > reach ? near - reach : 0; j < std::min(turns.size(), near + reach + 1); ++j)
      most = std::max(most, turns[j].turn);
    drawn.turns[i].Add(most);
  }
}

Drawn DrawCourses(const CoursePart& part, const CourseSpread& spread, Length arm, const std::vector<TurnAt>& places) {
  Drawn drawn;
  drawn.turns.resize(places.size());
  const FittedCourse& course = part.course;
  const std::size_t count = 3 * course.spline.control.size();
  const std::vector<double> root = RootOf(spread, part.first_row, count);
  if (root.empty()) return drawn;
  Draws draws;
  std::vector<double> normal(count);
  for (int pair = 0; pair < kPairs; ++pair) {
    for (double& each : normal) each = draws.Next();
    for (const double sign : {1.0, -1.0}) {
      Spline spline = course.spline;
      for (std::size_t i = 0; i < count; ++i) {
        double sum = 0.0;
        for (std::size_t j = 0; j <= i; ++j) sum += root[i * count + j] * normal[j];
        Vec3& p = spline.control[i / 3];
        (i % 3 == 0 ? p.x : i % 3 == 1 ? p.y : p.z) += sign * sum;
      }
      TakeDraw(spline, part.from, part.to, arm, places, drawn);
    }
  }
  drawn.over_45 /= 2.0 * kPairs;
  return drawn;
}

// Peaks of 30 degrees and more, the sharpest first, no two within an arm of each other.
std::vector<TurnAt> Peaks(std::vector<TurnAt> turns, double arm) {
  std::sort(turns.begin(), turns.end(), [](const TurnAt& a, const TurnAt& b) { return a.turn > b.turn; });
  std::vector<TurnAt> peaks;
  for (const TurnAt& each : turns) {
    if (each.turn < std::numbers::pi / 6.0 || peaks.size() == 8) break;
    const bool apart =
        std::all_of(peaks.begin(), peaks.end(), [&](const TurnAt& p) { return std::abs(p.at - each.at) >= arm; });
    if (apart) peaks.push_back(each);
  }
  return peaks;
}

std::vector<PlaceOnCourse> PlacesAlong(const CoursePart& part, const CourseSpread& spread) {
  const auto& [course, from, to, first_row] = part;
  std::vector<PlaceOnCourse> places;
  const double pieces = std::clamp(std::ceil((to - from) * course.span_mm), 1.0, 300.0);
  for (double k = 0.0; k <= pieces; k += 1.0) {
    const double at = from + (to - from) * k / pieces;
    const SplineWeights weights = WeightsAt(course.spline.spans(), at);
    places.push_back({SplineAt(course.spline, at), CovarianceOf(spread, first_row + 3 * weights.first, weights.value)});
  }
  return places;
}

}  // namespace

CourseNumbers NumbersOf(const CoursePart& part, const CourseSpread& spread, Length arm, CourseKnown shown) {
  const auto& [course, from, to, first_row] = part;
  CourseNumbers numbers;
  const Shape shape = ShapeOf(course.spline, from, to);
  const double arm_mm = ArmFor(shape.length, arm);
  const auto turns = TurnsAlong(shape, arm_mm);
  const auto peaks = Peaks(turns, arm_mm);
  const Drawn drawn = DrawCourses(part, spread, arm, peaks);
  const double chord = Norm(shape.points.back() - shape.points.front());
  // The likeliest course is the smoothest: a true one is longer by what it may wander, which the draws tell.
  const double length = drawn.length.count > 0.0 ? drawn.length.mean() : shape.length;
  numbers.length = AsReading(length, SpreadOfOne(spread, first_row, LengthGradient(course.spline, from, to, false)));
  numbers.chord = AsReading(chord, SpreadOfOne(spread, first_row, LengthGradient(course.spline, from, to, true)));
  // What the draws spread beyond the first order: how much a course may wander is itself uncertain.
  const double share = shown == CourseKnown::kHidden ? kHiddenShare : 1.0;
  const double first_order = numbers.length.sd->millimetres(),
               beyond = share * share * std::max(0.0, drawn.length.sd() * drawn.length.sd() - first_order * first_order);
  if (beyond > 0.0) {
    numbers.length.parts.push_back({"wandering of the course (sampled)", Length::Millimetres(std::sqrt(beyond))});
    numbers.length.sd = RootSumOfSquares(numbers.length.parts);
  }
  // Clicks off the course make windings that are not there, or hide some: by as much as the drawn ones differ from the likeliest.
  if (const double wound = kOfWindings * std::abs(length - shape.length); shown != CourseKnown::kHidden && wound > 0.0) {
    numbers.length.parts.push_back({"windings that clicks make or hide (sampled)", Length::Millimetres(wound)});
    numbers.length.sd = RootSumOfSquares(numbers.length.parts);
  }
  numbers.arm = Length::Millimetres(arm_mm);
  numbers.bend.value = Angle::Radians(Largest(turns).turn);
  numbers.bend.sd = Angle::Degrees(drawn.bend.sd());
  numbers.bend_at = Length::Millimetres(Largest(turns).at);
  numbers.over_45 =
      1.0 - NormalCdf(45.5, numbers.bend.value.degrees(), numbers.bend.sd->degrees());  // 45 as shown is not above 45
  if (shown == CourseKnown::kHidden && drawn.bend.count > 0.0)
    numbers.bend.value = Angle::Degrees(drawn.bend.mean()), numbers.over_45 = drawn.over_45;
  // Exactly 20.0, as shown with one decimal, counts as 20 or more.
  numbers.over_20_mm = 1.0 - NormalCdf(19.95, length, numbers.length.sd->millimetres());
  numbers.winding = drawn.winding.count > 0.0 ? drawn.winding.mean() : shape.length / std::max(1e-9, chord);
  numbers.winding_sd = drawn.winding.sd();
  numbers.turning = Angle::Radians(Turning(shape));
  numbers.turning_sd = Angle::Radians(drawn.turning.sd());
  for (std::size_t i = 0; i < peaks.size(); ++i) {
    numbers.turns.push_back(
        {Angle::Radians(peaks[i].turn), Angle::Radians(drawn.turns[i].sd()), Length::Millimetres(peaks[i].at)});
  }
  numbers.places = PlacesAlong(part, spread);
  return numbers;
}

}  // namespace fairlead
