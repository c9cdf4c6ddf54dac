// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/calibration.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <optional>

#include "practice/audit/laws.h"

namespace fairlead {
namespace {

constexpr double kLeast = 1e-6;
double LogitOf(const JudgedClass& each) { return Logit(std::clamp(each.expected, kLeast, 1 - kLeast)); }

// logit P = offset + design * coefficients, with a normal prior (centre, precision) on each coefficient; a row stands for
// as many cases as `cases` says.
struct Problem {
  Eigen::MatrixXd design;
  Eigen::VectorXd offset;
  Eigen::VectorXd cases;
  Eigen::VectorXd happened;
  Eigen::VectorXd centre;
  Eigen::VectorXd precision;
};
struct Fit {
  Eigen::VectorXd at;
  Eigen::MatrixXd covariance;
  double deviance = 0;
};

std::optional<Fit> Newton(const Problem& problem) {
  Fit fit;
  fit.at = problem.centre;
  for (int step = 0; step < 100; ++step) {
    const Eigen::VectorXd chance = (problem.offset + problem.design * fit.at).unaryExpr([](double x) { return Logistic(x); });
    const Eigen::VectorXd weight = problem.cases.array() * chance.array() * (1 - chance.array());
    Eigen::MatrixXd hessian = problem.design.transpose() * weight.asDiagonal() * problem.design;
    hessian += problem.precision.asDiagonal();
    const Eigen::VectorXd slope = problem.design.transpose() * (problem.happened - problem.cases.cwiseProduct(chance)) - problem.precision.cwiseProduct(fit.at - problem.centre);
    const Eigen::LDLT<Eigen::MatrixXd> solver(hessian);
    const Eigen::VectorXd change = solver.solve(slope);
    if (!change.allFinite() || solver.vectorD().minCoeff() <= 0) return std::nullopt;
    fit.at += change;
    if (fit.at.cwiseAbs().maxCoeff() > 10) return std::nullopt;  // separated: no finite answer
    if (change.cwiseAbs().maxCoeff() < 1e-12) {
      fit.covariance = solver.solve(Eigen::MatrixXd::Identity(hessian.rows(), hessian.cols()));
      const Eigen::VectorXd eta = problem.offset + problem.design * fit.at;
      for (Eigen::Index i = 0; i < eta.size(); ++i) fit.deviance -= 2 * (problem.happened[i] * eta[i] - problem.cases[i] * LogOnePlusExp(eta[i]));
      return fit;
    }
  }
  return std::nullopt;
}

Problem Start(std::span<const JudgedClass> classes, Eigen::Index columns) {
  const auto n = static_cast<Eigen::Index>(classes.size());
  Problem problem{Eigen::MatrixXd::Ones(n, columns), Eigen::VectorXd::Zero(n), Eigen::VectorXd(n), Eigen::VectorXd(n), Eigen::VectorXd::Zero(columns),
                  Eigen::VectorXd::Zero(columns)};
  for (Eigen::Index i = 0; i < n; ++i) {
    const JudgedClass& each = classes[static_cast<std::size_t>(i)];
    problem.cases[i] = static_cast<double>(each.cases), problem.happened[i] = static_cast<double>(each.events);
  }
  return problem;
}

Error NoAnswer() {
  return {"the cases do not settle this: the outcomes are all the same or sorted by their expected chance", "",
          "gather more cases, or read the plain counts"};
}

LogitLine AsLine(const Fit& fit, double slope_without) {
  LogitLine line{fit.at[0], slope_without, std::sqrt(fit.covariance(0, 0)), 0, 0, fit.deviance};
  if (fit.at.size() == 2) {
    line.slope = fit.at[1], line.slope_sd = std::sqrt(fit.covariance(1, 1));
    line.correlation = fit.covariance(0, 1) / (line.intercept_sd * line.slope_sd);
  }
  return line;
}

Result<LogitLine> Solve(const Problem& problem, double slope_without) {
  const auto fit = Newton(problem);
  if (!fit) return NoAnswer();
  return AsLine(*fit, slope_without);
}

Problem WithOffset(std::span<const JudgedClass> classes, Eigen::Index columns) {
  Problem problem = Start(classes, columns);
  for (Eigen::Index i = 0; i < problem.offset.size(); ++i) problem.offset[i] = LogitOf(classes[static_cast<std::size_t>(i)]);
  return problem;
}

Problem WithSlope(std::span<const JudgedClass> classes) {
  Problem problem = Start(classes, 2);
  for (Eigen::Index i = 0; i < problem.offset.size(); ++i) problem.design(i, 1) = LogitOf(classes[static_cast<std::size_t>(i)]);
  return problem;
}

constexpr double kInterceptPriorSd = 0.5, kSlopePriorSd = 0.25;  // practice, no source
constexpr std::int64_t kLeastEventsForSlope = 10;                // practice, no source

}  // namespace

Result<LogitLine> CalibrationInTheLarge(std::span<const JudgedClass> classes) { return Solve(WithOffset(classes, 1), 1); }
Result<LogitLine> CalibrationLine(std::span<const JudgedClass> classes) {
  Problem problem = WithSlope(classes);
  problem.centre << 0, 1;
  return Solve(problem, 1);
}

Result<LogitLine> Recalibrate(std::span<const JudgedClass> classes) {
  std::int64_t events = 0;
  for (const JudgedClass& each : classes) events += each.events;
  if (events < kLeastEventsForSlope) {
    Problem problem = WithOffset(classes, 1);
    problem.precision << 1 / (kInterceptPriorSd * kInterceptPriorSd);
    return Solve(problem, 1);
  }
  Problem problem = WithSlope(classes);
  problem.centre << 0, 1;
  problem.precision << 1 / (kInterceptPriorSd * kInterceptPriorSd), 1 / (kSlopePriorSd * kSlopePriorSd);
  return Solve(problem, 1);
}

Result<LogitLine> CalibrationInTheLarge(std::span<const Judged> cases) { return CalibrationInTheLarge(ClassesJudged(cases)); }
Result<LogitLine> CalibrationLine(std::span<const Judged> cases) { return CalibrationLine(ClassesJudged(cases)); }
Result<LogitLine> Recalibrate(std::span<const Judged> cases) { return Recalibrate(ClassesJudged(cases)); }

Moved Move(const LogitLine& line, double published) {
  const double x = Logit(std::clamp(published, kLeast, 1 - kLeast)), at = line.intercept + line.slope * x;
  const double variance = line.intercept_sd * line.intercept_sd + x * x * line.slope_sd * line.slope_sd +
                          2 * x * line.correlation * line.intercept_sd * line.slope_sd;
  const double half = kZ95 * std::sqrt(std::max(0.0, variance));
  return {.published = published, .moved = Logistic(at), .interval = {Logistic(at - half), Logistic(at + half)}};
}

std::vector<SmoothPoint> SmoothCalibration(std::span<const JudgedClass> classes) {
  constexpr std::int64_t kLeastCases = 200, kLeastOfEach = 20;
  constexpr std::size_t kLeastClasses = 3;
  constexpr int kPoints = 32;
  std::int64_t cases = 0, events = 0;
  double middle = 0, low = 1, high = 0;
  for (const JudgedClass& each : classes) {
    cases += each.cases, events += each.events, middle += static_cast<double>(each.cases) * LogitOf(each);
    low = std::min(low, each.expected), high = std::max(high, each.expected);
  }
  if (cases < kLeastCases || events < kLeastOfEach || cases - events < kLeastOfEach || classes.size() < kLeastClasses) return {};
  middle /= static_cast<double>(cases);  // about their mean the three columns hardly lean on each other
  Problem problem = Start(classes, 3);
  for (Eigen::Index i = 0; i < problem.offset.size(); ++i) {
    const double x = LogitOf(classes[static_cast<std::size_t>(i)]) - middle;
    problem.design(i, 1) = x, problem.design(i, 2) = x * x;
  }
  const auto fit = Newton(problem);
  if (!fit) return {};
  std::vector<SmoothPoint> points;
  for (int i = 0; i <= kPoints; ++i) {
    const double published = low + (high - low) * i / kPoints, x = Logit(std::clamp(published, kLeast, 1 - kLeast)) - middle;
    const Eigen::Vector3d row(1, x, x * x);
    const double at = row.dot(fit->at), half = kZ95 * std::sqrt(std::max(0.0, row.dot(fit->covariance * row)));
    points.push_back({published, Logistic(at), {Logistic(at - half), Logistic(at + half)}});
  }
  return points;
}

// Where the learner's term has died away (below 1e-17) the cases are taken together.
std::size_t LearningCases(double tau) { return static_cast<std::size_t>(std::ceil(40 * tau)); }

Result<LogitLine> LearningLine(std::span<const Judged> cases, double tau) {
  const std::size_t apart = std::min(cases.size(), LearningCases(tau));
  return LearningLine(cases.first(apart), ClassesJudged(cases.subspan(apart)), tau);
}

Result<LogitLine> LearningLine(std::span<const Judged> first, std::span<const JudgedClass> later, double tau) {
  std::vector<JudgedClass> rows;
  for (const Judged& each : first) rows.push_back({.expected = each.expected, .cases = 1, .events = each.happened ? 1 : 0});
  rows.insert(rows.end(), later.begin(), later.end());
  Problem problem = WithOffset(rows, 2);
  for (std::size_t i = 0; i < rows.size(); ++i) problem.design(static_cast<Eigen::Index>(i), 1) = i < first.size() ? std::exp(-static_cast<double>(i + 1) / tau) : 0;
  return Solve(problem, 0);
}

}  // namespace fairlead
