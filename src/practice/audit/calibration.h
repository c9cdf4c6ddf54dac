// SPDX-License-Identifier: Apache-2.0
// Whether a published chance is right in one's own hands, and by how much to move it. Logistic regression of the outcome
// on the logit of the published chance; Newton's method; a normal prior where the cases are few.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "practice/audit/expected.h"

namespace fairlead {

// Intercept and slope with their spread. Without a slope in the model it is 1 (or 0) and its sd 0.
struct LogitLine {
  double intercept = 0, slope = 1;
  double intercept_sd = 0, slope_sd = 0, correlation = 0;
  double deviance = 0;
};

// logit P = a + logit(expected): 0 if the published chances are right on the whole.
Result<LogitLine> CalibrationInTheLarge(std::span<const Judged> cases);
// logit P = a + b logit(expected): b below 1, the published chances are too extreme. Refused where it has no finite answer.
Result<LogitLine> CalibrationLine(std::span<const Judged> cases);
// The published model moved to the practice: a ~ N(0, 0.5^2), b ~ N(1, 0.25^2) (practice: the odds halved or doubled at
// 1.4 sd, the slope within 0.5 to 1.5); with fewer than 10 events the slope stays 1.
Result<LogitLine> Recalibrate(std::span<const Judged> cases);
// The same from counts.
Result<LogitLine> CalibrationInTheLarge(std::span<const JudgedClass> classes);
Result<LogitLine> CalibrationLine(std::span<const JudgedClass> classes);
Result<LogitLine> Recalibrate(std::span<const JudgedClass> classes);
// The moved chance of a case to come, with its 95 % interval.
struct Moved {
  double published = 0, moved = 0;
  Interval interval;
};
Moved Move(const LogitLine& line, double published);

// The chance of the event along the published one, bent: logit P = a + b x + c x^2, x the logit of the published chance, with
// the 95 % band of each point. Empty below 200 cases, 20 events, 20 without or three published chances (practice, no source):
// a curve through less says nothing.
struct SmoothPoint {
  double published = 0, found = 0;
  Interval interval;
};
std::vector<SmoothPoint> SmoothCalibration(std::span<const JudgedClass> classes);

// Learning: logit P = logit(expected) + a + b exp(-i / tau), i the operator's case number from 1. The time constant cannot
// be learned from one series and is fixed; never "the plateau is at case 23".
inline constexpr double kLearningTau = 20;  // cases; chosen
Result<LogitLine> LearningLine(std::span<const Judged> cases, double tau = kLearningTau);
// The same, of which all beyond the first LearningCases() are counted alone: exp(-i / tau) is nothing there.
std::size_t LearningCases(double tau = kLearningTau);
Result<LogitLine> LearningLine(std::span<const Judged> first, std::span<const JudgedClass> later, double tau = kLearningTau);

struct Discrimination {
  double area = 0;        // chance that a random event had the higher expected chance
  double sd = 0;
  Interval interval;      // on the logit scale; whole range at perfect separation
  bool perfect = false;
};
// Refused below 5 events or 5 cases without.
Result<Discrimination> AreaUnderCurve(std::span<const Judged> cases);
Result<Discrimination> AreaUnderCurve(std::span<const JudgedClass> classes);  // by expected chance

struct Brier {
  double score = 0, sd = 0;
  double scaled = 0;     // 1 - score / (mean (1 - mean)); 0 where every outcome is the same
  double expected = 0;   // under the reference
  double z = 0;          // of the score against the reference
};
Result<Brier> BrierScore(std::span<const Judged> cases);
Result<Brier> BrierScore(std::span<const JudgedClass> classes);

// Cases in order of their expected chance, cut into groups of equal count.
struct CalibrationGroup {
  std::int64_t cases = 0, events = 0;
  double expected = 0;  // sum of the chances
};
std::vector<CalibrationGroup> CalibrationGroups(std::span<const Judged> cases, int groups);

}  // namespace fairlead
