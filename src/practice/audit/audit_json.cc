// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <nlohmann/json.hpp>

#include "practice/audit/audit.h"

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

// Ten digits, the same on every machine; infinity is null.
Json Digits(double number) {
  if (!std::isfinite(number)) return nullptr;
  return std::strtod(fmt::format("{:.10g}", number).c_str(), nullptr);
}

// Of the methods; the yardstick's own source stands beside it.
constexpr SourceId kMethods[] = {"binomial-intervals-2001"_source, "funnel-2005"_source, "ra-cusum-2000"_source};

Json IntervalJson(const Interval& interval) { return Json{{"low", Digits(interval.low)}, {"high", Digits(interval.high)}}; }

Json ShareJson(const std::optional<AuditShare>& share, const char* method) {
  if (!share) return nullptr;
  return Json{{"events", share->count.events}, {"cases", share->count.cases},
              {"share", Digits(static_cast<double>(share->count.events) / static_cast<double>(share->count.cases))},
              {"low", Digits(share->interval.low)}, {"high", Digits(share->interval.high)}, {"interval", method}};
}
constexpr const char* kWilson = "95 %, Wilson";
constexpr const char* kExact = "95 %, exact";

Json LineJson(const std::optional<LogitLine>& line) {
  if (!line) return nullptr;
  return Json{{"intercept", Digits(line->intercept)}, {"intercept_sd", Digits(line->intercept_sd)}, {"slope", Digits(line->slope)},
              {"slope_sd", Digits(line->slope_sd)}};
}

Json FailuresJson(const std::optional<AgainstExpected>& found) {
  if (!found) return nullptr;
  return Json{{"observed", found->observed}, {"expected", Digits(found->expected)}, {"ratio", Digits(found->ratio)},
              {"ratio_interval", IntervalJson(found->ratio_interval)}, {"odds_factor", Digits(found->odds_factor)},
              {"odds_interval", IntervalJson(found->odds_interval)}, {"p_at_least", Digits(found->at_least)},
              {"p_at_least_mid", Digits(found->at_least_mid)}};
}

Json NumbersJson(const std::vector<double>& numbers) {
  Json list = Json::array();
  for (const double number : numbers) list.push_back(Digits(number));
  return list;
}

Json SeriesJson(const std::optional<Series>& series) {
  if (!series) return nullptr;
  const auto threshold = [](const Threshold& t) { return Json{{"h", Digits(t.h)}, {"run_length_cases", Digits(t.run_length)}}; };
  return Json{{"judged", series->judged}, {"at", series->at}, {"cases", series->cases}, {"story", NumbersJson(series->charts.story)}, {"story_sd", NumbersJson(series->charts.story_sd)},
              {"worse", NumbersJson(series->charts.worse)}, {"better", NumbersJson(series->charts.better)},
              {"worse_threshold", threshold(series->worse)}, {"better_threshold", threshold(series->better)},
              {"worse_signals", series->worse_signals}, {"better_signals", series->better_signals},
              {"false_alarm_in_50", Digits(series->false_alarm_in_50)}, {"seen_in_50", Digits(series->seen_in_50)}};
}

Json PartsJson(const std::vector<AuditPart>& parts) {
  Json list = Json::array();
  for (const AuditPart& part : parts) {
    list.push_back(Json{{"name", part.name}, {"success", ShareJson(part.success, kWilson)}, {"complication", ShareJson(part.complication, kExact)}});
  }
  return list;
}

Json ClassesJson(const Audit& audit) {
  Json list = Json::array();
  for (std::size_t i = 0; i < audit.by_class.size(); ++i) {
    const CalibrationGroup& group = audit.by_class[i];
    Json one{{"j_cto", i == 3 ? "3 or more" : std::to_string(i)}, {"cases", group.cases}, {"failures", group.events},
             {"published", Digits(FailureReference().failure[i])}};
    const auto own = JeffreysInterval({group.events, group.cases});
    one["own"] = own.ok() ? IntervalJson(*own) : Json(nullptr);
    if (i < audit.moved.size()) one["moved"] = Json{{"value", Digits(audit.moved[i].moved)}, {"low", Digits(audit.moved[i].interval.low)}, {"high", Digits(audit.moved[i].interval.high)}};
    list.push_back(std::move(one));
  }
  return list;
}

