// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "reasoning/caution/rule.h"

namespace fairlead {
namespace {

std::vector<Rule> Gathered() {
  std::vector<Rule> rules;
  for (const auto part : {BloodRules(), TotalRules(), KitRules(), TroubleRules(), AttemptRules(), CloseRules(), AortaRules()})
    rules.insert(rules.end(), part.begin(), part.end());
  return rules;
}

}  // namespace

std::span<const Rule> Rules() {
  static const std::vector<Rule> rules = Gathered();
  return rules;
}

const Rule* FindRule(std::string_view id) {
  const auto rules = Rules();
  const auto found = std::ranges::find(rules, id, &Rule::id);
  return found == rules.end() ? nullptr : &*found;
}

}  // namespace fairlead
