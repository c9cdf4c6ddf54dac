// SPDX-License-Identifier: Apache-2.0
// What the audit keeps of one finished case. Ids and figures only: no name of a patient, no free text.
#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "measure/instant.h"
#include "measure/result.h"

namespace fairlead {

// One attempt with one strategy.
struct Try {
  std::string strategy;   // "AW", "ADR", "RW", "RDR" or the lab's own word
  double minutes = 0;
  bool crossed = false;
  std::string reason{};                  // why it was left, a code of the log's; empty: not said, or it crossed
  std::optional<double> stalled_min{};   // at work from its last progress to its end; of one that did not cross
  std::string ladder{};                  // way that the ladder on the screen put next when it was last shown before this one was left, as it names it ("RW/RDR"); empty: it was not
};

// What a row counts of the kit that was used.
inline constexpr std::array<std::string_view, 8> kCountedKit = {"wire", "microcatheter", "balloon", "stent", "guide", "extension", "ultrasound", "snare"};

// A fact of the lesion or patient as a row keeps it, from before the case: its most probable value, no spread. In the
// dictionary's unit; a grade by its word.
using RowFact = std::variant<bool, double, std::string>;

struct CaseRow {
  std::string id;
  Instant began;
  std::string by;                        // the operator, as the lab writes them
  std::string vessel;
  std::optional<int> j_cto;              // 0 to 5
  std::vector<Try> tries;                // in the order in which they were made
  std::optional<bool> success;           // technical success
  std::optional<bool> complication;      // a major one
  std::optional<double> minutes, contrast_ml, air_kerma_gy;
  bool invented = false;
  std::map<std::string, RowFact, std::less<>> facts;  // by the dictionary's names, of RowFacts() only
  std::map<std::string, int, std::less<>> kit{};      // how many of each kind of kCountedKit; empty: nobody counted
};

// Which facts a row keeps: what a plan is compared by. Names of the dictionary.
struct RowFactKind {
  std::string_view name;
  std::span<const std::string_view> words;  // of a grade, from least to most; empty for a flag or a number
  double low = 0, high = 0;                 // of a number, as the dictionary refuses; both 0 for a flag or a grade
};
std::span<const RowFactKind> RowFacts();
const RowFactKind* FindRowFact(std::string_view name);  // null if a row does not keep it

// The lab's knowledge under this name holds the cases from before the journal was kept.
inline constexpr std::string_view kPastCases = "past-cases";

// {"cases": [{"case", "began", "by", "vessel"?, "j_cto"?, "tries"?: [{"strategy", "minutes", "crossed", "reason"?, "ladder"?, "stalled_min"?}], "kit"?: {kind: count},
//  "success"?, "complication"?, "minutes"?, "contrast_ml"?, "air_kerma_gy"?, "facts"?: {name: value}, "invented"?}]}; names beginning with "_" are remarks.
// At most 8 MiB, 100,000 cases. Errors name the case and the member.
Result<std::vector<CaseRow>> ParseCaseRows(std::string_view text);
std::string CaseRowsJson(const std::vector<CaseRow>& rows);

}  // namespace fairlead
