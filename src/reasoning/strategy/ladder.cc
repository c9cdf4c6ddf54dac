// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/ladder.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "reasoning/score/score.h"

namespace fairlead {
namespace {

constexpr double kNoRatioBelow = 15.0;  // mL/min/1.73 m2, as on the board; practice, no source
constexpr std::size_t kMostChannels = 6;  // with wiring and dissection from the near side the eight that are solved

std::size_t GroupOfTotal(double total) { return static_cast<std::size_t>(std::clamp(total, 0.0, 3.0)); }

// Odds over J-CTO 0, 1, 2, 3 or more. Where facts are missing every total that can be reached counts alike.
std::array<double, kDifficulties> DifficultyOf(const Facts& facts, std::vector<std::string>& assumptions) {
  std::array<double, kDifficulties> odds{};
  const ScoreResult j_cto = Evaluate(*FindScore("j-cto"), facts);
  if (j_cto.totals) {
    for (const auto& [total, p] : *j_cto.totals) odds[GroupOfTotal(total)] += p;
    return odds;
  }
  std::string missing;
  for (const auto& fact : j_cto.missing) missing += (missing.empty() ? "" : ", ") + fact;
  assumptions.push_back("J-CTO lacks " + (missing.empty() ? "facts" : missing) + ": every total that can still be reached counts alike");
  for (const double total : j_cto.reachable) odds[GroupOfTotal(total)] += 1.0 / static_cast<double>(j_cto.reachable.size());
  if (j_cto.reachable.empty()) odds = {0.25, 0.25, 0.25, 0.25};
  return odds;
}

std::optional<double> Yes(const Facts& facts, const char* name, const std::string& of) {
  const auto* flag = std::get_if<FlagOdds>(&BeliefOf(facts, {name, of}));
  return flag == nullptr ? std::nullopt : std::optional(flag->yes);
}

double ChanceOfGrade(const Facts& facts, const char* name, const std::string& of, std::string_view grade) {
  const auto* odds = std::get_if<GradeOdds>(&BeliefOf(facts, {name, of}));
  if (odds == nullptr) return 0.0;
  for (const auto& [word, p] : odds->odds) {
    if (word == grade) return p;
  }
  return 0.0;
}

// What the collateral says of the retrograde way: the published share with a usable channel, without one, or unknown.
void SetCollateral(LadderStrategy& strategy, const Facts& facts, const std::string& channel, const Priors& priors) {
  const auto usable = channel.empty() ? Yes(facts, "interventional_collateral", "") : Yes(facts, "interventional", channel);
  if (!usable) return;
  const double cc2 = ChanceOfGrade(facts, "collateral_cc_grade", channel, "2");
  const double open = cc2 > 0.5 ? priors.retrograde_cc2.value : priors.retrograde_usable.value;
  strategy.can = *usable * open + (1.0 - *usable) * priors.retrograde_not_usable.value;
  strategy.can_from = *usable > 0.5 ? (cc2 > 0.5 ? priors.retrograde_cc2 : priors.retrograde_usable) : priors.retrograde_not_usable;
  strategy.can_spread = strategy.can_from.spread;
}

LadderStrategy Described(const Priors& priors, std::size_t prior, const std::array<double, kDifficulties>& difficulty) {
  const PriorStrategy& s = priors.strategies[prior];
  LadderStrategy strategy{.id = s.id, .words = s.words, .tells = s.id == "RW/RDR" ? "retrograde" : "antegrade", .prior = prior};
  double log_median = 0.0;
  std::size_t likeliest = 0;
  for (std::size_t j = 0; j < kDifficulties; ++j) {
    strategy.can += difficulty[j] * s.can[j].value;
    log_median += difficulty[j] * std::log(s.median_min[j].value);
    if (difficulty[j] > difficulty[likeliest]) likeliest = j;
  }
  strategy.median_min = std::exp(log_median);
  strategy.can_from = s.can[likeliest];
  strategy.median_from = s.median_min[likeliest];
  strategy.can_spread = strategy.can_from.spread;
  return strategy;
}

bool NamesChannel(const std::string& strategy, const std::string& channel) { return strategy.size() > channel.size() && strategy.ends_with(" " + channel); }

// Whether the run has worked in a channel, whatever was thought of it before.
bool WorkedIn(const RunSoFar& run, const std::string& channel) {
  return (run.attempt && NamesChannel(run.attempt->strategy, channel)) ||
         std::ranges::any_of(run.tried, [&](const Tried& tried) { return NamesChannel(tried.strategy, channel); });
}

// The likeliest first: those that are rather usable than not, or were worked in; where there are none, the best. What a case
// can do without a usable channel was published of cases, so that each further one of that kind is not another such chance.
std::vector<std::string> ChannelsOf(const LadderInput& input, std::vector<std::string>& left_out) {
  std::set<std::string> names;
  for (const auto& [key, belief] : input.facts) {
    if (!key.of.empty() && key.name == "interventional") names.insert(key.of);
  }
  const auto usable = [&](const std::string& channel) { return Yes(input.facts, "interventional", channel).value_or(0.5); };
  std::vector<std::string> best(names.begin(), names.end());
  std::ranges::stable_sort(best, [&](const auto& a, const auto& b) { return usable(a) > usable(b); });
  std::vector<std::string> kept;
  for (const std::string& channel : best) {
    const bool worked = WorkedIn(input.session.run, channel);
    if (!worked && !kept.empty() && usable(channel) < 0.5) left_out.push_back("RW/RDR " + channel + ": rated as not usable");
    else if (!worked && kept.size() >= kMostChannels) left_out.push_back(fmt::format("RW/RDR {}: more than {} channels", channel, kMostChannels));
    else kept.push_back(channel);
  }
  for (std::size_t i = kept.size(); i-- > 0 && kept.size() > kMostChannels;) {  // worked in, all of them
    if (input.session.run.attempt && NamesChannel(input.session.run.attempt->strategy, kept[i])) continue;
    left_out.push_back(fmt::format("RW/RDR {}: more than {} channels", kept[i], kMostChannels));
    kept.erase(kept.begin() + static_cast<std::ptrdiff_t>(i));
  }
  return kept;
}

void AddStrategies(const LadderInput& input, Ladder& ladder) {
  for (std::size_t i = 0; i < input.priors.strategies.size(); ++i) {
    LadderStrategy base = Described(input.priors, i, ladder.difficulty);
    if (base.id == "ADR" && !input.session.skills.dissection) {
      ladder.left_out.push_back("ADR: dissection skill is missing here");
      continue;
    }
    if (base.id != "RW/RDR") {
      ladder.strategies.push_back(std::move(base));
      continue;
    }
    if (!input.session.skills.retrograde) {
      ladder.left_out.push_back("retrograde: skill is missing here");
      continue;
    }
    auto channels = ChannelsOf(input, ladder.left_out);
    if (channels.empty()) channels.emplace_back();
    if (channels.size() > 1) ladder.assumptions.push_back("each channel is a way of its own: that one has failed says of the others only how hard the lesion is (assumed)");
    for (const std::string& channel : channels) {
      LadderStrategy one = base;
      if (!channel.empty()) one.id += " " + channel, one.words += ", channel " + channel;
      SetCollateral(one, input.facts, channel, input.priors);
      ladder.strategies.push_back(std::move(one));
    }
  }
}

StrategyModel ModelOf(const LadderStrategy& described, const Priors& priors) {
  const PriorStrategy& prior = priors.strategies[described.prior];
  StrategyModel model;
  model.id = described.id;
  model.can = ChancesByClass(described.can, priors);
  model.law = LawOfPhases(prior.phases, prior.log_sd.value).whole;
  model.law.scale_min *= described.median_min;
  model.complication_per_min = prior.complication_per_hour.value / 60.0;
  model.per_min = {1.0, prior.contrast_ml_per_min.value, prior.kerma_mgy_per_min.value};
  model.setup = {prior.setup_min.value, prior.setup_contrast_ml.value, prior.setup_kerma_mgy.value};
  return model;
}

void SetBudgets(const LadderInput& input, Ladder& ladder) {
  const Priors& priors = input.priors;
  ladder.reserve = {input.session.limits.reserve[0].value_or(priors.reserve_min.value), input.session.limits.reserve[1].value_or(priors.reserve_contrast_ml.value),
                    input.session.limits.reserve[2].value_or(priors.reserve_kerma_mgy.value)};
  ladder.used = input.session.limits.used;
  ladder.whole = input.session.limits.limit;
  if (!ladder.whole[kMinutes]) ladder.whole[kMinutes] = priors.session_min.value;
  if (!ladder.whole[kKermaMgy]) ladder.whole[kKermaMgy] = priors.kerma_limit_mgy.value;
  if (!ladder.whole[kContrastMl]) {
    const auto* egfr = std::get_if<Number>(&BeliefOf(input.facts, {"egfr", ""}));
    if (Yes(input.facts, "dialysis", "").value_or(0.0) > 0.5 || (egfr != nullptr && egfr->value < kNoRatioBelow)) {
      ladder.assumptions.push_back("dialysis or kidney function below 15: a ratio says nothing, and no limit of contrast is held");
    } else if (egfr != nullptr) {
      ladder.whole[kContrastMl] = priors.contrast_per_egfr.value * egfr->value;
    } else {
      ladder.assumptions.push_back("eGFR is unknown: no limit of contrast is held");
    }
  }
  for (std::size_t r = 0; r < ladder.whole.size(); ++r) {
    if (ladder.whole[r]) ladder.model.budget[r] = std::max(0.0, *ladder.whole[r] - ladder.reserve[r] - ladder.used[r]);
  }
}

Error NoSuch(const std::string& what, const std::string& name) {
  return {"the priors have no " + what + " called \"" + CutText(name, 40) + "\"", "the run so far", "use the words of the log bar"};
}

// The published figures have one retrograde way: RW and RDR are it.
std::string PriorsWord(const std::string& id) {
  const std::string base = id.substr(0, id.find(' '));
  return base == "RW" || base == "RDR" ? "RW/RDR" + id.substr(base.size()) : id;
}

Status Known(const Priors& priors, const std::string& id) {
  const std::string base = id.substr(0, id.find(' '));
  if (std::ranges::find(priors.strategies, base, &PriorStrategy::id) != priors.strategies.end()) return Done{};
  return NoSuch("strategy", id);
}

void Drop(Ladder& ladder, std::size_t k) {
  ladder.model = Without(std::move(ladder.model), k);
  ladder.strategies.erase(ladder.strategies.begin() + static_cast<std::ptrdiff_t>(k));
}

std::optional<std::size_t> Place(const Ladder& ladder, const std::string& id) {
  const auto find = [&](const auto& matches) -> std::optional<std::size_t> {
    for (std::size_t k = 0; k < ladder.strategies.size(); ++k)
      if (matches(ladder.strategies[k].id)) return k;
    return std::nullopt;
  };
  if (const auto k = find([&](const std::string& each) { return each == id; })) return k;
  if (const auto k = find([&](const std::string& each) { return each.starts_with(id + " "); })) return k;  // "RW/RDR" names the best channel
  const std::string base = id.substr(0, id.find(' '));  // a channel of which no fact is known
  return find([&](const std::string& each) { return each == base || each.starts_with(base + " "); });
}

// "RW/RDR" closes every channel.
void CloseWay(Ladder& ladder, const std::string& id) {
  const auto names = [&](const LadderStrategy& each) { return each.id == id || each.id.starts_with(id + " "); };
  if (std::ranges::none_of(ladder.strategies, names)) {
    if (const auto k = Place(ladder, id)) ladder.left_out.push_back(id + ": rated as closed"), Drop(ladder, *k);
    return;
  }
  for (std::size_t k = ladder.strategies.size(); k-- > 0;)
    if (names(ladder.strategies[k])) ladder.left_out.push_back(ladder.strategies[k].id + ": rated as closed"), Drop(ladder, k);
}

// What an attempt has shown of strategy `k`: so long without crossing, in that phase if it is known.
Status TryOne(const Priors& priors, Ladder& ladder, std::size_t k, const std::string& in_phase, double phase_min, double attempt_min) {
  const auto whole = static_cast<std::size_t>(std::ranges::find(ladder.all, ladder.strategies[k].id, &LadderStrategy::id) - ladder.all.begin());
  if (in_phase.empty()) {
    ladder.seen.push_back({whole, std::nullopt, attempt_min});
    ladder.model = AfterTrying(std::move(ladder.model), k, attempt_min);
    return Done{};
  }
  const PriorStrategy& prior = priors.strategies[ladder.strategies[k].prior];
  const auto phase = std::ranges::find_if(prior.phases, [&](const PriorPhase& p) { return p.id == in_phase; });
  if (phase == prior.phases.end()) return NoSuch("phase of " + ladder.strategies[k].id, in_phase);
  const auto place = static_cast<std::size_t>(phase - prior.phases.begin());
  ladder.seen.push_back({whole, place, phase_min});
  ladder.model.strategies[k] = InPhase(ladder.model.strategies[k], prior, ladder.strategies[k].median_min, place, phase_min, ladder.model.class_weights);
  return Done{};
}

// What was spent is in `used` already: trying conditions the classes, not the budgets.
Status Condition(const LadderInput& input, Ladder& ladder) {
  const auto budget = ladder.model.budget;
  for (const Tried& tried : input.session.run.tried) {
    if (auto known = Known(input.priors, PriorsWord(tried.strategy)); !known.ok()) return known;
    const auto k = Place(ladder, PriorsWord(tried.strategy));
    if (!k) continue;  // closed before, or no skill here
    if (auto done = TryOne(input.priors, ladder, *k, tried.phase, tried.phase_min, tried.minutes); !done.ok()) return done;
    if (!tried.closed) continue;
    ladder.left_out.push_back(fmt::format("{}: tried for {:.0f} min and closed", tried.strategy, tried.minutes));
    Drop(ladder, *k);
  }
  for (const std::string& id : input.session.run.closed) {
    if (auto known = Known(input.priors, PriorsWord(id)); !known.ok()) return known;
    CloseWay(ladder, PriorsWord(id));
  }
  ladder.model.budget = budget;
  if (!input.session.run.attempt) return Done{};
  const Attempt& attempt = *input.session.run.attempt;
  const auto k = Place(ladder, PriorsWord(attempt.strategy));
  if (!k) return NoSuch("strategy", attempt.strategy);
  ladder.current = *k;
  if (auto done = TryOne(input.priors, ladder, *k, attempt.phase, attempt.phase_min, attempt.attempt_min); !done.ok()) return done;
  ladder.model.budget = budget;
  return Done{};
}

}  // namespace

std::vector<double> ChancesByClass(double can, const Priors& priors) {
  const double spread = std::min({priors.difficulty_spread.value, can, 1.0 - can});
  return {can + spread, can - spread};
}

Result<Ladder> BuildLadder(const LadderInput& input) {
  Ladder ladder;
  ladder.difficulty = DifficultyOf(input.facts, ladder.assumptions);
  AddStrategies(input, ladder);
  ladder.model.class_weights = {0.5, 0.5};
  for (const LadderStrategy& strategy : ladder.strategies) ladder.model.strategies.push_back(ModelOf(strategy, input.priors));
  ladder.model.setup_complication_per_min = input.priors.setup_complication_per_hour.value / 60.0;
  ladder.model.objective = {input.priors.complication_weight.value, input.priors.minute_cost.value,
                            std::max(input.priors.stop_worth.value, input.priors.come_back_worth.value * input.priors.come_back_success.value)};
  ladder.before = ladder.model;
  ladder.all = ladder.strategies;
  SetBudgets(input, ladder);
  if (auto done = Condition(input, ladder); !done.ok()) return done.error();
  if (auto checked = Check(ladder.model); !checked.ok()) return checked.error();
  ladder.assumptions.push_back(fmt::format(
      "a lesion that resists one way resists the others: the chances lie {:.0f} points above or below their mean together (assumed)",
      100.0 * input.priors.difficulty_spread.value));
  ladder.assumptions.push_back("complications come at a constant rate while a strategy is worked on (assumed)");
  return ladder;
}

}  // namespace fairlead
