// SPDX-License-Identifier: Apache-2.0
// facts, score, assess.
#include <fmt/core.h>

#include <algorithm>

#include "casebook/entry_text.h"
#include "casebook/fact_json.h"
#include "casebook/schema.h"
#include "front/cli/commands.h"
#include "front/cli/reader.h"
#include "front/cli/run.h"
#include "front/cli/terminal.h"
#include "front/server/case_json.h"
#include "measure/nearest.h"
#include "front/server/random.h"
#include "front/server/run_json.h"
#include "front/server/shown.h"
#include "reasoning/assess/assess.h"
#include "reasoning/assess/assess_json.h"

namespace fairlead {
namespace {

constexpr std::string_view kCaution =
    "For trained operators: published figures of other cohorts. Local protocols and the responsible physician decide.";

std::string StatusWord(ScoreStatus status) {
  switch (status) {
    case ScoreStatus::kFull: return "FULL";
    case ScoreStatus::kCheck: return "CHECK";
    case ScoreStatus::kPoints: return "POINTS";
    case ScoreStatus::kHold: return "HOLD";
  }
  return "";
}

std::string Joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : ", ") + word;
  return text;
}

std::string GroupsOf(const ScoreResult& result) {
  if (!result.group) return Joined(result.reachable_groups);
  std::string text;
  for (const auto& [name, share] : *result.group) text += fmt::format("{}{} {:.0f} %", text.empty() ? "" : ", ", name, share * 100);
  return text;
}

void PrintScores(const Assessment& assessment, std::string_view only) {
  std::vector<std::vector<std::string>> rows = {{"score", "status", "group", "missing"}};
  for (const ScoreResult& result : assessment.scores) {
    if (!only.empty() && result.definition->id != only) continue;
    rows.push_back({TotalText(result), StatusWord(result.definition->status),
                    result.applies ? GroupsOf(result) : result.why, Joined(result.missing)});
  }
  Print(Table(rows));
  for (const Disagreement& disagreement : assessment.disagreement) Print("disagreement: " + disagreement.text);
  for (const Remark& remark : assessment.remarks) Print("remark: " + remark.text);
  Print(kCaution);
}

}  // namespace

int ListFacts(const Arguments& arguments) {
  if (arguments.json) {
    Print(DictionaryJson());
    return 0;
  }
  std::vector<std::vector<std::string>> rows = {{"name", "group", "type", "unit", "what it is"}};
  for (const FactRow& row : Dictionary()) {
    rows.push_back({std::string(row.name), std::string(GroupWord(row.group)), std::string(TypeWord(row.type)),
                    std::string(row.unit), std::string(row.label)});
  }
  Print(Table(rows));
  return 0;
}

int ScoreFacts(const Arguments& arguments) {
  if (!arguments.only.empty() && FindScore(arguments.only) == nullptr) {
    std::vector<std::string_view> ids;
    for (const ScoreDefinition* score : AllScores()) ids.push_back(score->id);
    std::string hint = DidYouMean(arguments.only, ids);
    if (hint.empty()) hint = "fairlead score FACTS.json lists them";
    return Fail(Error{"there is no such score", "--only " + arguments.only, hint, Fault::kUsage});
  }
  const std::string path = arguments.files.front().string();
  auto text = ReadText(path);
  if (!text.ok()) return Fail(text.error());
  auto facts = ParseFacts(*text);
  if (!facts.ok()) return Fail(Within(path, facts.error()));
  const Assessment assessment = Assess(*facts);
  if (arguments.json) Print(ScoresJson(assessment, arguments.only));
  else PrintScores(assessment, arguments.only);
  return 0;
}

int AssessCase(const Arguments& arguments) {
  auto read = ReadEntries(arguments);
  if (!read.ok()) return Fail(read.error());
  auto state = StateAsked(arguments, std::move(read->entries));
  if (!state.ok()) return Fail(state.error());
  const Assessment assessment = Assess(StandingFacts(*state));
  const Instant now = state->until ? *state->until : arguments.at.empty() ? Now() : *ParseIso(arguments.at);
  auto lab = ReadLab(arguments, arguments.known ? std::optional(now) : std::nullopt);
  if (!lab.ok()) return Fail(lab.error());
  auto run = RunPanelOf(*state, *lab, now);
  if (!run.ok()) return Fail(run.error());
  if (arguments.json) {
    std::string json = AssessmentJson(assessment, state->seq);
    json.pop_back();
    Print(json + ",\"run\":" + run->json + "}");
  } else {
    PrintScores(assessment, {});
    PrintRun(*state, *lab, now);
  }
  return 0;
}

}  // namespace fairlead