Json FunnelJson(const std::vector<FunnelUnit>& units) {
  Json list = Json::array();
  for (const FunnelUnit& unit : units) {
    list.push_back(Json{{"name", unit.name}, {"cases", unit.failures.cases}, {"failures", unit.failures.events}, {"expected", Digits(unit.expected)},
                        {"ratio", Digits(unit.ratio)}, {"limits", NumbersJson({unit.limits[0], unit.limits[1], unit.limits[2], unit.limits[3]})},
                        {"widened", unit.widened ? IntervalJson(*unit.widened) : Json(nullptr)}});
  }
  return list;
}

Json QuartilesJson(const Quartiles& found) {
  if (found.cases == 0) return nullptr;
  return Json{{"cases", found.cases}, {"low", Digits(found.low)}, {"middle", Digits(found.middle)}, {"high", Digits(found.high)},
              {"low_within", IntervalJson(found.low_within)}, {"middle_within", IntervalJson(found.middle_within)}, {"high_within", IntervalJson(found.high_within)}};
}

Json StretchesJson(const std::vector<CaseStretch>& stretches) {
  Json list = Json::array();
  for (const CaseStretch& each : stretches) {
    list.push_back(Json{{"first", each.first}, {"last", each.last}, {"failures", each.found.observed}, {"expected", Digits(each.found.expected)},
                        {"ratio", Digits(each.found.ratio)}, {"low", Digits(each.found.ratio_interval.low)}, {"high", Digits(each.found.ratio_interval.high)}});
  }
  return list;
}

Json LearningJson(const std::vector<LearningPoint>& curve) {
  Json list = Json::array();
  for (const LearningPoint& each : curve) {
    list.push_back(Json{{"case", Digits(each.number)}, {"odds_factor", Digits(each.odds_factor)}, {"low", Digits(each.interval.low)}, {"high", Digits(each.interval.high)}});
  }
  return list;
}

Json MissingJson(const std::vector<MissingPart>& missing) {
  Json list = Json::array();
  for (const MissingPart& each : missing) list.push_back(Json{{"name", each.name}, {"missing", ShareJson(each.share, kWilson)}});
  return list;
}

Json HabitsJson(const Audit& audit) {
  Json left = Json::array(), remedies = Json::array(), kit = Json::array();
  for (const LeftWay& each : audit.left_ways) {
    left.push_back(Json{{"strategy", each.strategy}, {"attempts", each.attempts}, {"minutes", QuartilesJson(each.minutes)}, {"stalled_min", QuartilesJson(each.stalled_min)}});
  }
  for (const Remedy& each : audit.remedies) {
    remedies.push_back(Json{{"reason", each.reason}, {"next", each.next}, {"crossed", ShareJson(each.crossed, kWilson)}});
  }
  for (const KitUse& each : audit.kit) {
    kit.push_back(Json{{"kind", each.kind}, {"used", ShareJson(each.used, kWilson)}, {"count", QuartilesJson(each.count)}});
  }
  return Json{{"left", std::move(left)}, {"remedies", std::move(remedies)}, {"left_for_good", audit.left_for_good},
              {"ladder", Json{{"followed", ShareJson(audit.ladder.followed, kWilson)}, {"not_shown", audit.ladder.not_shown}}}, {"kit", std::move(kit)}};
}

Json BeliefJson(const std::optional<OddsBelief>& belief) {
  if (!belief) return nullptr;
  return Json{{"above", Digits(belief->above)}, {"half_more", Digits(belief->half_more)}, {"doubled", Digits(belief->doubled)}, {"third_less", Digits(belief->third_less)}};
}

Json ByScoreJson(const std::vector<YardstickFound>& found) {
  Json list = Json::array();
  for (const YardstickFound& each : found) {
    const Yardstick& of = *each.yardstick;
    list.push_back(Json{{"score", of.score->id}, {"name", of.score->name}, {"what", of.table->what}, {"cohort", of.table->cohort}, {"source", of.table->source.id},
                        {"counted", EventWord(of.event)}, {"judged", each.judged},
                        {"left_out", Json{{"facts_missing", each.facts_missing}, {"not_made_for", each.not_made_for}, {"no_outcome", each.no_outcome}}},
                        {"against", FailuresJson(each.against)}, {"against_high", FailuresJson(each.against_high)}});
  }
  return list;
}

Json SmoothJson(const std::vector<SmoothPoint>& points) {
  Json list = Json::array();
  for (const SmoothPoint& each : points) {
    list.push_back(Json{{"published", Digits(each.published)}, {"found", Digits(each.found)}, {"low", Digits(each.interval.low)}, {"high", Digits(each.interval.high)}});
  }
  return list;
}

