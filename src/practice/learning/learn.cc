// SPDX-License-Identifier: Apache-2.0
#include "practice/learning/learn.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <set>
#include <utility>

namespace fairlead {
namespace {

constexpr double kZ90 = 1.6448536269514722;
constexpr int kDraws = 1000;            // behind the band of the share across by 30 min
constexpr int kFewAtRisk = 5;           // below it no step is shown
constexpr double kLeastSpread = 1e-6;

double Logit(double p) { return std::log(p / (1.0 - p)); }
double Share(double logit) { return 1.0 / (1.0 + std::exp(-logit)); }
double Inside(double p) { return std::clamp(p, 1e-4, 1.0 - 1e-4); }

// A beta law worth n attempts has this sd on the logit scale, about: 1 / sqrt(n p (1 - p)).
double LogitSd(const PriorFigure& can) {
  const double p = Inside(can.value);
  return 1.0 / std::sqrt(std::max(1.0, can.spread) * p * (1.0 - p));
}
double Worth(double p, double sd) { return 1.0 / (p * (1.0 - p) * sd * sd); }

CurePrior PriorOf(const PriorStrategy& s) {
  CurePrior prior;
  prior.together = kTogether;
  for (std::size_t g = 0; g < kDifficulties; ++g) {
    prior.logit_can.push_back(Logit(Inside(s.can[g].value)));
    prior.sd_logit.push_back(LogitSd(s.can[g]));
    prior.log_rate.push_back(-std::log(s.median_min[g].value));
    prior.sd_log_rate.push_back(std::max(kLeastSpread, s.median_min[g].spread));
  }
  return prior;
}

double AcrossBy(const TimeShape& shape, double logit_can, double log_rate, double minutes) {
  return Share(logit_can) * (1.0 - SurvivalOf(shape, std::log(minutes) + log_rate));
}

// The digits of i mirrored at the point: Halton's sequence, Numer Math 1960;2:84-90. Even spread, the same on every run.
double Mirrored(int i, int base) {
  double share = 0.0;
  for (double digit = 1.0 / base; i > 0; i /= base, digit /= base) share += digit * (i % base);
  return share;
}

struct Band {
  double low = 0.0, high = 0.0, variance = 0.0;
};

// Of the share across by `kByMinutes`, under a normal law of logit p and log rate: 5 and 95 in 100, and its variance.
Band BandOf(const TimeShape& shape, double a, double sd_a, double b, double sd_b, double correlation) {
  std::vector<double> values;
  const double rest = std::sqrt(std::max(0.0, 1.0 - correlation * correlation));
  double sum = 0.0, squares = 0.0;
  for (int i = 1; i <= kDraws; ++i) {
    const double far = std::sqrt(-2.0 * std::log(Mirrored(i, 2))), turn = 2.0 * std::numbers::pi * Mirrored(i, 3);
    const double x = far * std::cos(turn), y = correlation * x + rest * far * std::sin(turn);
    values.push_back(AcrossBy(shape, a + sd_a * x, b + sd_b * y, kByMinutes));
    sum += values.back() / kDraws, squares += values.back() * values.back() / kDraws;
  }
  std::ranges::sort(values);
  const auto at = [&](double share) {  // between two values, each at the middle of its own share
    const double place = share * kDraws - 0.5;
    const auto i = static_cast<std::size_t>(place);
    return values[i] + (place - static_cast<double>(i)) * (values[i + 1] - values[i]);
  };
  return {at(0.05), at(0.95), squares - sum * sum};
}

double OwnShare(double sd_before, double sd_after) { return std::clamp(1.0 - sd_after * sd_after / (sd_before * sd_before), 0.0, 1.0); }

LearnedGroup GroupOf(const CureFit& fit, const CurePrior& prior, std::size_t g, const TimeShape& shape, const std::vector<Trial>& trials) {
  LearnedGroup group;
  group.attempts = static_cast<int>(trials.size());
  group.crossed = static_cast<int>(std::ranges::count(trials, Ending::kCrossed, &Trial::ending));
  const double a = fit.logit_can[g], b = fit.log_rate[g], sa = fit.sd_logit[g], sb = fit.sd_log_rate[g];
  group.can = {Share(prior.logit_can[g]), Share(a), Share(a - kZ90 * sa), Share(a + kZ90 * sa), OwnShare(prior.sd_logit[g], sa)};
  group.median_min = {std::exp(-prior.log_rate[g]), std::exp(-b), std::exp(-b - kZ90 * sb), std::exp(-b + kZ90 * sb), OwnShare(prior.sd_log_rate[g], sb)};
  const Band before = BandOf(shape, prior.logit_can[g], prior.sd_logit[g], prior.log_rate[g], prior.sd_log_rate[g], 0.0);
  const Band after = BandOf(shape, a, sa, b, sb, fit.correlation[g]);
  group.by_30 = {AcrossBy(shape, prior.logit_can[g], prior.log_rate[g], kByMinutes), AcrossBy(shape, a, b, kByMinutes), after.low, after.high,
                 before.variance > 0.0 ? std::clamp(1.0 - after.variance / before.variance, 0.0, 1.0) : 0.0};
  return group;
}

// A ceiling may be called told only with enough crossings, and enough that went on well beyond them in vain.
bool CeilingTold(const TrialGroups& groups) {
  std::vector<double> crossed, others;
  for (const auto& trials : groups)
    for (const Trial& trial : trials) (trial.ending == Ending::kCrossed ? crossed : others).push_back(trial.minutes);
  if (crossed.size() < 10) return false;
  std::ranges::sort(crossed);
  const double late = crossed[static_cast<std::size_t>(0.9 * static_cast<double>(crossed.size() - 1))];
  return std::ranges::count_if(others, [&](double t) { return t > late; }) >= 5;
}

std::string Label(const Learned& learned, const LearnedStrategy& s, const LearnedGroup& group, double share, const std::string& published) {
  return CutText(fmt::format("own log {}: {} attempts, {} in this class; {:.0f} % own, the rest {}", learned.date, s.attempts, group.attempts, 100.0 * share, published), 200);
}

void Propose(const Learned& learned, const LearnedStrategy& s, const CureFit& fit, PriorStrategy& proposed) {
  for (std::size_t g = 0; g < kDifficulties; ++g) {
    const LearnedGroup& group = s.groups[g];
    proposed.can[g] = {group.can.own, Worth(group.can.own, fit.sd_logit[g]), Label(learned, s, group, group.can.share, proposed.can[g].source)};
    proposed.median_min[g] = {std::clamp(group.median_min.own, 0.1, 600.0), fit.sd_log_rate[g], Label(learned, s, group, group.median_min.share, proposed.median_min[g].source)};
  }
}

// Rate of complications: gamma law, conjugate to minutes of work and events.
void LearnRate(const Learned& learned, LearnedStrategy& s, PriorStrategy& proposed) {
  PriorFigure& rate = proposed.complication_per_hour;
  const double events = rate.spread + s.complications, before = rate.value > 0.0 ? rate.spread / rate.value : 0.0, hours = before + s.watched_min / 60.0;
  s.complications_per_hour = {rate.value, rate.value, rate.value, rate.value, 0.0};
  if (!(rate.spread > 0.0 && rate.value > 0.0)) return;  // the lab holds it fixed
  const double own = events / hours;
  // Wilson and Hilferty's cube: quantiles of a gamma law of these shapes to about 1 %.
  const auto quantile = [&](double z) { return own * std::pow(std::max(0.0, 1.0 - 1.0 / (9.0 * events) + z / (3.0 * std::sqrt(events))), 3.0); };
  s.complications_per_hour = {rate.value, own, quantile(-kZ90), quantile(kZ90), 1.0 - before / hours};
  if (!(s.watched_min > 0.0)) return;
  rate = {own, events, CutText(fmt::format("own log {}: {} in {:.0f} h of work; {:.0f} % own, the rest {}", learned.date, s.complications, s.watched_min / 60.0, 100.0 * (1.0 - before / hours), rate.source), 200)};
}

// What is learnt of the retrograde way moves each of its figures by collateral alike, on the scale of odds.
void MoveCollaterals(const LearnedStrategy& s, const std::string& label, Priors& proposal) {
  double shift = 0.0, share = 0.0;
  for (const LearnedGroup& group : s.groups) {
    const double weight = static_cast<double>(group.attempts) / s.attempts;
    shift += weight * (Logit(Inside(group.can.own)) - Logit(Inside(group.can.published)));
    share += weight * group.can.share;
  }
  for (PriorFigure* figure : {&proposal.retrograde_usable, &proposal.retrograde_not_usable, &proposal.retrograde_cc2}) {
    figure->value = Share(Logit(Inside(figure->value)) + shift);
    figure->spread /= std::max(0.05, 1.0 - share);
    figure->source = CutText(label + ", the rest " + figure->source, 200);
  }
}

void SetCurves(LearnedStrategy& s, const CurePrior& prior, const CureFit& fit, const TimeShape& shape) {
  for (int minutes = 0; minutes <= 90; minutes += 5) {
    double published = 0.0, own = 0.0;
    for (std::size_t g = 0; g < kDifficulties && minutes > 0; ++g) {
      const double weight = s.attempts > 0 ? static_cast<double>(s.groups[g].attempts) / s.attempts : 1.0 / kDifficulties;
      published += weight * AcrossBy(shape, prior.logit_can[g], prior.log_rate[g], minutes);
      own += weight * AcrossBy(shape, fit.logit_can[g], fit.log_rate[g], minutes);
    }
    s.published_by.push_back(published);
    s.own_by.push_back(own);
  }
}

void CountAttempts(LearnedStrategy& s, TrialGroups& groups, std::vector<Trial>& all, const Observed& observed) {
  for (const ObservedAttempt& one : observed.attempts) {
    if (one.strategy != s.id) continue;
    const Trial trial{one.minutes, one.ending, one.planned};
    groups[one.difficulty].push_back(trial);
    all.push_back(trial);
    ++s.attempts;
    s.crossed += one.ending == Ending::kCrossed, s.complications += one.ending == Ending::kComplication, s.stopped += one.ending == Ending::kStopped;
    s.planned += one.ending == Ending::kStopped && one.planned, s.later_in_case += one.position > 1;
    s.minutes += one.minutes;
    s.watched_min += one.harm_told ? one.minutes : 0.0;
  }
}

LearnedStrategy LearnOne(const Learned& learned, const Observed& observed, const PriorStrategy& start, Priors& proposal, PriorStrategy& proposed) {
  LearnedStrategy s;
  s.id = start.id, s.words = start.words;
  TrialGroups groups(kDifficulties);
  std::vector<Trial> all;
  CountAttempts(s, groups, all, observed);
  const TimeShape shape{true, start.log_sd.value};
  const CurePrior prior = PriorOf(start);
  const CureFit fit = FitCure(groups, shape, prior, kStopRatio);
  for (std::size_t g = 0; g < kDifficulties; ++g) s.groups[g] = GroupOf(fit, prior, g, shape, groups[g]);
  for (std::size_t i = 0; i < kStopRatios.size(); ++i) {
    const CureFit other = FitCure(groups, shape, prior, kStopRatios[i]);
    for (std::size_t g = 0; g < kDifficulties; ++g) {
      s.groups[g].can_if[i] = Share(other.logit_can[g]);
      s.groups[g].by_30_if[i] = AcrossBy(shape, other.logit_can[g], other.log_rate[g], kByMinutes);
    }
  }
  s.ceiling_told = CeilingTold(groups);
  SetCurves(s, prior, fit, shape);
  for (const SurvivalStep& step : SurvivalSteps(all))
    if (step.at_risk >= kFewAtRisk) s.seen.push_back(step);
  if (s.attempts > 0) {
    Propose(learned, s, fit, proposed);
    if (s.id == "RW/RDR") MoveCollaterals(s, fmt::format("own log {}: {} retrograde attempts", learned.date, s.attempts), proposal);
  }
  LearnRate(learned, s, proposed);
  return s;
}

std::vector<StepShare> SharesOf(const std::vector<TriedStep>& steps) {
  std::map<std::pair<std::string, std::string>, Count> counts;
  for (const TriedStep& one : steps) {
    Count& count = counts[{one.reason, one.step}];
    ++count.cases, count.events += one.worked ? 1 : 0;
  }
  std::vector<StepShare> shares;
  for (const auto& [names, count] : counts) {
    if (const auto band = WilsonInterval(count); band.ok()) shares.push_back({names.first, names.second, count.cases, count.events, *band});
  }
  std::ranges::stable_sort(shares, [](const StepShare& a, const StepShare& b) { return a.reason != b.reason ? a.reason < b.reason : a.tried > b.tried; });
  return shares;
}

std::vector<std::string> SaysOf(const Learned& learned) {
  std::vector<std::string> says;
  says.push_back(fmt::format("{} attempts of {} cases{}; left out: {} of cases without a J-CTO total, {} without an end, {} of strategies that the priors do not have",
                             learned.attempts, learned.cases, learned.invented > 0 ? fmt::format(" ({} attempts invented)", learned.invented) : "", learned.no_difficulty, learned.open, learned.unknown_strategy));
  says.push_back(fmt::format("assumed: lesions that cannot be crossed are given up {:.1f} times as fast; the log cannot show it. The band beside each figure is for {:.0f} and {:.0f} times", kStopRatio, kStopRatios[0], kStopRatios[1]));
  const auto& shown = learned.stops_shown;
  const int stops = shown[0] + shown[1] + shown[2] + shown[3];
  if (stops > 0) says.push_back(fmt::format("of {} stops {} came within the minutes that the screen had called flat, {} before, {} after; at {} nothing was shown", stops, shown[2], shown[1], shown[3], shown[0]));
  for (const LearnedStrategy& s : learned.strategies) {
    if (s.attempts > 0 && s.attempts < 10) says.push_back(fmt::format("{}: {} attempts, mostly the prior", s.id, s.attempts));
    if (s.attempts >= 10 && !s.ceiling_told) says.push_back(fmt::format("{}: {} attempts do not tell whether the rest could be crossed with more time; the ceiling is mostly the prior, the share across within the minutes that were tried is not", s.id, s.attempts));
    if (s.later_in_case > 0) says.push_back(fmt::format("{}: {} of {} attempts came after another way had failed; they count like first ones", s.id, s.later_in_case, s.attempts));
  }
  return says;
}

}  // namespace

Priors StartOfLearning(const Priors& in_force) {
  if (in_force.own_attempts == 0) return in_force;
  const Priors published = PublishedPriors();
  Priors start = in_force;
  start.own_attempts = 0;
  start.version = published.version, start.owner = published.owner;
  for (PriorStrategy& s : start.strategies) {
    const auto same = std::ranges::find(published.strategies, s.id, &PriorStrategy::id);
    if (same == published.strategies.end()) continue;
    s.can = same->can, s.median_min = same->median_min, s.complication_per_hour = same->complication_per_hour;
  }
  start.retrograde_usable = published.retrograde_usable, start.retrograde_not_usable = published.retrograde_not_usable, start.retrograde_cc2 = published.retrograde_cc2;
  return start;
}

Learned Learn(const Observed& observed, const Priors& start, const std::string& date) {
  Learned learned;
  learned.date = date;
  learned.no_difficulty = observed.no_difficulty, learned.open = observed.open;
  std::set<std::string> cases;
  for (const ObservedAttempt& one : observed.attempts) {
    if (std::ranges::find(start.strategies, one.strategy, &PriorStrategy::id) == start.strategies.end()) {
      ++learned.unknown_strategy;
      continue;
    }
    cases.insert(one.case_id);
    ++learned.attempts;
    learned.invented += one.invented;
    if (one.ending == Ending::kStopped) ++learned.stops_shown[static_cast<std::size_t>(one.shown)];
  }
  learned.cases = static_cast<int>(cases.size());
  learned.proposal = start;
  for (std::size_t k = 0; k < start.strategies.size(); ++k)
    learned.strategies.push_back(LearnOne(learned, observed, start.strategies[k], learned.proposal, learned.proposal.strategies[k]));
  if (learned.attempts > 0) learned.proposal.version = "learned " + date, learned.proposal.own_attempts = learned.attempts;
  learned.steps = SharesOf(observed.steps);
  learned.steps_open = observed.steps_open;
  learned.says = SaysOf(learned);
  return learned;
}

}  // namespace fairlead
