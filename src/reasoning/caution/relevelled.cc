// SPDX-License-Identifier: Apache-2.0
#include <nlohmann/json.hpp>

#include "reasoning/caution/caution.h"

namespace fairlead {
namespace {
using nlohmann::json;

Error RuleFault(const std::string& where, std::string what) { return {std::move(what), where, "correct the lab's rules"}; }

Result<Relevelled> ReadOne(const std::string& id, const json& said) {
  const std::string where = "rules." + id.substr(0, 40);
  if (FindRule(id) == nullptr) return RuleFault(where, "there is no such rule");
  if (!said.is_object()) return RuleFault(where, "this is not an object");
  Relevelled change{id, false, std::nullopt, ""};
  for (const auto& [name, value] : said.items()) {
    if (name == "off" && value.is_boolean()) change.off = value.get<bool>();
    else if (name == "why" && value.is_string() && value.get_ref<const std::string&>().size() <= 400) change.why = value.get<std::string>();
    else if (name == "severity" && value == "info") change.severity = Severity::kInfo;
    else if (name == "severity" && value == "caution") change.severity = Severity::kCaution;
    else if (name == "severity" && value == "stop and think") change.severity = Severity::kStop;
    else return RuleFault(where + "." + name.substr(0, 40), "this is not understood: off, severity and why are");
  }
  if (change.why.empty()) return RuleFault(where, "why is missing: no rule is changed silently");
  return change;
}

}  // namespace

Result<std::vector<Relevelled>> RelevelledFromJson(std::string_view text) {
  const json tree = json::parse(text, nullptr, false);
  if (!tree.is_object()) return RuleFault("rules", "this is not an object");
  std::vector<Relevelled> changes;
  for (const auto& [id, said] : tree.items()) {
    auto change = ReadOne(id, said);
    if (!change.ok()) return change.error();
    changes.push_back(std::move(*change));
  }
  return changes;
}

}  // namespace fairlead