Json SpreadJson(const std::optional<FunnelSpread>& found) {
  if (!found) return nullptr;
  return Json{{"units", found->units}, {"count", found->count}, {"phi", Digits(found->spread.phi)}, {"phi_winsorised", Digits(found->spread.phi_winsorised)},
              {"between_variance", Digits(found->spread.between_variance)}, {"between_variance_winsorised", Digits(found->spread.between_variance_winsorised)},
              {"beyond_chance", found->spread.beyond_chance}, {"source", found->spread.source.id}};
}

Json OwnModelJson(const std::optional<OwnModel>& own) {
  if (!own) return nullptr;
  return Json{{"learnt_from", own->learnt_from}, {"line", LineJson(own->line)}, {"later", FailuresJson(own->later)}};
}

Json SliceJson(const Slice& slice) {
  Json json = Json::object();
  if (slice.since) json["since"] = ToIso(*slice.since);
  if (slice.until) json["until"] = ToIso(*slice.until);
  if (!slice.by.empty()) json["by"] = slice.by;
  if (!slice.vessel.empty()) json["vessel"] = slice.vessel;
  if (!slice.strategy.empty()) json["strategy"] = slice.strategy;
  if (slice.j_cto_from) json["j_cto_from"] = *slice.j_cto_from;
  if (slice.j_cto_to) json["j_cto_to"] = *slice.j_cto_to;
  if (slice.first_attempts) json["first_attempts"] = true;
  return json;
}

}  // namespace

std::string AuditJson(const Audit& audit, const Slice& slice) {
  Json json{{"slice", SliceJson(slice)}, {"cases", audit.cases}, {"invented", audit.invented},
            {"left_out", Json{{"no_outcome", audit.no_outcome}, {"no_difficulty", audit.no_difficulty}, {"no_complication_entry", audit.no_complication_entry}}},
            {"success", ShareJson(audit.success, kWilson)}, {"complication", ShareJson(audit.complication, kExact)},
            {"procedural", ShareJson(audit.procedural, kWilson)}, {"belief", BeliefJson(audit.belief)}, {"by_score", ByScoreJson(audit.by_score)},
            {"reference", Json{{"what", "technical failure by J-CTO class"}, {"source", FailureReference().source.id}}},
            {"failures", FailuresJson(audit.failures)}, {"series", SeriesJson(audit.series)}, {"by_class", ClassesJson(audit)},
            {"calibration", Json{{"in_the_large", LineJson(audit.in_the_large)}, {"line", LineJson(audit.line)}, {"recalibrated", LineJson(audit.recalibrated)}}},
            {"learning", LineJson(audit.learning)}};
  json["area_under_curve"] = nullptr;
  if (audit.discrimination) {
    json["area_under_curve"] = Json{{"value", Digits(audit.discrimination->area)}, {"sd", Digits(audit.discrimination->sd)}, {"perfect", audit.discrimination->perfect},
                                    {"low", Digits(audit.discrimination->interval.low)}, {"high", Digits(audit.discrimination->interval.high)}};
  }
  json["brier"] = nullptr;
  if (audit.brier) {
    json["brier"] = Json{{"value", Digits(audit.brier->score)}, {"sd", Digits(audit.brier->sd)}, {"scaled", Digits(audit.brier->scaled)},
                         {"expected", Digits(audit.brier->expected)}, {"z", Digits(audit.brier->z)}};
  }
  json["stretches"] = StretchesJson(audit.stretches), json["learning_curve"] = LearningJson(audit.learning_curve);
  json["own_model"] = OwnModelJson(audit.own_model), json["missing"] = MissingJson(audit.missing);
  json["habits"] = HabitsJson(audit);
  json["minutes"] = QuartilesJson(audit.minutes), json["contrast_ml"] = QuartilesJson(audit.contrast_ml);
  json["air_kerma_gy"] = QuartilesJson(audit.air_kerma_gy);
  json["by_strategy"] = PartsJson(audit.by_strategy), json["by_vessel"] = PartsJson(audit.by_vessel);
  json["by_difficulty"] = PartsJson(audit.by_difficulty), json["by_year"] = PartsJson(audit.by_year);
  json["funnel"] = FunnelJson(audit.funnel), json["spread"] = SpreadJson(audit.spread), json["smooth"] = SmoothJson(audit.smooth);
  json["says"] = audit.says;
  json["sources"] = Json::array();
  for (const SourceId source : kMethods) json["sources"].push_back(source.id);
  return json.dump();
}

}  // namespace fairlead
