// SPDX-License-Identifier: Apache-2.0
// Items of gates and drills, and rules: words that the log's own table does not hold.
#include <algorithm>
#include <vector>

#include "front/server/log_entry.h"
#include "measure/nearest.h"
#include "reasoning/caution/caution.h"
#include "reasoning/caution/gate.h"

namespace fairlead {
namespace {

constexpr const char* kWhere = "the log line";

void AddWords(std::vector<std::string>& items, std::string_view list) {
  while (!list.empty()) {
    const std::size_t end = std::min(list.find(' '), list.size());
    if (end > 0) items.emplace_back(list.substr(0, end));
    list.remove_prefix(std::min(end + 1, list.size()));
  }
}

std::vector<std::string> KnownItems(std::string_view gate) {
  std::vector<std::string> items;
  for (const GateItem& item : ItemsOf(gate == "drill" ? "before" : gate)) items.emplace_back(item.id);
  if (gate != "drill") return items;
  for (const Drill& drill : Drills()) {
    for (const DrillStep& step : drill.steps) items.push_back(std::string(drill.kind) + "-" + std::string(step.item));
    AddWords(items, drill.kit);
  }
  return items;
}

Status KnownItem(const RunEvent& event) {
  const std::string gate(WordOf(event, RunField::kGate)), item(WordOf(event, RunField::kItem));
  const std::vector<std::string> items = KnownItems(gate);
  if (std::ranges::find(items, item) != items.end()) return Done{};
  const std::vector<std::string_view> known(items.begin(), items.end());
  std::string to_do = DidYouMean(item, known);
  if (to_do.empty()) {
    for (const std::string_view one : known) to_do += (to_do.empty() ? "its items: " : ", ") + std::string(one);
    if (to_do.size() > 300) to_do = "the board lists its items";
  }
  return Error{"\"" + item.substr(0, 40) + "\" is no item of " + gate, kWhere, to_do};
}

Status KnownRule(const RunEvent& event) {
  std::string rule(WordOf(event, RunField::kRule));
  for (char& c : rule) c = c == 's' ? 'S' : c;
  if (FindRule(rule) == nullptr) return Error{rule + " is no rule", kWhere, "the rules are S-01 to S-56"};
  if (event.remark.empty()) return Error{"why " + rule + " is accepted is not said", kWhere, "type accept " + rule + " ; and why"};
  return Done{};
}

}  // namespace

Status CheckKnown(const RunEvent& event) {
  if (event.verb == Verb::kTick) return KnownItem(event);
  if (event.verb == Verb::kAccept) return KnownRule(event);
  return Done{};
}

}  // namespace fairlead
