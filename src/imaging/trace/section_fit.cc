// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/section_fit.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <cstddef>

namespace fairlead {
namespace {

// Made once and never changed.
const BlurredChord& Chord() {
  static const BlurredChord chord;
  return chord;
}

struct Used {
  int first = 0, count = 0;
};

// Samples whose weight counts. The window follows the start, not the fit, so that the fit has one target.
Used WindowOf(const Line& line, double middle, double half) {
  const int last = static_cast<int>(line.values.size()) - 1;
  const int from = std::clamp(static_cast<int>(std::ceil((middle - half + line.reach) / line.step)), 0, last);
  const int to = std::clamp(static_cast<int>(std::floor((middle + half + line.reach) / line.step)), 0, last);
  return {from, std::max(0, to - from + 1)};
}

double PlaceOf(const Line& line, int index) { return index * line.step - line.reach; }

constexpr double kLeastRadius = 0.3;   // pixels
constexpr double kFar = 4.7;           // sd
constexpr int kRounds = 12;

using Vector5 = Eigen::Matrix<double, 5, 1>;
using Matrix5 = Eigen::Matrix<double, 5, 5>;
using Rows5 = Eigen::Matrix<double, Eigen::Dynamic, 5>;

// Middle, radius, darkness, background, slope.
struct Model {
  const Line& line;
  Used used;
  double blur, origin;  // places are counted from `origin`, so that background and slope stay apart

  double Chord1(double t, double radius) const { return blur * Chord()(t / blur, radius / blur); }

