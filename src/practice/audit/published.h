// SPDX-License-Identifier: Apache-2.0
// Each published score whose probability may be shown, as a yardstick for finished cases: what it expected of a case, and
// what of the row answers it. The tables are those of reasoning/score; nothing from memory is held against anybody.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "practice/audit/row.h"
#include "reasoning/score/definition.h"

namespace fairlead {

// What a published rate is the rate of. The bad event is what is counted: failure, trouble, no wire across.
enum class YardstickEvent {
  kFailure,       // no technical success
  kComplication,  // a major one, as the row keeps it
  kNotWithin30,   // no antegrade wire across within 30 minutes at work, all attempts before it counted
  kNotAntegrade,  // no antegrade wire across; of cases in which one was tried
};

std::string_view EventWord(YardstickEvent event);  // "technical failure", "major complication", ...

struct Yardstick {
  const ScoreDefinition* score = nullptr;
  const RateTable* table = nullptr;
  YardstickEvent event = YardstickEvent::kFailure;
  bool of_good = false;      // the rates are of the good outcome: one minus them is expected
  std::size_t slot = 0;      // of its score in the groups of a packed row
};

// Of all scores; those whose event a row does not hold are left out. At most kMostYardstickScores scores.
std::span<const Yardstick> Yardsticks();
inline constexpr std::size_t kMostYardstickScores = 8;

// Which group of a score a case fell into, from the facts of its row, from 0; kGroupUnknown while a fact is missing that
// could change it, kGroupNot where the score was not made for such a case.
inline constexpr std::int8_t kGroupUnknown = -1, kGroupNot = -2;
std::int8_t GroupOfRow(const ScoreDefinition& score, const CaseRow& row);

// "antegrade", "dissection" or "retrograde" by the dictionary's rule for a run; empty: nothing was tried, or a way of the
// lab's own.
std::string_view StrategyCategoryOf(const CaseRow& row);

}  // namespace fairlead
