// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/outlook_json.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <nlohmann/json.hpp>

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::array<const char*, 3> kBudgetNames = {"minutes", "contrast_ml", "kerma_mgy"};

// Six digits: the figures carry fewer, and every machine prints the same bytes.
Json Short(double number) { return std::strtod(fmt::format("{:.6g}", number).c_str(), nullptr); }

Json SpendingJson(const Spending& spending) {
  Json json = Json::object();
  for (std::size_t r = 0; r < spending.size(); ++r) json[kBudgetNames[r]] = Short(spending[r]);
  return json;
}

Json FigureJson(const PriorFigure& figure) { return Json{{"value", Short(figure.value)}, {"spread", Short(figure.spread)}, {"source", figure.source}}; }

Json ChanceJson(double value, const DrawBand& band) {
  return Json{{"value", Short(value)}, {"low", Short(band.low)}, {"high", Short(band.high)}, {"words", InTens(value)}};
}
Json HarmJson(double value, const DrawBand& band) {
  return Json{{"value", Short(1000.0 * value)}, {"low", Short(1000.0 * band.low)}, {"high", Short(1000.0 * band.high)}};
}

Json PlanJson(const Ladder& ladder, const std::vector<Rung>& plan) {
  Json list = Json::array();
  for (const Rung& rung : plan) list.push_back(Json{{"id", ladder.strategies[rung.strategy].id}, {"minutes", rung.minutes}});
  return list;
}

Json WayJson(const Ladder& ladder, const WayOn& way) {
  return Json{{"plan", PlanJson(ladder, way.plan)}, {"p_cross", ChanceJson(way.p_cross, way.band)}, {"harm_per_1000", HarmJson(way.harm, way.harm_band)}};
}

Json BudgetsJson(const Ladder& ladder) {
  Json list = Json::array();
  for (std::size_t r = 0; r < kBudgetNames.size(); ++r) {
    Json one{{"what", kBudgetNames[r]}, {"limit", nullptr}, {"reserve", Short(ladder.reserve[r])}, {"used", Short(ladder.used[r])}, {"left", nullptr}};
    if (ladder.whole[r]) one["limit"] = Short(*ladder.whole[r]);
    if (ladder.model.budget[r]) one["left"] = Short(*ladder.model.budget[r]);
    list.push_back(one);
  }
  return list;
}

Json FitsJson(const LadderAnswer& a) {
  Json list = Json::array();
  for (const FitView& fit : a.outlook.fits) {
    Json one{{"id", a.ladder.strategies[fit.strategy].id}, {"needs_min", Short(fit.needs_min)}, {"fits_now", fit.fits_now}};
    one["fits_for_min"] = fit.fits_for_min ? Short(std::floor(*fit.fits_for_min)) : Json(nullptr);
    one["binds"] = kBudgetNames[fit.binds];
    one["text"] = FitSentence(a.ladder, fit, a.input.priors);
    list.push_back(one);
  }
  return list;
}

Json RungsJson(const LadderAnswer& a) {
  Json list = Json::array();
  for (const RungView& rung : a.outlook.rungs) {
    const LadderStrategy& way = a.ladder.strategies[rung.strategy];
    list.push_back(Json{{"id", way.id}, {"words", way.words}, {"side", way.tells}, {"minutes", rung.minutes}, {"flat_from", rung.flat_from},
                        {"flat_to", rung.flat_to}, {"p_cross", Short(rung.p_cross)}, {"chance", InTens(rung.p_cross)},
                        {"harm_per_1000", Short(1000.0 * rung.harm)}, {"expected", SpendingJson(rung.expected)}});
  }
  return list;
}

