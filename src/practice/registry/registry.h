// SPDX-License-Identifier: Apache-2.0
// The registry of a practice: its visits from the journals, and the cases from before; what the audit reads and what
// leaves as tables with their dictionary.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "practice/audit/row.h"
#include "practice/registry/visit.h"

namespace fairlead {

struct WithheldCase {
  std::string case_id, why;
};

struct Registry {
  std::vector<LabVisit> visits;            // by the time they began, ties by id
  std::vector<WithheldCase> withheld;   // closed, and yet without a row
};

// "2 of the 5 visits logged here are not signed yet: ..."; empty where all are.
std::string UnsignedSentence(const Registry& registry);

void AddCase(Registry& registry, const std::string& case_id, const State& state);
void AddVisits(Registry& registry, const std::string& case_id, const CaseVisits& found);

// Past cases and visits together. An id that both have counts once, as the journal says it.
std::vector<CaseRow> RowsTogether(std::span<const CaseRow> past, const Registry& registry);

// One table of the export: "visits", "attempts", "devices", "troubles", "dictionary".
struct RegistryTable {
  std::string name;
  std::vector<std::string> head;
  std::vector<std::vector<std::string>> rows;  // empty: unknown
};
std::vector<RegistryTable> TablesOf(const Registry& registry);

// RFC 4180, lines end with CR LF. A cell that a spreadsheet would take for a formula is kept as text by an apostrophe.
std::string CsvText(const RegistryTable& table);

// {"visits": [...], "withheld": [...]}; members as the columns of the tables, unknown as null.
std::string RegistryJson(const Registry& registry);

}  // namespace fairlead
