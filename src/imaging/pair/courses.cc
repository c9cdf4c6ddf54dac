// SPDX-License-Identifier: Apache-2.0
#include "imaging/pair/courses.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/curve.h"
#include "geometry/triangulate.h"

namespace fairlead {
namespace {

constexpr double kApartPx = 6.0;  // traced points nearer to each other do not err independently; chosen
constexpr double kApartMm = 1.0;  // of the points in space that a spline starts from
constexpr double kBeyondEnd = 4.0;  // times as far may a click lie along the course beyond its end; chosen
constexpr int kSearch = 12;       // places of a span that are tried

// A traced line has a point a pixel: their errors go together, so only some of them are clicks to the fit.
std::vector<ImagePoint> Thinned(const std::vector<ImagePoint>& points) {
  std::vector<ImagePoint> kept{points.front()};
  for (std::size_t i = 1; i + 1 < points.size(); ++i) {
    if (Distance(points[i], kept.back()) >= kApartPx && Distance(points[i], points.back()) >= 0.5 * kApartPx)
      kept.push_back(points[i]);
  }
  kept.push_back(points.back());
  return kept;
}

struct Line {
  std::size_t frame = 0;
  std::vector<ImagePoint> clicks;
  SmoothLine smooth;
};

std::vector<Line> SmoothLines(std::span<const SeenLine> lines) {
  std::vector<Line> out;
  for (const SeenLine& line : lines) {
    if (line.points.size() < 2) continue;
    Line each{line.frame, Thinned(line.points), {}};
    each.smooth = ThroughClicks(each.clicks);
    if (each.smooth.along.back() > 1.0) out.push_back(std::move(each));
  }
  return out;
}

double Folded(const View& a, const View& b) {
  const double angle = AngleBetweenBeams(a, b).degrees();
  return std::min(angle, 180.0 - angle);
}

// The two lines whose frames stand widest apart.
std::pair<std::size_t, std::size_t> WidestPair(const Bundle& geometry, const std::vector<Line>& lines) {
  std::pair<std::size_t, std::size_t> best{0, 0};
  double most = -1.0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    for (std::size_t j = i + 1; j < lines.size(); ++j) {
      const double angle = Folded(FittedView(geometry, lines[i].frame), FittedView(geometry, lines[j].frame));
      if (angle > most) most = angle, best = {i, j};
    }
  }
  return best;
}

struct Placing {
  std::vector<double> on_line;  // pixels along a line, rising
  std::vector<double> along;    // mm along the stretch
};

double AlongAt(const Placing& placing, double on_line) {
  const auto after = std::lower_bound(placing.on_line.begin(), placing.on_line.end(), on_line);
  if (after == placing.on_line.begin()) return placing.along.front();
  if (after == placing.on_line.end()) return placing.along.back();
  const auto i = static_cast<std::size_t>(after - placing.on_line.begin());
  const double share = (on_line - placing.on_line[i - 1]) / std::max(1e-9, placing.on_line[i] - placing.on_line[i - 1]);
  return placing.along[i - 1] + share * (placing.along[i] - placing.along[i - 1]);
}

void PlaceClicks(const Line& line, const Placing& placing, FreeEnds free, CourseStretch& stretch) {
  const double slack = 2.0;  // pixels
  for (std::size_t i = 0; i < line.clicks.size(); ++i) {
    const double on = line.smooth.click_along[i];
    if (on < placing.on_line.front() - slack || on > placing.on_line.back() + slack)
      continue;  // the other frame does not show it
    const bool end = (i == 0 && !free.start) || (i + 1 == line.clicks.size() && !free.end);
    stretch.clicks.push_back({line.frame, line.clicks[i], AlongAt(placing, on), end});
  }
}

}  // namespace

Bending BendingOf(PathKind kind) {
  // The wandering of direction was taken from courses of coronary arteries (docs/methods-pair.md); for channels, which
  // wind, it is chosen.
  return kind == PathKind::kVessel ? Bending{2.5, 0.012} : Bending{1.25, 0.13};
}