Json StrategiesJson(const LadderAnswer& a) {
  Json list = Json::array();
  for (std::size_t k = 0; k < a.ladder.strategies.size(); ++k) {
    const LadderStrategy& way = a.ladder.strategies[k];
    const PriorStrategy& prior = a.input.priors.strategies[way.prior];
    Json phases = Json::array();
    for (const PriorPhase& phase : prior.phases) phases.push_back(Json{{"id", phase.id}, {"words", phase.words}, {"time_share", phase.time_share}, {"fail_share", phase.fail_share}});
    list.push_back(Json{{"id", way.id}, {"words", way.words}, {"side", way.tells}, {"can", Short(way.can)}, {"can_from", FigureJson(way.can_from)},
                        {"median_min", Short(way.median_min)}, {"median_from", FigureJson(way.median_from)},
                        {"complication_per_hour", FigureJson(prior.complication_per_hour)}, {"contrast_ml_per_min", FigureJson(prior.contrast_ml_per_min)},
                        {"kerma_mgy_per_min", FigureJson(prior.kerma_mgy_per_min)}, {"setup_min", FigureJson(prior.setup_min)},
                        {"phases", phases}, {"phase_shares_source", prior.phase_shares.source}});
  }
  return list;
}

Json CurvesJson(const LadderAnswer& a) {
  Json list = Json::array();
  for (const CurveView& curve : a.outlook.curves) {
    Json values = Json::array();
    for (const double p : curve.crossed_by) values.push_back(Short(p));
    list.push_back(Json{{"id", a.ladder.strategies[curve.strategy].id}, {"side", a.ladder.strategies[curve.strategy].tells}, {"every_min", 5}, {"crossed_by", values}});
  }
  return list;
}

Json AskJson(Ask ask) { return Json{{"fact", FactOf(ask)}, {"words", WordsOf(ask)}, {"found_by", FoundBy(ask)}}; }

Json AdviceJson(const AlgorithmAdvice& advice) {
  Json first = Json::array(), steps = Json::array(), missing = Json::array(), remarks = Json::array();
  for (const FirstTechnique& each : advice.first) {
    if (each.high < 0.005) continue;
    first.push_back(Json{{"id", IdOf(each.technique)}, {"words", WordsOf(each.technique)}, {"low", Short(each.low)}, {"high", Short(each.high)}});
  }
  for (const auto& step : advice.steps) {
    Json names = Json::array();
    for (const Technique technique : step) names.push_back(Json{{"id", IdOf(technique)}, {"words", WordsOf(technique)}});
    steps.push_back(names);
  }
  for (const Ask ask : advice.missing) missing.push_back(AskJson(ask));
  for (const std::string& remark : advice.remarks) remarks.push_back(remark);
  const Algorithm& algorithm = *advice.algorithm;
  Json json{{"id", algorithm.id}, {"name", algorithm.name}, {"source", algorithm.source.id}, {"checked", algorithm.checked == Checked::kSeen ? "seen" : "memory"},
            {"clock", algorithm.clock}, {"rule", nullptr}, {"when", nullptr}, {"first", first}, {"steps", steps}, {"remarks", remarks}, {"missing", missing}, {"decides", nullptr}};
  if (advice.rule != nullptr) json["rule"] = advice.rule->id, json["when"] = advice.rule->when;
  if (advice.decides) json["decides"] = AskJson(*advice.decides);
  return json;
}

Json CampsJson(const std::vector<AlgorithmAdvice>& algorithms) {
  Json list = Json::array();
  for (const Camp& camp : CampsOf(algorithms)) {
    Json names = Json::array();
    for (const Algorithm* each : camp.algorithms) names.push_back(each->id);
    list.push_back(Json{{"first", camp.family}, {"algorithms", names}, {"open", camp.open}});
  }
  return list;
}

Json DisputesJson() {
  Json list = Json::array();
  for (const Dispute& dispute : Disputes()) {
    Json stances = Json::object();
    for (std::size_t i = 0; i < dispute.stances.size(); ++i) stances[std::string(PublishedAlgorithms()[i].id)] = dispute.stances[i];
    list.push_back(Json{{"topic", dispute.topic}, {"stances", stances}});
  }
  return list;
}

