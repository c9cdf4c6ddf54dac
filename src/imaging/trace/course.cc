// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/course.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

namespace fairlead {
namespace {

constexpr double kGridCutoff = 10.0;   // pixels: steps of the grid are shorter. Chosen
constexpr double kRidgeCutoff = 14.0;  // pixels, about 3 mm. Chosen
constexpr double kReach = 2.5;         // pixels
constexpr double kStep = 0.5;          // pixels
constexpr double kEndWeight = 30.0;

Course Smooth(const Course& course, std::span<const double> weights, double cutoff) {
  std::vector<double> x, y;
  for (const PixelPoint& p : course) x.push_back(p.x), y.push_back(p.y);
  x = Smoothed(x, weights, cutoff), y = Smoothed(y, weights, cutoff);
  Course smooth;
  for (std::size_t i = 0; i < x.size(); ++i) smooth.push_back({x[i], y[i]});
  return smooth;
}

struct Crest {
  double across = 0.0, strength = 0.0;
};

// The strongest place on the line across, by a parabola through the best sample and its neighbours.
Crest CrestAcross(const Picture& strength, PixelPoint at, PixelPoint normal) {
  constexpr int kSteps = static_cast<int>(kReach / kStep);
  std::vector<double> v;
  for (int i = -kSteps; i <= kSteps; ++i) v.push_back(ValueBetween(strength, at.x + i * kStep * normal.x, at.y + i * kStep * normal.y));
  const auto best = static_cast<std::size_t>(std::max_element(v.begin(), v.end()) - v.begin());
  const double whole = (static_cast<double>(best) - kSteps) * kStep;
  if (best == 0 || best + 1 == v.size()) return {whole, v[best]};
  const double bend = v[best - 1] - 2.0 * v[best] + v[best + 1];
  return {whole + (bend < 0.0 ? 0.5 * (v[best - 1] - v[best + 1]) / bend * kStep : 0.0), v[best]};
}

}  // namespace

double LengthPx(std::span<const PixelPoint> course) {
  double length = 0.0;
  for (std::size_t i = 1; i < course.size(); ++i) length += std::hypot(course[i].x - course[i - 1].x, course[i].y - course[i - 1].y);
  return length;
}

Course Evenly(std::span<const PixelPoint> course, double spacing) {
  const double length = LengthPx(course);
  if (!(length > 0.0)) return course.empty() ? Course{} : Course{course.front()};
  const auto steps = static_cast<std::size_t>(std::max(1.0, std::round(length / spacing)));
  Course even{course.front()};
  double done = 0.0;  // up to the point before `i`
  std::size_t i = 1;
  for (std::size_t k = 1; k < steps; ++k) {
    const double wanted = length * static_cast<double>(k) / static_cast<double>(steps);
    double piece = std::hypot(course[i].x - course[i - 1].x, course[i].y - course[i - 1].y);
    while (done + piece < wanted && i + 1 < course.size()) {
      done += piece;
      ++i;
      piece = std::hypot(course[i].x - course[i - 1].x, course[i].y - course[i - 1].y);
    }
    const double share = piece > 0.0 ? std::min(1.0, (wanted - done) / piece) : 0.0;
    even.push_back({course[i - 1].x + share * (course[i].x - course[i - 1].x), course[i - 1].y + share * (course[i].y - course[i - 1].y)});
  }
  even.push_back(course.back());
  return even;
}

std::vector<PixelPoint> Normals(std::span<const PixelPoint> course) {
  std::vector<PixelPoint> normals;
  for (std::size_t i = 0; i < course.size(); ++i) {
    const PixelPoint& a = course[i > 1 ? i - 2 : 0];
    const PixelPoint& b = course[std::min(i + 2, course.size() - 1)];
    const double dx = b.x - a.x, dy = b.y - a.y, length = std::hypot(dx, dy);
    normals.push_back(length > 0.0 ? PixelPoint{-dy / length, dx / length} : PixelPoint{0.0, 1.0});
  }
  return normals;
}

std::vector<double> Smoothed(std::span<const double> values, std::span<const double> weights, double cutoff) {
  const std::size_t n = values.size();
  std::vector<double> z(values.begin(), values.end());
  if (n < 3) return z;
  const double lambda = std::pow(cutoff / (2.0 * std::numbers::pi), 4.0);
  // L D L' of the five-band matrix W + lambda D'D; d, and the first and second column below it.
  std::vector<double> d(n), e(n, 0.0), f(n, 0.0);
  for (std::size_t i = 0; i < n; ++i) {
    const bool first = i == 0 || i + 1 == n, second = i == 1 || i + 2 == n;
    const double middle = n == 3 ? (i == 1 ? 4.0 : 1.0) : first ? 1.0 : second ? 5.0 : 6.0;
    const double next = (i == 0 || i + 2 == n) ? -2.0 : -4.0;
    const double d1 = i > 0 ? d[i - 1] : 0.0, d2 = i > 1 ? d[i - 2] : 0.0;
    d[i] = weights[i] + lambda * middle - (i > 0 ? e[i - 1] * e[i - 1] * d1 : 0.0) - (i > 1 ? f[i - 2] * f[i - 2] * d2 : 0.0);
    if (i + 1 < n) e[i] = (lambda * next - (i > 0 ? e[i - 1] * f[i - 1] * d1 : 0.0)) / d[i];
    if (i + 2 < n) f[i] = lambda / d[i];
  }
  for (std::size_t i = 0; i < n; ++i) {
    z[i] = weights[i] * values[i] - (i > 0 ? e[i - 1] * z[i - 1] : 0.0) - (i > 1 ? f[i - 2] * z[i - 2] : 0.0);
  }
  for (std::size_t i = n; i-- > 0;) {
    z[i] = z[i] / d[i] - (i + 1 < n ? e[i] * z[i + 1] : 0.0) - (i + 2 < n ? f[i] * z[i + 2] : 0.0);
  }
  return z;
}

Course AlongRidge(const Vesselness& vesselness, std::span<const Pixel> path) {
  Course course;
  for (const Pixel& p : path) course.push_back({static_cast<double>(p.column), static_cast<double>(p.row)});
  course = Evenly(course, 1.0);
  if (course.size() < 4) return course;
  std::vector<double> weights(course.size(), 1.0);
  weights.front() = weights.back() = kEndWeight;
  course = Evenly(Smooth(course, weights, kGridCutoff), 1.0);

  const Picture strength{vesselness.rows, vesselness.columns, vesselness.strength};
  const auto normals = Normals(course);
  weights.assign(course.size(), 0.0);
  double most = 0.0;
  for (std::size_t i = 0; i < course.size(); ++i) {
    const Crest crest = CrestAcross(strength, course[i], normals[i]);
    weights[i] = std::max(0.0, crest.strength);
    most = std::max(most, weights[i]);
    course[i] = {course[i].x + crest.across * normals[i].x, course[i].y + crest.across * normals[i].y};
  }
  // Where no ridge is seen the path itself is all there is: it keeps a tenth of a weight.
  for (double& w : weights) w = most > 0.0 ? std::clamp(4.0 * w / most, 0.1, 1.0) : 1.0;
  return Evenly(Smooth(course, weights, kRidgeCutoff), 1.0);
}

}  // namespace fairlead
