// SPDX-License-Identifier: Apache-2.0
// The mode by Newton's method, steps halved until they gain and the curvature lifted where it is not positive.
#include "practice/learning/cure.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace fairlead {
namespace {

using Vector = Eigen::VectorXd;
using Matrix = Eigen::MatrixXd;

constexpr int kMostSteps = 100;
constexpr double kAtRest = 1e-10;
constexpr double kFlat = 1e-6, kLifted = 1e-3;
constexpr int kRateSteps = 6;       // to either side of the crude rate
constexpr int kRateRounds = 30;     // golden section over log k
constexpr double kRateSpan = 2.4;   // of log k to either side

struct Held {                       // the prior as centre and precision of (logit p by group, log rate by group)
  Vector centre;
  Matrix precision;
  double log_norm = 0.0;
};

void Fill(Matrix& covariance, Eigen::Index first, const std::vector<double>& sd, double together) {
  const auto n = static_cast<Eigen::Index>(sd.size());
  for (Eigen::Index i = 0; i < n; ++i)
    for (Eigen::Index j = 0; j < n; ++j)
      covariance(first + i, first + j) = sd[static_cast<std::size_t>(i)] * sd[static_cast<std::size_t>(j)] * (i == j ? 1.0 : together);
}

Held HeldBy(const std::optional<CurePrior>& prior, std::size_t groups) {
  const auto n = static_cast<Eigen::Index>(groups);
  Held held{Vector::Zero(2 * n), Matrix::Zero(2 * n, 2 * n), 0.0};
  if (!prior) return held;
  Matrix covariance = Matrix::Zero(2 * n, 2 * n);
  Fill(covariance, 0, prior->sd_logit, prior->together);
  Fill(covariance, n, prior->sd_log_rate, prior->together);
  for (Eigen::Index i = 0; i < n; ++i) {
    held.centre(i) = prior->logit_can[static_cast<std::size_t>(i)];
    held.centre(n + i) = prior->log_rate[static_cast<std::size_t>(i)];
  }
  held.precision = covariance.inverse();
  held.log_norm = -static_cast<double>(n) * std::log(2.0 * std::numbers::pi) - 0.5 * std::log(covariance.determinant());
  return held;
}

// Minus the log of likelihood times prior, with slope and curvature.
struct Climb {
  double value = 0.0;
  Vector slope;
  Matrix curvature;
};

class Problem {
 public:
  Problem(const TrialGroups& groups, const TimeShape& shape, Held held, double stop_ratio)
      : groups_(groups), shape_(shape), held_(std::move(held)), stop_ratio_(stop_ratio) {}

  Climb At(const Vector& theta, double stop_rate) const {
    const auto n = static_cast<Eigen::Index>(groups_.size());
    const Vector away = theta - held_.centre;
    Climb climb{0.5 * away.dot(held_.precision * away), held_.precision * away, held_.precision};
    for (Eigen::Index g = 0; g < n; ++g) {
      const LikelihoodSlope l = LogLikelihood(groups_[static_cast<std::size_t>(g)], shape_, theta(g), theta(n + g), stop_ratio_, stop_rate);
      climb.value -= l.value;
      climb.slope(g) -= l.a, climb.slope(n + g) -= l.b;
      climb.curvature(g, g) -= l.aa, climb.curvature(n + g, n + g) -= l.bb;
      climb.curvature(g, n + g) -= l.ab, climb.curvature(n + g, g) -= l.ab;
    }
    return climb;
  }

  // Moves `theta` to the mode; gives minus the log posterior there.
  double Descend(Vector& theta, double stop_rate, bool& settled) const {
    Climb here = At(theta, stop_rate);
    settled = false;
    for (int step = 0; step < kMostSteps; ++step) {
      Matrix curvature = here.curvature;
      const double least = Eigen::SelfAdjointEigenSolver<Matrix>(curvature, Eigen::EigenvaluesOnly).eigenvalues()(0);
      if (least < kFlat) curvature.diagonal().array() += kLifted - least;
      const Vector move = -curvature.ldlt().solve(here.slope);
      double share = 1.0;
      Climb there = At(theta + move, stop_rate);
      while (!(there.value <= here.value) && share > 1e-8) share *= 0.5, there = At(theta + share * move, stop_rate);
      if (!(there.value <= here.value)) break;
      theta += share * move;
      here = std::move(there);
      if (share * move.norm() < kAtRest) return settled = true, here.value;
    }
    settled = here.slope.norm() < 1e-6;
    return here.value;
  }

