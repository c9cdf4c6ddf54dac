// SPDX-License-Identifier: Apache-2.0
#include "front/server/shown.h"

#include <fmt/core.h>

#include "casebook/derive.h"
#include "casebook/entry_text.h"
#include "reasoning/score/score.h"

namespace fairlead {
namespace {

// Whole per cent; what is not 0 or 100 never reads as 0 or 100.
std::string Percent(double share) {
  if (share > 0.0 && share < 0.01) return "<1 %";
  if (share < 1.0 && share > 0.99) return ">99 %";
  return fmt::format("{:.0f} %", share * 100.0);
}

std::string Listed(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
  return text;
}

std::string GroupText(const ScoreResult& result) {
  std::string text;
  if (result.group) {
    for (const auto& [name, share] : *result.group) {
      text += (text.empty() ? "" : ", ") + name + " " + Percent(share);
    }
    return text;
  }
  return Listed(result.reachable_groups);
}

std::string OutcomeText(const OutcomeResult& outcome) {
  std::string text = outcome.what + " ";
  if (outcome.value) text += fmt::format("{:.3g}", *outcome.value);
  if (outcome.low && outcome.high && (!outcome.value || *outcome.low != *outcome.high)) {
    text += fmt::format("{}{:.3g} to {:.3g}", outcome.value ? " (" : "", *outcome.low, *outcome.high);
    if (outcome.value) text += ")";
  }
  return text + (outcome.factor ? " times [" : " [") + std::string(outcome.source.id) + ", " + outcome.checked + "]";
}

std::string ScoreLine(const ScoreResult& result) {
  std::string line = TotalText(result);
  if (!result.applies) return line + (result.why.empty() ? "" : ": " + result.why);
  if (const std::string groups = GroupText(result); !groups.empty()) line += "; " + groups;
  for (const OutcomeResult& outcome : result.outcome) {
    if (outcome.value || outcome.low) line += "; " + OutcomeText(outcome);
  }
  if (!result.missing.empty()) line += "; missing: " + Listed(result.missing);
  return line;
}

}  // namespace

std::string TotalText(const ScoreResult& result) {
  std::string name(result.definition->name);
  if (!result.of.empty()) name += " (" + result.of + ")";
  if (!result.applies) return name + " does not apply";
  if (result.definition->status == ScoreStatus::kHold) return name + " on hold, no total";
  if (!result.totals || result.totals->empty()) return fmt::format("{} {:g} to {:g}", name, result.low, result.high);
  const double first = result.totals->begin()->first;
  const double last = result.totals->rbegin()->first;
  if (first == last) return fmt::format("{} {:g}", name, first);
  std::string text = name + " ";
  const char* between = "";
  for (const auto& [total, chance] : *result.totals) {
    text += fmt::format("{}{:g} ({})", between, total, Percent(chance));
    between = ", ";
  }
  return text;
}

std::string ShownText(const Assessment& assessment) {
  std::string text;
  std::size_t left_out = 0;
  const auto add = [&](const std::string& line) {
    if (text.size() + line.size() + 80 > kLongestShown) ++left_out;
    else text += line + "\n";
  };
  for (const ScoreResult& result : assessment.scores) add(ScoreLine(result));
  for (const Disagreement& disagreement : assessment.disagreement) add("disagreement: " + disagreement.text);
  for (const Remark& remark : assessment.remarks) add("remark: " + remark.text);
  if (left_out > 0) text += fmt::format("{} more lines were shown\n", left_out);
  return text;
}

std::string SummaryLine(const Facts& stated) {
  if (stated.empty()) return {};
  const Facts facts = WithDerived(stated);
  std::string line;
  const auto add = [&](const std::string& text) { line += (line.empty() ? "" : ", ") + text; };
  for (const std::string_view name : {"occluded_vessel", "length_angio_mm"}) {
    const Belief& belief = BeliefOf(facts, {std::string(name), {}});
    if (!std::holds_alternative<Unknown>(belief)) add(BeliefText(*FindFact(name), belief));
  }
  if (const ScoreDefinition* score = FindScore("j-cto"); score != nullptr) add(TotalText(Evaluate(*score, facts)));
  return line;
}

}  // namespace fairlead