Result<CourseStretch> StretchOf(const Bundle& geometry, std::span<const SeenLine> lines, FreeEnds free) {
  const std::vector<Line> all = SmoothLines(lines);
  if (all.size() < 2)
    return Error{"a course in 3D needs to be marked in at least two frames, two points or more in each", "",
                 "mark it in a second view"};
  const auto [i, j] = WidestPair(geometry, all);
  const Line &a = all[i], &b = all[j];
  const View view_a = FittedView(geometry, a.frame), view_b = FittedView(geometry, b.frame);
  if (Folded(view_a, view_b) < kRefuseBelow.degrees()) {
    return Error{"the views are less than 15 degrees apart, so depth cannot be told", "",
                 "use a second view at least 30 degrees from the first"};
  }
  const auto matched = MatchCourses(view_a, a.smooth, view_b, b.smooth, free);
  if (!matched) return matched.error();
  CourseStretch stretch;
  Placing on_a, on_b;
  double uncertain = 0.0;
  for (const Matched& m : *matched) {
    const std::array<SeenAt, 2> pictures{{{view_a, PlaceOn(a.smooth, m.on_a)}, {view_b, PlaceOn(b.smooth, m.on_b)}}};
    const auto found = Triangulate(pictures);
    if (!found) continue;
    uncertain += m.certain ? 0.0 : 1.0;
    const bool last = &m == &matched->back();
    if (!stretch.points.empty() && Norm(found->point - stretch.points.back()) < kApartMm) {
      if (!last || stretch.points.size() < 2) {
        if (!last) continue;
      } else {
        stretch.points.pop_back(), on_a.on_line.pop_back(), on_b.on_line.pop_back();
      }
    }
    stretch.points.push_back(found->point);
    on_a.on_line.push_back(m.on_a), on_b.on_line.push_back(m.on_b);
  }
  if (stretch.points.size() < 2)
    return Error{"the two pictures show no common stretch of this course", "", "mark the same stretch in both"};
  on_a.along = on_b.along = ArcLengths(stretch.points);
  stretch.uncertain = uncertain / static_cast<double>(matched->size());
  PlaceClicks(a, on_a, free, stretch);
  PlaceClicks(b, on_b, free, stretch);
  for (std::size_t k = 0; k < all.size(); ++k) {
    if (k == i || k == j || free.start || free.end) continue;  // a third line is placed by its share of the length
    const Placing by_share{{0.0, all[k].smooth.along.back()}, {0.0, on_a.along.back()}};
    PlaceClicks(all[k], by_share, free, stretch);
  }
  return stretch;
}

FittedCourse CourseAlong(std::span<const Vec3> points, const Bending& bending) {
  FittedCourse course;
  course.spline = SplineAlong(points, bending.span_mm);
  course.span_mm = std::max(0.05, LengthOf(points).millimetres() / static_cast<double>(course.spline.spans()));
  course.wander_per_mm = bending.wander_per_mm;
  return course;
}

std::size_t Associate(const Bundle& bundle, FittedCourse& course, double most_px) {
  std::vector<CourseClick> kept;
  std::size_t dropped = 0;
  for (CourseClick click : course.clicks) {
    double best = std::numeric_limits<double>::infinity(), at = click.parameter;
    const double reach = 2.0, low = std::max(click.low, click.parameter - reach),
                 high = std::min(click.high, click.parameter + reach);
    for (double k = 0.0; !click.fixed && k <= 2.0 * reach * kSearch; k += 1.0) {
      const double parameter = low + (high - low) * k / (2.0 * reach * kSearch);
      const double distance = Distance(SeenIn(bundle, click.frame, SplineAt(course.spline, parameter)), click.at);
      if (distance < best) best = distance, at = parameter;
    }
    click.parameter = at;
    double across = best;
    const double half = 0.5 / kSearch;
    const ImagePoint a = SeenIn(bundle, click.frame, SplineAt(course.spline, at - half)),
                     b = SeenIn(bundle, click.frame, SplineAt(course.spline, at + half));
    if (const double length = Distance(a, b); length > 1e-9) {
      click.normal_column = -(b.row - a.row) / length, click.normal_row = (b.column - a.column) / length;
      const ImagePoint seen = SeenIn(bundle, click.frame, SplineAt(course.spline, at));
      // A free end may have slipped inwards along the course: a click beyond it is far along, not across.
      across = std::abs((click.at.column - seen.column) * click.normal_column + (click.at.row - seen.row) * click.normal_row);
      // The nearest place is where the click's offset is square to the course: one step along it.
      const double along = ((click.at.column - 0.5 * (a.column + b.column)) * (b.column - a.column) +
                            (click.at.row - 0.5 * (a.row + b.row)) * (b.row - a.row)) /
                           (length * length);
      if (!click.fixed)
        click.parameter = std::clamp(at + std::clamp(along, -1.0, 1.0) * 2.0 * half, click.low, click.high);
    }
    if (!click.fixed && (across > most_px || best > kBeyondEnd * most_px))
      ++dropped;
    else
      kept.push_back(click);
  }
  course.clicks = std::move(kept);
  return dropped;
}

}  // namespace fairlead
