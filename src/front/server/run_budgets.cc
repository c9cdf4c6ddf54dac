// SPDX-License-Identifier: Apache-2.0
// Budgets, anticoagulation, cautions, gates and drills of the run's panel.
#include <algorithm>

#include "front/server/run_parts.h"

namespace fairlead {
namespace {

void WriteBand(JsonText& json, std::string_view name, const std::optional<RunBand>& band) {
  json.Key(name);
  if (band) json.Open('{').Member("low", band->low).Member("mid", band->mid).Member("high", band->high).Close('}');
  else json.Null();
}

void WriteBudget(JsonText& json, std::string_view name, const Budget& budget) {
  json.Key(name).Open('{');
  WriteNumber(json, "used", budget.used);
  WriteTime(json, "used_at", budget.used_at);
  WriteNumber(json, "limit", budget.limit);
  json.Member("limit_says", budget.limit_says).Member("reserve", budget.reserve);
  WriteNumber(json, "left", budget.left);
  json.Member("band", budget.band).Key("rate");
  if (budget.rate) {
    json.Open('{').Member("low", budget.rate->per_min.low).Member("mid", budget.rate->per_min.mid).Member("high", budget.rate->per_min.high);
    json.Member("prior", budget.rate->prior).Member("readings", budget.rate->readings).Close('}');
  } else {
    json.Null();
  }
  WriteBand(json, "minutes_left", budget.minutes_left);
  json.Close('}');
}

void WriteQuantiles(JsonText& json, std::string_view name, const Quantiles& q) {
  json.Key(name).Open('{').Member("p5", q.p5).Member("p25", q.p25).Member("p50", q.p50).Member("p75", q.p75).Member("p95", q.p95).Close('}');
}

void WriteForecast(JsonText& json, const HeparinForecast& forecast) {
  json.Open('{');
  WriteQuantiles(json, "act_now_s", forecast.act_now);
  WriteQuantiles(json, "act_in_30_s", forecast.act_in_30);
  json.Member("below_now", forecast.below_now).Member("below_in_15", forecast.below_in_15).Member("below_in_30", forecast.below_in_30);
  if (forecast.minutes_to_target) WriteQuantiles(json, "minutes_to_target", *forecast.minutes_to_target);
  else json.Key("minutes_to_target").Null();
  json.Member("next_sample_in_min", forecast.sample_due_min).Member("suspect_sample", forecast.suspect).Member("outside_model", forecast.outside);
  json.Member("samples_used", forecast.used).Close('}');
}

void WriteCaution(JsonText& json, const Caution& caution) {
  json.Open('{').Member("rule", caution.rule->id).Member("severity", SeverityWord(caution.severity)).Member("step", caution.step);
  json.Member("since", ToIso(caution.begin));
  WriteTime(json, "end", caution.end);
  json.Member("text", caution.text).Member("short", caution.rule->at_most_eight_words).Member("watches", caution.rule->watches);
  json.Member("evidence", caution.rule->evidence).Member("source", caution.rule->source.id).Member("clears", caution.rule->clears);
  json.Member("again", caution.again).Member("late", caution.late).Member("can_be_accepted", caution.rule->can_be_accepted).Key("accepted");
  if (caution.accepted) json.Open('{').Member("at", ToIso(caution.accepted->at)).Member("why", caution.accepted->value).Close('}');
  else json.Null();
  json.Key("because").Open('[');
  for (const std::string& id : caution.because) json.Text(id);
  json.Close(']').Close('}');
}

void WriteDrill(JsonText& json, const RunState& run, const Trouble& trouble, const Drill& drill) {
  json.Open('{').Member("kind", drill.kind).Member("site", drill.site).Member("title", drill.title).Member("reverse_heparin", drill.reverse);
  json.Member("evidence", drill.evidence).Member("since", ToIso(trouble.at)).Key("kit").Open('[');
  std::string_view kit = drill.kit;
  while (!kit.empty()) {
    const std::string_view item = kit.substr(0, kit.find(' '));
    kit.remove_prefix(std::min(kit.size(), item.size() + 1));
    const auto tick = run.ticks.find(std::pair(std::string("before"), std::string(item)));
    json.Open('{').Member("item", item).Member("state", tick == run.ticks.end() ? "open" : tick->second.value.state).Close('}');
  }
  json.Close(']').Key("steps").Open('[');
  for (const DrillStep& step : drill.steps) {
    const std::string item = std::string(drill.kind) + "-" + std::string(step.item);
    const auto tick = run.ticks.find(std::pair(std::string("drill"), item));
    const bool ticked = tick != run.ticks.end() && tick->second.at >= trouble.at;
    json.Open('{').Member("item", item).Member("says", step.says).Member("state", ticked ? tick->second.value.state : "open");
    WriteTime(json, "at", ticked ? std::optional(tick->second.at) : std::nullopt);
    WriteTime(json, "due", step.within_min ? std::optional(trouble.at + Duration::Minutes(*step.within_min)) : std::nullopt);
    json.Member("tick", "tick drill " + item).Close('}');
  }
  json.Close(']').Member("says", "local protocol decides").Close('}');
}

}  // namespace

void WriteBudgets(JsonText& json, const RunBudgets& budgets, const RunPatient& patient) {
  json.Key("budgets").Open('{');
  WriteBudget(json, "time_min", budgets.time);
  WriteBudget(json, "contrast_ml", budgets.contrast);
  WriteBudget(json, "air_kerma_gy", budgets.air_kerma);
  WriteBudget(json, "kerma_area_gycm2", budgets.kerma_area);
  WriteBudget(json, "fluoro_min", budgets.fluoro);
  WriteNumber(json, "contrast_to_kidney", budgets.contrast_to_kidney);
  WriteNumber(json, "egfr", patient.egfr);
  WriteNumber(json, "clearance_ml_min", patient.clearance);
  WriteNumber(json, "weight_rule_ml", patient.by_weight ? std::optional(patient.by_weight->ml) : std::nullopt);
  json.Member("earlier_contrast_ml", budgets.earlier_contrast_ml).Member("earlier_air_kerma_gy", budgets.earlier_kerma_gy).Close('}');
}

void WriteAnticoagulation(JsonText& json, const Anticoagulation& held, const RunState& run) {
  json.Key("anticoagulation").Open('{').Member("analyser", std::string_view(&held.analyser, 1)).Member("analyser_changed", held.analyser_changed);
  json.Member("target_s", held.target_s).Member("lower_s", held.bands.lower_s).Member("upper_s", held.bands.upper_s).Key("last");
  if (held.last) json.Open('{').Member("act_s", held.last->value.seconds).Member("off_scale", held.last->value.off_scale).Member("at", ToIso(held.last->at)).Close('}');
  else json.Null();
  WriteNumber(json, "age_min", held.age_min);
  WriteTime(json, "awaited_since", held.awaited);
  WriteNumber(json, "heparin_iu", held.units);
  WriteNumber(json, "heparin_iu_kg", held.units_per_kg);
  json.Key("forecast");
  if (held.forecast) WriteForecast(json, *held.forecast);
  else json.Null();
  json.Member("no_forecast", held.no_forecast);
  WriteBand(json, "to_target_iu", held.return_iu);
  json.Member("no_dose_because", held.no_return).Key("acts").Open('[');
  for (const auto& act : run.acts) json.Open('{').Member("at", ToIso(act.at)).Member("act_s", act.value.seconds).Member("off_scale", act.value.off_scale).Member("analyser", act.value.analyser).Close('}');
  json.Close(']').Key("doses").Open('[');
  for (const auto& dose : run.heparin) json.Open('{').Member("at", ToIso(dose.at)).Member("units_iu", dose.value.units).Member("route", dose.value.route).Close('}');
  json.Close(']').Close('}');
}

void WriteCautions(JsonText& json, const Cautions& cautions) {
  json.Key("cautions").Open('[');
  for (const Caution* caution : Holding(cautions)) WriteCaution(json, *caution);
  json.Close(']').Key("past_cautions").Open('[');
  for (const Caution& caution : cautions.intervals)
    if (caution.end) WriteCaution(json, caution);
  json.Close(']').Key("not_watched").Open('[');
  for (const NotWatched& one : cautions.not_watched) {
    json.Open('{').Member("lacks", one.lacks).Key("rules").Open('[');
    for (const std::string_view rule : one.rules) json.Text(rule);
    json.Close(']');
    WriteTime(json, "since", one.since);
    json.Close('}');
  }
  json.Close(']');
}

void WriteChanges(JsonText& json, const std::vector<Relevelled>& changes, const Knowledge& lab) {
  const KnowledgeText* text = FindKnowledge(lab, "rules");
  json.Key("rules_changed").Open('[');
  for (const Relevelled& change : changes) {
    json.Open('{').Member("rule", change.rule).Member("off", change.off).Key("severity");
    change.severity ? json.Text(SeverityWord(*change.severity)) : json.Null();
    json.Member("why", change.why).Member("owner", text == nullptr ? "" : text->owner).Member("version", text == nullptr ? "" : text->version);
    json.Member("at", text == nullptr ? "" : ToIso(text->at)).Close('}');
  }
  json.Close(']');
}

void WriteGates(JsonText& json, const RunState& run, const RunPatient& patient, Instant now) {
  json.Key("gates").Open('[');
  for (const Gate& gate : Gates()) {
    json.Open('{').Member("gate", gate.id).Member("title", gate.title).Key("items").Open('[');
    for (const ItemState& item : StateOfGate(run, patient, gate, now)) {
      json.Open('{').Member("item", item.item->id).Member("says", item.item->says).Member("state", item.state).Member("why", item.why);
      WriteTime(json, "at", item.at);
      json.Member("known", item.known).Member("tick", "tick " + std::string(gate.id) + " " + std::string(item.item->id)).Close('}');
    }
    json.Close(']').Close('}');
  }
  json.Close(']').Key("drills").Open('[');
  for (const Trouble& trouble : run.troubles) {
    const Drill* drill = trouble.over ? nullptr : DrillOf(trouble.kind, trouble.site, trouble.grade, trouble.cause);
    if (drill != nullptr) WriteDrill(json, run, trouble, *drill);
  }
  json.Close(']');
}

}  // namespace fairlead