  // Residuals and, if asked, their derivatives by the five.
  Eigen::VectorXd LeftOver(const Vector5& p, Rows5* slope) const {
    constexpr double kSmall = 0.02;  // pixels, for differences; wide against the table's steps
    Eigen::VectorXd rest(used.count);
    for (int i = 0; i < used.count; ++i) {
      const double place = PlaceOf(line, used.first + i), t = place - p[0];
      const double chord = Chord1(t, p[1]);
      rest[i] = static_cast<double>(line.values[static_cast<std::size_t>(used.first + i)]) - (p[2] * chord + p[3] + p[4] * (place - origin));
      if (slope == nullptr) continue;
      const double by_middle = (Chord1(t - kSmall, p[1]) - Chord1(t + kSmall, p[1])) / (2 * kSmall);
      const double by_radius = (Chord1(t, p[1] + kSmall) - Chord1(t, p[1] - kSmall)) / (2 * kSmall);
      slope->row(i) << p[2] * by_middle, p[2] * by_radius, chord, 1.0, place - origin;
    }
    return rest;
  }
};

// Darkness, background and slope by least squares, the others held.
Vector5 SolveGreys(const Model& model, double middle, double radius, const Eigen::VectorXd& weights) {
  Eigen::Matrix3d a = Eigen::Matrix3d::Zero();
  Eigen::Vector3d b = Eigen::Vector3d::Zero();
  for (int i = 0; i < model.used.count; ++i) {
    const double place = PlaceOf(model.line, model.used.first + i);
    const Eigen::Vector3d x(model.Chord1(place - middle, radius), 1.0, place - model.origin);
    a += weights[i] * x * x.transpose();
    b += weights[i] * static_cast<double>(model.line.values[static_cast<std::size_t>(model.used.first + i)]) * x;
  }
  a.diagonal().array() += 1e-9;
  const Eigen::Vector3d greys = a.ldlt().solve(b);
  return (Vector5() << middle, radius, greys).finished();
}

// Robust sd of the residuals: 1.4826 times their median size.
double RobustSd(const Eigen::VectorXd& rest) {
  std::vector<double> sizes;
  for (Eigen::Index i = 0; i < rest.size(); ++i) sizes.push_back(std::abs(rest[i]));
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  return 1.4826 * *middle;
}

Eigen::VectorXd TukeyWeights(const Eigen::VectorXd& rest, double sd) {
  Eigen::VectorXd weights(rest.size());
  for (Eigen::Index i = 0; i < rest.size(); ++i) {
    const double u = sd > 0.0 ? rest[i] / (kFar * sd) : 0.0;
    weights[i] = std::abs(u) < 1.0 ? (1.0 - u * u) * (1.0 - u * u) : 0.0;
  }
  return weights;
}

SectionFit Told(const Vector5& p, const Eigen::VectorXd& rest, const Eigen::VectorXd& weights) {
  SectionFit fit;
  fit.middle = p[0], fit.radius = p[1], fit.darkness = p[2], fit.background = p[3], fit.slope = p[4];
  const double sum = weights.sum();
  fit.misfit = sum > 0.0 ? (weights.array() * rest.array().square()).sum() / sum : 0.0;
  fit.trusted = rest.size() > 0 ? static_cast<double>((weights.array() > 0.25).count()) / static_cast<double>(rest.size()) : 0.0;
  return fit;
}

}  // namespace

SectionFit SectionFitter::Held(const Line& line, double middle, double radius, double beyond) const {
  const Model model{line, WindowOf(line, middle, radius + beyond), blur_, middle};
  if (model.used.count < 6) return {};
  const Eigen::VectorXd weights = Eigen::VectorXd::Ones(model.used.count);
  const Vector5 p = SolveGreys(model, middle, radius, weights);
  return Told(p, model.LeftOver(p, nullptr), weights);
}

SectionFit SectionFitter::Refined(const Line& line, double middle, double radius, double beyond) const {
  const Model model{line, WindowOf(line, middle, radius + beyond), blur_, middle};
  if (model.used.count < 8) return {};
  Eigen::VectorXd weights = Eigen::VectorXd::Ones(model.used.count);
  Vector5 p = SolveGreys(model, middle, radius, weights);
  Rows5 slope(model.used.count, 5);
  Eigen::VectorXd rest = model.LeftOver(p, &slope);
  double damping = 1e-3;
  for (int round = 0; round < kRounds; ++round) {
    weights = TukeyWeights(rest, std::max(1e-6, RobustSd(rest)));
    const Matrix5 normal = slope.transpose() * weights.asDiagonal() * slope;
    const Vector5 pull = slope.transpose() * weights.asDiagonal() * rest;
    Matrix5 damped = normal;
    damped.diagonal() += damping * normal.diagonal() + Vector5::Constant(1e-12);
    Vector5 step = damped.ldlt().solve(pull);
    if (!step.allFinite()) break;
    const double widest = std::max(std::abs(step[0]), std::abs(step[1]));
    if (widest > 0.6) step *= 0.6 / widest;
    Vector5 next = p + step;
    next[1] = std::max(kLeastRadius, next[1]);
    Rows5 next_slope(model.used.count, 5);
    const Eigen::VectorXd next_rest = model.LeftOver(next, &next_slope);
    const double before = (weights.array() * rest.array().square()).sum(), after = (weights.array() * next_rest.array().square()).sum();
    if (after > before) {
      damping *= 8.0;
      if (damping > 1e6) break;
      continue;
    }
    damping = std::max(1e-6, damping * 0.2);
    p = next, rest = next_rest, slope = next_slope;
    if (widest < 2e-3) break;
  }
  SectionFit fit = Told(p, rest, weights);
  Matrix5 normal = slope.transpose() * weights.asDiagonal() * slope;
  normal.diagonal().array() += 1e-9;
  const Eigen::MatrixXd influence = normal.ldlt().solve((slope.transpose() * weights.asDiagonal()).eval());
  fit.influence = influence.topRows(2).transpose();
  fit.left_over.assign(rest.data(), rest.data() + rest.size());
  for (std::size_t i = 0; i < fit.left_over.size(); ++i) fit.left_over[i] *= std::sqrt(weights[static_cast<Eigen::Index>(i)]);
  return fit;
}

}  // namespace fairlead