// What following an algorithm went with, in one registry: observational, and the harder lesions were in the other group.
Json FollowedJson() {
  return Json{{"cases", 13852}, {"crossed_if_followed", 0.725}, {"crossed_if_not", 0.494}, {"source", "adherence-2026"_source.id},
              {"text", "Where the first strategy followed the global algorithm the first technique crossed in 7 in 10, elsewhere in 5 in 10; "
                       "observed, not tried, and the harder lesions were in the second group"}};
}

Json DoubtsJson(const Doubts& doubts) {
  Json shares = Json::array(), what_if = Json::array(), minutes = Json::array(), weights = Json::array();
  for (const WeightView& each : doubts.weights) {
    weights.push_back(Json{{"weight", each.weight}, {"order", each.order}, {"p_cross", Short(each.p_cross)}, {"harm_per_1000", Short(1000.0 * each.harm)}, {"in_force", each.in_force}});
  }
  for (const OrderShare& share : doubts.shares) shares.push_back(Json{{"order", share.order}, {"share", Short(share.share)}});
  for (const WhatIf& each : doubts.what_if) {
    what_if.push_back(Json{{"what", each.what}, {"order", each.order}, {"same_order", each.same_order}, {"p_cross", Short(each.p_cross)}});
  }
  for (const int minute : doubts.first_minutes) minutes.push_back(minute);
  return Json{{"shares", shares}, {"first_minutes", minutes}, {"loss_mean", Short(doubts.loss_mean)}, {"what_if", what_if}, {"weights", weights}};
}

Json PatienceJson(const LadderAnswer& a) {
  if (!a.outlook.patience) return nullptr;
  const Patience& patience = *a.outlook.patience;
  const std::size_t current = a.ladder.current ? *a.ladder.current : a.outlook.solution.plan.front().strategy;
  return Json{{"strategy", a.ladder.strategies[current].id}, {"under_way", a.ladder.current.has_value()}, {"more_min", patience.more_min},
              {"change_now", WayJson(a.ladder, patience.change_now)}, {"ten_more", WayJson(a.ladder, patience.ten_more)},
              {"difference", Json{{"value", Short(patience.difference)}, {"low", Short(patience.difference_band.low)}, {"high", Short(patience.difference_band.high)}}},
              {"clear", patience.clear}, {"text", DifferenceSentence(a)}, {"kept_to_end", Short(patience.kept_to_end)}};
}

// What runs now, and over which minutes from now on leaving it makes no odds.
Json RunJson(const LadderAnswer& a) {
  const auto& attempt = a.input.session.run.attempt;
  if (!attempt || !a.ladder.current) return nullptr;
  Json json{{"strategy", a.ladder.strategies[*a.ladder.current].id}, {"phase", attempt->phase}, {"phase_min", Short(attempt->phase_min)},
            {"attempt_min", Short(attempt->attempt_min)}, {"flat", nullptr},
            {"text", FlatSentence(a)}};
  if (const auto flat = FlatOf(a.outlook.losses)) json["flat"] = Json{{"from", flat->from}, {"to", flat->to}};
  Json tried = Json::array();
  for (const Tried& one : a.input.session.run.tried) tried.push_back(Json{{"strategy", one.strategy}, {"minutes", Short(one.minutes)}, {"phase", one.phase}, {"closed", one.closed}});
  json["tried"] = tried;
  return json;
}

Json ObjectiveJson(const Priors& priors) {
  return Json{{"complication_weight", FigureJson(priors.complication_weight)}, {"minute_cost", FigureJson(priors.minute_cost)},
              {"stop_worth", FigureJson(priors.stop_worth)}, {"come_back_worth", FigureJson(priors.come_back_worth)}, {"come_back_success", FigureJson(priors.come_back_success)}};
}

