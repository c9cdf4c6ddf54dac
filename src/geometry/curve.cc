// SPDX-License-Identifier: Apache-2.0
#include "geometry/curve.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace fairlead {

std::vector<double> ArcLengths(std::span<const Vec3> course) {
  std::vector<double> lengths(course.size(), 0.0);
  for (std::size_t i = 1; i < course.size(); ++i) lengths[i] = lengths[i - 1] + Norm(course[i] - course[i - 1]);
  return lengths;
}

Length LengthOf(std::span<const Vec3> course) {
  double length = 0.0;
  for (std::size_t i = 1; i < course.size(); ++i) length += Norm(course[i] - course[i - 1]);
  return Length::Millimetres(length);
}

Vec3 PointAt(std::span<const Vec3> course, Length from_start) {
  double left = from_start.millimetres();
  if (left <= 0.0) return course.front();
  for (std::size_t i = 1; i < course.size(); ++i) {
    const double piece = Norm(course[i] - course[i - 1]);
    if (left <= piece && piece > 0.0) return course[i - 1] + (left / piece) * (course[i] - course[i - 1]);
    left -= piece;
  }
  return course.back();
}

std::vector<Vec3> PartOf(std::span<const Vec3> course, Length from, Length to) {
  std::vector<Vec3> part{PointAt(course, from)};
  double at = 0.0;
  for (std::size_t i = 1; i < course.size(); ++i) {
    at += Norm(course[i] - course[i - 1]);
    if (at > from.millimetres() && at < to.millimetres()) part.push_back(course[i]);
  }
  part.push_back(PointAt(course, to));
  return part;
}

Result<std::vector<Vec3>> Resample(std::span<const Vec3> course, Length spacing) {
  if (course.empty()) return Error{"the course has no points", "", "trace the vessel first"};
  if (!(spacing.millimetres() > 0.0)) return Error{"the spacing of points is not above 0 mm", "", "give a spacing above 0 mm"};
  const double length = LengthOf(course).millimetres();
  if (!std::isfinite(length)) return Error{"a point of the course is not a number", "", "trace the vessel again"};
  const double pieces = std::max(1.0, std::ceil(length / spacing.millimetres() - 1e-9));
  if (pieces > 1e7) return Error{"the spacing of points is too small for this length", "", "give a larger spacing"};
  std::vector<Vec3> even;
  even.reserve(static_cast<std::size_t>(pieces) + 1);
  const std::vector<double> at = ArcLengths(course);
  std::size_t i = 0;
  for (double k = 0.0; k <= pieces; k += 1.0) {
    const double want = length * k / pieces;
    while (i + 2 < course.size() && at[i + 1] < want) ++i;
    if (i + 1 == course.size() || at[i + 1] == at[i]) {
      even.push_back(course[i]);
      continue;
    }
    even.push_back(course[i] + std::min(1.0, (want - at[i]) / (at[i + 1] - at[i])) * (course[i + 1] - course[i]));
  }
  even.front() = course.front();
  even.back() = course.back();
  return even;
}

std::vector<Vec3> Tangents(std::span<const Vec3> course) {
  std::vector<Vec3> tangents(course.size());
  for (std::size_t i = 0; i < course.size(); ++i) {
    const Vec3 before = course[i > 0 ? i - 1 : 0], after = course[std::min(i + 1, course.size() - 1)];
    tangents[i] = Unit(after - before);
  }
  return tangents;
}

Bend LargestBend(std::span<const Vec3> course, Length window) {
  if (course.size() < 3) return {};
  const double length = LengthOf(course).millimetres();
  const double half = std::min(window.millimetres(), length / 2.0);
  const double step = std::min(0.5, half / 4.0);
  if (!(step > 0.0)) return {};
  Bend largest;
  for (double at = half; at <= length - half + 1e-9; at += step) {
    const Vec3 here = PointAt(course, Length::Millimetres(at));
    const Vec3 in = here - PointAt(course, Length::Millimetres(at - half));
    const Vec3 out = PointAt(course, Length::Millimetres(at + half)) - here;
    const Angle turn = Angle::Radians(std::atan2(Norm(Cross(in, out)), Dot(in, out)));
    if (turn > largest.turn) largest = {turn, Length::Millimetres(at)};
  }
  return largest;
}

}  // namespace fairlead
