// SPDX-License-Identifier: Apache-2.0
#include "imaging/ruler/shaft_fit.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>

namespace fairlead {
namespace {

constexpr int kSteps = 14;  // 29 nodes over +-3 blur

std::array<double, 2 * kSteps + 1> GaussianWeights() {
  std::array<double, 2 * kSteps + 1> weights{};
  double sum = 0.0;
  for (int k = -kSteps; k <= kSteps; ++k) {
    const double z = 3.0 * k / kSteps;
    sum += weights[static_cast<std::size_t>(k + kSteps)] = std::exp(-0.5 * z * z);
  }
  for (double& weight : weights) weight /= sum;
  return weights;
}

// Darkening at distance t from the shaft's middle, before the amplitude: the chord through the disc, less what the bore
// lacks, averaged over the blur.
double Darkening(double t, const ShaftShape& shape, double radius, double blur) {
  static const auto kWeights = GaussianWeights();
  const double inner = shape.bore * radius;
  double sum = 0.0;
  for (int k = -kSteps; k <= kSteps; ++k) {
    const double x = t + 3.0 * k / kSteps * blur;
    const double outside = radius * radius - x * x, inside = inner * inner - x * x;
    double chord = outside > 0.0 ? 2.0 * std::sqrt(outside) : 0.0;
    if (inside > 0.0) chord -= (1.0 - shape.filling) * 2.0 * std::sqrt(inside);
    sum += kWeights[static_cast<std::size_t>(k + kSteps)] * chord;
  }
  return sum;
}

ShaftFit FitAmplitudes(const ShaftProfile& profile, const ShaftShape& shape, double radius, double centre, double blur) {
  const auto n = static_cast<Eigen::Index>(profile.values.size());
  Eigen::MatrixX3d columns(n, 3);
  const Eigen::Map<const Eigen::VectorXd> seen(profile.values.data(), n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const double t = static_cast<double>(i) - profile.reach;
    columns.row(i) << 1.0, t, -Darkening(t - centre, shape, radius, blur);
  }
  const Eigen::Vector3d amplitude = (columns.transpose() * columns).ldlt().solve(columns.transpose() * seen);
  const double cost = (columns * amplitude - seen).squaredNorm() / static_cast<double>(n);
  return {shape, radius, centre, blur, cost, -amplitude[2] * columns.col(2).minCoeff()};
}

double CostOf(const ShaftProfile& profile, const ShaftFit& fit) {
  if (fit.radius <= 0.0) return std::numeric_limits<double>::infinity();
  return FitAmplitudes(profile, fit.shape, fit.radius, fit.centre, fit.blur).cost;
}

// Coarse search over radius, centre and blur. A shaft wider than this share of the window shows too little background.
ShaftFit CoarseFit(const ShaftProfile& profile, const ShaftShape& shape) {
  ShaftFit best;
  for (double blur : {0.5, 0.8, 1.2, 1.8})
    for (double radius = 1.5; radius < 0.62 * profile.reach; radius += 0.75)
      for (double centre = -3.0; centre <= 3.0; centre += 1.0) {
        const ShaftFit fit = FitAmplitudes(profile, shape, radius, centre, blur);
        if (fit.depth > 0.0 && fit.cost < best.cost) best = fit;
      }
  return best;
}

// The likelihood against the best shape above which the solid rod is kept: chosen.
constexpr double kRodHolds = 0.02;

// Bores of diagnostic and guide catheters lie between 0.70 and 0.90 of the outer diameter; what fills them runs from
// nothing seen (saline) to contrast more than twice as dense as the wall. Practice, no source.
std::vector<ShaftShape> Shapes() {
  std::vector<ShaftShape> shapes = {{0.0, 1.0}};  // a solid rod first
  for (double bore : {0.70, 0.77, 0.84, 0.90})
    for (double filling : {0.0, 0.2, 0.4, 0.7, 1.5, 2.3}) shapes.push_back({bore, filling});
  return shapes;
}

// A solid rod stands for every bore; a bore with thin contrast is rarer than one that is empty or full. Practice, no source.
double Prior(const ShaftShape& shape) {
  if (shape.bore == 0.0) return 4.0;
  return shape.filling > 0.1 && shape.filling < 0.5 ? 0.2 : 1.0;
}

}  // namespace

// Halving steps from `start` down to 1/200 pixel.
ShaftFit RefineShaft(const ShaftProfile& profile, ShaftFit start) {
  ShaftFit best = FitAmplitudes(profile, start.shape, start.radius, start.centre, start.blur);
  for (double step = 0.5; step > 0.004;) {
    const ShaftFit before = best;
    for (const auto& [dr, dc, db] : {std::array{step, 0.0, 0.0}, {-step, 0.0, 0.0}, {0.0, step, 0.0}, {0.0, -step, 0.0},
                                     {0.0, 0.0, step}, {0.0, 0.0, -step}, {step, 0.0, -step}, {-step, 0.0, step}}) {
      const double radius = before.radius + dr, blur = before.blur + db;
      if (radius < 1.0 || radius > 0.62 * profile.reach || blur < 0.3 || blur > 2.5) continue;
      const ShaftFit fit = FitAmplitudes(profile, start.shape, radius, before.centre + dc, blur);
      if (fit.depth > 0.0 && fit.cost < best.cost) best = fit;
    }
    if (!(best.cost < before.cost)) step *= 0.5;
  }
  return best;
}

ShaftWidth FitShaft(const ShaftProfile& profile) {
  // Starts: solid, and empty. Between them the radius of every shape is near one or the other.
  const ShaftFit solid = CoarseFit(profile, {0.0, 1.0}), empty = CoarseFit(profile, {0.84, 0.0});
  std::vector<ShaftFit> fits;
  for (const ShaftShape& shape : Shapes()) {
    ShaftFit start = solid, other = empty;
    start.shape = other.shape = shape;
    if (CostOf(profile, other) < CostOf(profile, start)) start = other;
    if (start.radius <= 0.0) continue;
    const ShaftFit found = RefineShaft(profile, start);
    if (found.depth > 0.0) fits.push_back(found);
  }
  ShaftWidth width;
  for (const ShaftFit& fit : fits)
    if (fit.cost < width.best.cost) width.best = fit;
  if (fits.empty()) return width;
  // The residual of the best shape is taken as the noise, never less than what whole grey values leave in a mean;
  // interpolation ties neighbours together, so that half of the values count.
  constexpr double kLeastNoise = 0.15;
  const double least = width.best.cost, noise = std::max(least, kLeastNoise * kLeastNoise);
  const double counted = 0.5 * static_cast<double>(profile.values.size());
  const auto likelihood = [&](const ShaftFit& fit) { return std::exp(-0.5 * counted * (fit.cost - least) / noise); };
  const auto weight_of = [&](const ShaftFit& fit) { return Prior(fit.shape) * likelihood(fit); };
  double sum = 0.0, first = 0.0;
  for (const ShaftFit& fit : fits) {
    sum += weight_of(fit);
    first += weight_of(fit) * fit.radius;
  }
  // A rod is steady: wall, bore and radius of a filled tube cannot be told apart in one profile. Where a rod fits, its
  // radius is taken; what the other shapes that fit would make of it is the uncertainty.
  const ShaftFit& rod = fits.front();
  const bool solid_holds = rod.shape.bore == 0.0 && likelihood(rod) > kRodHolds;
  if (solid_holds) width.best = rod;
  width.radius = solid_holds ? rod.radius : first / sum;
  double second = 0.0;
  for (const ShaftFit& fit : fits) second += weight_of(fit) * (fit.radius - width.radius) * (fit.radius - width.radius);
  width.radius_sd = std::sqrt(second / sum);
  return width;
}

}  // namespace fairlead