// Later success by the days between, as each of the two published series has it; they disagree.
Json IntervalsJson(const Priors& p) {
  Json list = Json::array();
  const double success = std::clamp(p.come_back_success.value, 1e-6, 1.0 - 1e-6);
  for (const int days : {30, 90, 180}) {
    const double odds = success / (1.0 - success) * std::pow(p.come_back_odds_per_90_days.value, (days - 90) / 90.0);
    list.push_back(Json{{"days", days}, {"one_centre", Short(odds / (1.0 + odds))}, {"registry", Short(days < 60 ? p.come_back_before_60_days.value : p.come_back_after_60_days.value)}});
  }
  return list;
}

Json ComeBackJson(const LadderAnswer& a) {
  const Priors& p = a.input.priors;
  return Json{{"later_success", FigureJson(p.come_back_success)}, {"chance", InTens(p.come_back_success.value)}, {"prepared", FigureJson(p.come_back_prepared)},
              {"not_across", FigureJson(p.come_back_not_across)}, {"by_days", IntervalsJson(p)},
              {"text", "one centre: longer waits went with less success; a registry: with more. Two to three months satisfy both"},
              {"worth", Short(p.come_back_worth.value * p.come_back_success.value)}};
}

Json StopJson(const LadderAnswer& a) {
  return Json{{"worth", FigureJson(a.input.priors.stop_worth)}, {"text", SymptomsSentence(a.input.facts)}};
}

Json TextList(const std::vector<std::string>& texts) {
  Json list = Json::array();
  for (const auto& text : texts) list.push_back(text);
  return list;
}

}  // namespace

std::string LadderJson(const LadderAnswer& a, std::int64_t seq, const LadderMoment& moment) {
  Json difficulty = Json::array(), losses = Json::array(), algorithms = Json::array();
  for (const double p : a.ladder.difficulty) difficulty.push_back(Short(p));
  for (const LossPoint& point : a.outlook.losses) losses.push_back(Json{{"minutes", point.minutes}, {"loss", Short(point.loss)}});
  for (const AlgorithmAdvice& advice : a.algorithms) algorithms.push_back(AdviceJson(advice));
  const PlanValue& value = a.outlook.solution.value;
  const auto time = [](const std::string& iso) { return iso.empty() ? Json(nullptr) : Json(iso); };
  Json json{{"seq", seq},
            {"now", time(moment.now)},
            {"holds_until", time(moment.holds_until)},
            {"priors", Json{{"version", a.input.priors.version}, {"owner", a.input.priors.owner}, {"own_attempts", a.input.priors.own_attempts}, {"words", WhoseText(a.input.priors)}}},
            {"budgets", BudgetsJson(a.ladder)},
            {"fits", FitsJson(a)},
            {"no_odds", kNoOdds},
            {"losses", losses},
            {"run", RunJson(a)},
            {"patience", PatienceJson(a)},
            {"rungs", RungsJson(a)},
            {"p_cross", ChanceJson(value.p_cross, a.outlook.p_cross)},
            {"harm_per_1000", HarmJson(value.p_complication, a.outlook.harm)},
            {"expected", SpendingJson(value.expected)},
            {"proven", a.outlook.solution.proven},
            {"come_back", ComeBackJson(a)},
            {"stop", StopJson(a)},
            {"nothing", NothingSentence(a)},
            {"assumes", AssumesSentence(a.ladder, a.input.priors)},
            {"objective", ObjectiveJson(a.input.priors)},
            {"curves", CurvesJson(a)},
            {"strategies", StrategiesJson(a)},
            {"difficulty", difficulty},
            {"algorithms", algorithms},
            {"camps", CampsJson(a.algorithms)},
            {"disputes", DisputesJson()},
            {"followed", FollowedJson()},
            {"assumptions", TextList(a.ladder.assumptions)},
            {"left_out", TextList(a.ladder.left_out)},
            {"doubts", a.doubts ? DoubtsJson(*a.doubts) : Json(nullptr)}};
  return json.dump();
}

}  // namespace fairlead
