// SPDX-License-Identifier: Apache-2.0
#include "front/server/case_views.h"

#include <fmt/core.h>

#include <algorithm>
#include <charconv>
#include <optional>

#include "casebook/derive.h"
#include "front/server/case_dose.h"
#include "front/server/case_segment.h"
#include "front/server/json_text.h"
#include "reasoning/views/views_json.h"

namespace fairlead {
namespace {

std::string_view In(const NamedText& query, std::string_view name) {
  const auto found = std::ranges::find_if(query, [&](const auto& each) { return each.first == name; });
  return found == query.end() ? std::string_view() : std::string_view(found->second);
}

// Takes a number of the query where it is given.
Status Take(const NamedText& query, std::string_view name, double low, double high, double& into) {
  const std::string_view text = In(query, name);
  if (text.empty()) return Done{};
  double value = 0.0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (fault != std::errc{} || end != text.data() + text.size() || !(value >= low && value <= high)) {
    return Error{"this is no number that can be used here", std::string(name), fmt::format("give {:g} to {:g}", low, high)};
  }
  into = value;
  return Done{};
}

struct Asking {
  double from = -1.0, to = -1.0;         // shares of the vessel
  double limit = 25.0;                   // % of foreshortening
  double primary = 60.0, secondary = 45.0;
  double spare_below = 0.0;              // Gy
};

Status TakeNumbers(const NamedText& query, Asking& asking, ViewWeights& weights) {
  struct Row {
    std::string_view name;
    double low, high;
    double* into;
  };
  const Row rows[] = {{"from", 0, 1, &asking.from}, {"to", 0, 1, &asking.to}, {"limit", 5, 90, &asking.limit}, {"primary", 10, 180, &asking.primary},
                      {"secondary", 10, 90, &asking.secondary}, {"spare_below_gy", 0, 100, &asking.spare_below},
                      {"foreshortening", 0, 5, &weights.foreshortening}, {"overlap", 0, 5, &weights.overlap}, {"dose_rate", 0, 5, &weights.rate},
                      {"skin", 0, 5, &weights.skin}, {"operator", 0, 5, &weights.operator_side}};
  for (const Row& row : rows) {
    if (Status taken = Take(query, row.name, row.low, row.high, *row.into); !taken.ok()) return taken;
  }
  weights.most_foreshortening = asking.limit / 100.0;
  return Done{};
}

std::string Likeliest(const Facts& facts, const char* name) {
  const auto* grade = std::get_if<GradeOdds>(&BeliefOf(facts, {name, ""}));
  if (grade == nullptr || grade->odds.empty()) return {};
  return std::ranges::max_element(grade->odds, {}, [](const auto& each) { return each.second; })->first;
}

std::optional<double> NumberOf(const Facts& facts, const char* name) {
  const auto* number = std::get_if<Number>(&BeliefOf(facts, {name, ""}));
  return number == nullptr ? std::nullopt : std::optional(number->value);
}

struct Stretch {
  std::string vessel;
  double from = 0.15, to = 0.35;  // shares of its length; practice, no source
  std::string why;
  std::string entry;        // the fact that the measured segment rests on; empty on the model
  bool measurable = false;  // the case has a segment measured in two views
};

// The occluded stretch on the model: by the facts where there are any.
Stretch StretchOf(const Facts& facts, const NamedText& query, const Asking& asking) {
  Stretch stretch;
  const std::string known = Likeliest(facts, "occluded_vessel");
  const std::string_view asked = In(query, "vessel");
  const auto models = ModelVessels();
  const auto has = [&](std::string_view name) { return std::ranges::find(models, name) != models.end(); };
  stretch.vessel = !asked.empty() ? std::string(asked) : (has(known) ? known : "LAD");
  stretch.why = !asked.empty() ? "as chosen" : (has(known) ? "the occluded vessel of this case" : "the occluded vessel is not known");
  const auto whole = ModelTree(stretch.vessel, 0.0, 1.0);
  const auto origin = NumberOf(facts, "ostial_distance_mm");
  if (whole.ok() && origin && asked.empty()) {
    const double length = LengthOf(whole->target), occluded = NumberOf(facts, "length_angio_mm").value_or(20.0);
    stretch.from = std::clamp(*origin / length, 0.0, 0.95);
    stretch.to = std::clamp((*origin + occluded) / length, stretch.from + 0.03, 1.0);
    stretch.why += fmt::format(", {:.0f} to {:.0f} mm from its origin", *origin, *origin + occluded);
  }
  if (asking.from >= 0.0) stretch.from = asking.from;
  if (asking.to >= 0.0) stretch.to = asking.to;
  return stretch;
}

Status TakeGantry(Practice& practice, GantryReach& gantry) {
  auto lab = practice.Lab();
  if (!lab.ok()) return lab.error();
  const KnowledgeText* text = FindKnowledge(**lab, "gantry");
  if (text == nullptr) return Done{};
  auto read = GantryFromJson(text->text);
  if (!read.ok()) return Within("the lab's text \"gantry\"", read.error());
  gantry = std::move(*read);
  gantry.named = "gantry of the lab, version " + std::string(text->version);
  return Done{};
}

ViewGrid GridOf(const Asking& asking) {
  ViewGrid grid;
  const int across = static_cast<int>(asking.primary), down = static_cast<int>(asking.secondary);
  grid.columns = 2 * across + 1;
  grid.rows = 2 * down + 1;
  grid.primary0 = -across;
  grid.secondary0 = -down;
  return grid;
}

// The stretch that is asked about; its tree goes into the question.
Result<Stretch> TakeSegment(Practice& practice, const std::string& case_id, const NamedText& query, const Asking& asking, std::string_view tree, ViewQuestion& question) {
  if (!tree.empty()) {
    auto read = ParseTree(tree);
    if (!read.ok()) return read.error();
    question.tree = std::move(*read);
    return Stretch{};
  }
  auto standing = practice.Standing(case_id, {});
  if (!standing.ok()) return standing.error();
  Stretch stretch = StretchOf(WithDerived(standing->facts), query, asking);
  auto state = practice.StateOf(case_id, std::nullopt);
  if (!state.ok()) return state.error();
  auto measured = SegmentOfCase(practice, *state);
  stretch.measurable = measured.ok() && measured->has_value();
  if (!measured.ok()) stretch.why += "; the segment measured in two views cannot be measured again: " + Sentence(measured.error());
  const bool model_asked = In(query, "segment") == "model" || !In(query, "vessel").empty() || asking.from >= 0.0 || asking.to >= 0.0;
  if (stretch.measurable && !model_asked) {
    MeasuredSegment& segment = **measured;
    stretch.entry = segment.entry;
    stretch.why = "in this patient, from two views: " + segment.said;
    question.tree = std::move(segment.tree);
    return stretch;
  }
  auto model = ModelTree(stretch.vessel, stretch.from, stretch.to);
  if (!model.ok()) return model.error();
  question.tree = std::move(*model);
  return stretch;
}

std::string Chosen(const Stretch& stretch, const CaseDose& dose, const Asking& asking) {
  JsonText json;
  json.Open('{').Member("vessel", stretch.vessel).Member("from", stretch.from).Member("to", stretch.to).Member("why", stretch.why).Key("vessels").Open('[');
  for (const std::string& name : ModelVessels()) json.Text(name);
  json.Close(']').Key("entry");
  stretch.entry.empty() ? json.Null() : json.Text(stretch.entry);
  json.Member("measurable", stretch.measurable).Close('}');
  return fmt::format("{{\"seq\":{},\"limit_pct\":{:g},\"skin_from\":\"{}\",\"segment\":{},", dose.seq, asking.limit, dose.from, json.Take());
}

}  // namespace

Result<std::string> ViewsOfCase(Practice& practice, const std::string& case_id, const NamedText& query, std::string_view tree) {
  ViewQuestion question;
  Asking asking;
  if (Status taken = TakeNumbers(query, asking, question.weights); !taken.ok()) return taken.error();
  if (Status taken = TakeGantry(practice, question.gantry); !taken.ok()) return taken.error();
  const auto stretch = TakeSegment(practice, case_id, query, asking, tree, question);
  if (!stretch.ok()) return stretch.error();
  question.grid = GridOf(asking);
  auto dose = DoseOfCase(practice, case_id);
  if (!dose.ok()) return dose.error();
  question.body = dose->exposure.file.settings.body;
  if (dose->skin.peak.gray > 0.0 && !dose->skin.from_totals) {
    question.skin = SkinSoFarOf(dose->skin, dose->exposure.file.events);
    question.held = question.skin->burdened;
  }
  if (const std::string_view now = In(query, "now"); !now.empty()) {
    auto held = ParseGantry(now);
    if (!held.ok()) return Within("now", held.error());
    question.held = *held;
  }
  const ViewAdvice advice = Advise(question);
  std::optional<Spared> spared;
  if (question.skin && question.held) {
    spared = SpareSkin(question, advice.balls, advice.maps, *question.held, asking.spare_below > 0.0 ? asking.spare_below : 0.5 * question.skin->peak);
  }
  return Chosen(*stretch, *dose, asking) + AdviceJson(question, advice, spared, 2).substr(1);
}

}  // namespace fairlead
