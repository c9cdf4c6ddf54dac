// SPDX-License-Identifier: Apache-2.0
#include "imaging/pair/spread.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace fairlead {
namespace {

using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
using ConstMap = Eigen::Map<const Matrix>;

ConstMap AsMatrix(const std::vector<double>& values, std::size_t size) {
  const auto n = static_cast<Eigen::Index>(size);
  return {values.data(), n, n};
}

// Prior weight of the statement "clicks are as good as stated", in residuals.
constexpr double kTrust = 6.0;  // chosen

// By how much the clicks fit worse (or better, down to 0.7) than stated.
double Widening(const Normals& normals, const Matrix& inverse) {
  // Residuals left over after the fit: each click's share that the unknowns did not take up.
  const double taken = inverse.cwiseProduct(AsMatrix(normals.kinds[0].matrix, normals.size)).sum();
  const double left = std::max(0.0, static_cast<double>(normals.residuals) - taken);
  return std::max(0.7, std::sqrt((kTrust + normals.squares) / (kTrust + left)));
}

}  // namespace

CourseSpread SpreadOf(const Normals& normals) {
  CourseSpread spread;
  spread.size = normals.size;
  spread.kinds = normals.kinds;
  const auto n = static_cast<Eigen::Index>(normals.size);
  Matrix sum = Matrix::Zero(n, n);
  for (const auto& kind : normals.kinds) sum += AsMatrix(kind.matrix, normals.size);
  // Unknowns of different units: each is scaled by its own stiffness first.
  Eigen::VectorXd scale = sum.diagonal().cwiseMax(1e-300).cwiseSqrt().cwiseInverse();
  const Matrix scaled = scale.asDiagonal() * sum * scale.asDiagonal();
  const Eigen::LDLT<Matrix> solved(scaled);
  if (solved.info() != Eigen::Success || !solved.isPositive()) return spread;
  Matrix inverse = scale.asDiagonal() * solved.solve(Matrix::Identity(n, n)) * scale.asDiagonal();
  if (!inverse.allFinite()) return spread;
  spread.widened = Widening(normals, inverse);
  if (spread.widened != 1.0) {
    const Matrix clicks = inverse * AsMatrix(normals.kinds[0].matrix, normals.size) * inverse;
    inverse += (spread.widened * spread.widened - 1.0) * clicks;
  }
  inverse = 0.5 * (inverse + inverse.transpose()).eval();
  spread.covariance.assign(inverse.data(), inverse.data() + inverse.size());
  spread.good = true;
  return spread;
}

SpreadOfNumber SpreadOfOne(const CourseSpread& spread, std::span<const Slope> slopes) {
  const ConstMap covariance = AsMatrix(spread.covariance, spread.size);
  Eigen::VectorXd gradient = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(spread.size));
  for (const Slope& slope : slopes) {
    for (std::size_t i = 0; i < slope.values.size(); ++i)
      gradient[static_cast<Eigen::Index>(slope.first + i)] += slope.values[i];
  }
  const Eigen::VectorXd moved = covariance * gradient;
  const double variance = std::max(0.0, gradient.dot(moved));
  SpreadOfNumber out;
  out.sd = std::sqrt(variance);
  double sum = 0.0;
  std::vector<double> shares;
  for (std::size_t k = 0; k < spread.kinds.size(); ++k) {
    const double widened = k == 0 ? spread.widened * spread.widened : 1.0;
    shares.push_back(std::max(0.0, widened * moved.dot(AsMatrix(spread.kinds[k].matrix, spread.size) * moved)));
    sum += shares.back();
  }
  // With widened clicks the shares and the variance differ a little; the parts are scaled so that they add up.
  for (std::size_t k = 0; k < shares.size(); ++k) {
    out.parts.emplace_back(spread.kinds[k].name, sum > 0.0 ? std::sqrt(variance * shares[k] / sum) : 0.0);
  }
  return out;
}

SpreadOfNumber SpreadOfOne(const CourseSpread& spread, std::size_t first, std::span<const double> gradient) {
  const Slope slope{first, {gradient.begin(), gradient.end()}};
  return SpreadOfOne(spread, std::span(&slope, 1));
}

std::array<double, 6> CovarianceOf(const CourseSpread& spread, std::size_t first, std::span<const double> weights) {
  const ConstMap covariance = AsMatrix(spread.covariance, spread.size);
  Eigen::Matrix3d sum = Eigen::Matrix3d::Zero();
  const auto at = [&](std::size_t i) { return static_cast<Eigen::Index>(first + 3 * i); };
  for (std::size_t i = 0; i < weights.size(); ++i) {
    for (std::size_t j = 0; j < weights.size(); ++j)
      sum += weights[i] * weights[j] * covariance.block<3, 3>(at(i), at(j));
  }
  return {sum(0, 0), sum(0, 1), sum(0, 2), sum(1, 1), sum(1, 2), sum(2, 2)};
}

std::vector<double> RootOf(const CourseSpread& spread, std::size_t first, std::size_t count) {
  const auto at = static_cast<Eigen::Index>(first), n = static_cast<Eigen::Index>(count);
  Matrix block = AsMatrix(spread.covariance, spread.size).block(at, at, n, n);
  block.diagonal().array() += 1e-12 * block.diagonal().maxCoeff();
  const Eigen::LLT<Matrix> root(block);
  if (root.info() != Eigen::Success) return {};
  const Matrix lower = root.matrixL();
  return {lower.data(), lower.data() + lower.size()};
}

}  // namespace fairlead
