// SPDX-License-Identifier: Apache-2.0
#include "practice/registry/registry.h"

#include <algorithm>
#include <set>

namespace fairlead {

void AddVisits(Registry& registry, const std::string& case_id, const CaseVisits& found) {
  if (!found.withheld.empty()) registry.withheld.push_back({case_id, found.withheld});
  for (const LabVisit& visit : found.visits) {
    const auto later = [](const LabVisit& a, const LabVisit& b) {
      return a.row.began != b.row.began ? a.row.began < b.row.began : a.row.id < b.row.id;
    };
    registry.visits.insert(std::upper_bound(registry.visits.begin(), registry.visits.end(), visit, later), visit);
  }
}

std::string UnsignedSentence(const Registry& registry) {
  const auto waiting = std::count_if(registry.visits.begin(), registry.visits.end(), [](const LabVisit& visit) { return !visit.signed_at; });
  if (waiting == 0) return {};
  if (registry.visits.size() == 1) return "The one visit logged here is not signed yet: it is counted as it stands, and may still change.";
  return std::to_string(waiting) + " of the " + std::to_string(registry.visits.size()) + " visits logged here " + (waiting == 1 ? "is" : "are") +
         " not signed yet: they are counted as they stand, and may still change.";
}

void AddCase(Registry& registry, const std::string& case_id, const State& state) { AddVisits(registry, case_id, VisitsOf(case_id, state)); }

std::vector<CaseRow> RowsTogether(std::span<const CaseRow> past, const Registry& registry) {
  std::set<std::string_view> own;  // ids that have their row
  std::vector<CaseRow> rows;
  for (const LabVisit& visit : registry.visits) {
    own.insert(visit.row.id);
    rows.push_back(visit.row);
  }
  for (const CaseRow& row : past) {
    if (own.insert(row.id).second) rows.push_back(row);  // of two imported under one id the first
  }
  return rows;
}

}  // namespace fairlead
