// SPDX-License-Identifier: Apache-2.0
#include "record/outcome/labels.h"

#include <fmt/core.h>

#include <utility>

#include "record/outcome/answer.h"

namespace fairlead {
namespace {

constexpr double kMostResidual_pct = 30.0;  // "cto-arc-2021"_source: below it, and 30 itself is no success

struct Technical {
  LabelAnswer answer;
  std::string because;
};

Technical TechnicalOf(const ResultFindings& found, int least_flow, bool branches) {
  const auto residual = Holds(found.residual_pct, [](double pct) { return pct < kMostResidual_pct; });
  const auto flow = Holds(found.flow, [least_flow](int grade) { return grade >= least_flow; });
  const auto kept = branches ? Holds(found.branch_lost, [](bool lost) { return !lost; }) : LabelAnswer::kYes;
  std::string because = found.residual_pct ? fmt::format("residual {:g} %", *found.residual_pct) : "residual stenosis not recorded";
  because += found.flow ? fmt::format(", flow {}", *found.flow) : ", flow not recorded";
  if (branches) because += !found.branch_lost ? ", side branches not recorded" : *found.branch_lost ? ", a side branch lost" : ", side branches preserved";
  return {AllOf({residual, flow, kept}), std::move(because)};
}

std::string EventsSaid(const ResultFindings& found) {
  std::string happened, open;
  const auto say = [&](std::optional<bool> event, std::string_view name) {
    std::string& list = event ? happened : open;
    if (event && !*event) return;
    list.append(list.empty() ? "" : ", ").append(name);
  };
  say(found.death, "death");
  say(found.infarction, "infarction");
  say(found.stroke, "stroke");
  say(found.urgent_repeat, "urgent repeat");
  say(found.tamponade_treated, "tamponade treated");
  if (!happened.empty()) return happened;
  return open.empty() ? "none of them" : "not recorded until discharge: " + open;
}

}  // namespace

std::string_view LabelAnswerWord(LabelAnswer answer) {
  switch (answer) {
    case LabelAnswer::kNo: return "no";
    case LabelAnswer::kYes: return "yes";
    case LabelAnswer::kUnknown: return "not known";
  }
  return "";
}

std::vector<ResultLabel> SuccessLabels(const ResultFindings& found) {
  const Technical registry = TechnicalOf(found, 3, false), consortium = TechnicalOf(found, 2, true);
  const LabelAnswer event = AnyOf({Held(found.death), Held(found.infarction), Held(found.stroke), Held(found.urgent_repeat), Held(found.tamponade_treated)});
  const std::string events = EventsSaid(found);
  const auto procedural = [&](const Technical& technical) { return AllOf({technical.answer, Not(event)}); };
  const auto because = [&](const Technical& technical) { return technical.because + "; events: " + events; };
  return {
      {"technical-registry", "Technical success, registry form", "residual stenosis below 30 % and antegrade flow 3", "progress-2018"_source,
       registry.answer, "", registry.because},
      {"technical-arc", "Technical success, consortium form", "residual stenosis below 30 %, flow 2 or 3, important side branches preserved",
       "cto-arc-2021"_source, consortium.answer, "", consortium.because},
      {"events-in-hospital", "Major event in hospital",
       "death, infarction, stroke, urgent repeat of the vessel, or tamponade drained or operated, before discharge", "complications-2016"_source,
       event, "", events},
      {"procedural-registry", "Procedural success, registry form", "technical success in the registry form and no major event in hospital",
       "progress-2018"_source, procedural(registry), "", because(registry)},
      {"procedural-arc", "Procedural success, consortium form", "technical success in the consortium form and no major event in hospital",
       "cto-arc-2021"_source, procedural(consortium), "", because(consortium)},
  };
}

std::vector<ResultLabel> LabelsOf(const ResultFindings& found) {
  std::vector<ResultLabel> labels = SuccessLabels(found);
  labels.push_back(BleedingLabel(found));
  for (ResultLabel& label : InfarctionLabels(found)) labels.push_back(std::move(label));
  for (ResultLabel& label : KidneyLabels(found)) labels.push_back(std::move(label));
  return labels;
}

}  // namespace fairlead