  const Held& held() const { return held_; }

 private:
  const TrialGroups& groups_;
  TimeShape shape_;
  Held held_;
  double stop_ratio_;
};

double LogitStart(const std::optional<CurePrior>& prior, std::size_t g) { return prior ? prior->logit_can[g] : 0.0; }

Vector Start(const TrialGroups& groups, const std::optional<CurePrior>& prior) {
  const auto n = static_cast<Eigen::Index>(groups.size());
  Vector theta(2 * n);
  for (std::size_t g = 0; g < groups.size(); ++g) {
    double crossed = 0.0, minutes = 0.0;
    for (const Trial& trial : groups[g]) crossed += trial.ending == Ending::kCrossed ? 1.0 : 0.0, minutes += trial.minutes;
    theta(static_cast<Eigen::Index>(g)) = LogitStart(prior, g);
    theta(n + static_cast<Eigen::Index>(g)) = prior ? prior->log_rate[g] : std::log(std::max(crossed, 0.5) / std::max(minutes, 1.0));
  }
  return theta;
}

// The stop rate that the data like best: the best of a row of rates, then golden section on the log between its
// neighbours. Each search begins where it would without stops: from a far mode the flat tail of p = 1 holds it.
double BestRate(const Problem& problem, Vector& theta, double crude, bool& settled) {
  constexpr double kGolden = std::numbers::phi - 1.0;
  const Vector start = theta;
  const auto cost = [&](double log_rate) {
    Vector from = start;
    return problem.Descend(from, std::exp(log_rate), settled);
  };
  const double step = kRateSpan / kRateSteps;
  double best = std::log(crude), least = cost(best);
  for (int i = -kRateSteps; i <= kRateSteps; ++i) {
    const double here = std::log(crude) + i * step, value = cost(here);
    if (value < least) best = here, least = value;
  }
  double low = best - step, high = best + step;
  double left = high - kGolden * (high - low), right = low + kGolden * (high - low);
  double at_left = cost(left), at_right = cost(right);
  for (int round = 0; round < kRateRounds; ++round) {
    if (at_left < at_right) high = right, right = left, at_right = at_left, left = high - kGolden * (high - low), at_left = cost(left);
    else low = left, left = right, at_left = at_right, right = low + kGolden * (high - low), at_right = cost(right);
  }
  const double rate = std::exp(0.5 * (low + high));
  problem.Descend(theta, rate, settled);
  return rate;
}

}  // namespace

CureFit FitCure(const TrialGroups& groups, const TimeShape& shape, const std::optional<CurePrior>& prior, double stop_ratio) {
  const Problem problem(groups, shape, HeldBy(prior, groups.size()), stop_ratio);
  const auto n = static_cast<Eigen::Index>(groups.size());
  CureFit fit;
  Vector theta = Start(groups, prior);
  const double crude = std::abs(stop_ratio - 1.0) > 1e-12 ? CrudeStopRate(groups) : 0.0;
  if (crude > 0.0) fit.stop_rate_per_min = BestRate(problem, theta, crude, fit.settled);
  else problem.Descend(theta, 0.0, fit.settled);
  const Climb mode = problem.At(theta, fit.stop_rate_per_min);
  const Matrix covariance = mode.curvature.inverse();
  for (Eigen::Index g = 0; g < n; ++g) {
    fit.logit_can.push_back(theta(g));
    fit.log_rate.push_back(theta(n + g));
    fit.sd_logit.push_back(std::sqrt(std::max(0.0, covariance(g, g))));
    fit.sd_log_rate.push_back(std::sqrt(std::max(0.0, covariance(n + g, n + g))));
    fit.correlation.push_back(covariance(g, n + g) / std::max(1e-300, fit.sd_logit.back() * fit.sd_log_rate.back()));
    fit.log_likelihood += LogLikelihood(groups[static_cast<std::size_t>(g)], shape, theta(g), theta(n + g), stop_ratio, fit.stop_rate_per_min).value;
  }
  if (prior) fit.log_evidence = -mode.value + problem.held().log_norm + static_cast<double>(n) * std::log(2.0 * std::numbers::pi) - 0.5 * std::log(mode.curvature.determinant());
  return fit;
}

}  // namespace fairlead
