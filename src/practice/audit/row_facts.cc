// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>

#include "casebook/fact.h"
#include "practice/audit/row.h"

namespace fairlead {
namespace {

// What is known before a case and bears on how it goes; each name is a row of the dictionary, a test holds that.
constexpr std::array<std::string_view, 19> kNames = {
    "age_years",           "bend_angio_deg", "calcification_angio", "distal_landing_zone_diseased", "egfr",
    "graft_to_occluded_vessel", "interventional_collateral", "length_angio_mm", "lvef_pct", "ostial", "previous_failed_attempts",
    "prior_cabg",          "proximal_cap_ambiguous", "proximal_tortuosity", "rentrop", "sex", "side_branch_at_cap", "stump_angio", "tortuosity_weighted_score"};

std::vector<RowFactKind> Kinds() {
  std::vector<RowFactKind> kinds;
  for (const std::string_view name : kNames) {
    const FactRow* row = FindFact(name);
    if (row == nullptr) continue;
    const bool number = row->type == FactType::kCount || row->type == FactType::kReading;
    kinds.push_back({name, row->type == FactType::kGrade ? row->grades : std::span<const std::string_view>{}, number ? row->low : 0, number ? row->high : 0});
  }
  return kinds;
}

}  // namespace

std::span<const RowFactKind> RowFacts() {
  static const std::vector<RowFactKind> kKinds = Kinds();
  return kKinds;
}

const RowFactKind* FindRowFact(std::string_view name) {
  const auto kinds = RowFacts();
  const auto found = std::find_if(kinds.begin(), kinds.end(), [&](const RowFactKind& kind) { return kind.name == name; });
  return found == kinds.end() ? nullptr : &*found;
}

}  // namespace fairlead
