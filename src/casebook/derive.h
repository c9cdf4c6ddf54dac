// SPDX-License-Identifier: Apache-2.0
// What follows from the facts without asking anyone: each derived fact with its rule in words, and remarks where facts
// do not go together. Nothing stated is ever overwritten by a derivation.
#pragma once

#include <chrono>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/fact.h"

namespace fairlead {

struct DerivedFact {
  FactKey key;
  Belief belief;
  std::string rule;              // one sentence, for the history of the fact
  std::vector<FactKey> because;  // the facts that it was made of
};

struct Remark {
  std::string text;
  std::vector<std::string> because;  // names of facts
};

// Derivations: vessel from segment; native or graft from vessel; tortuosity grade from the bends before the cap; usable
// collateral from the channels; category of strategy from what was tried; anaemia from haematocrit and sex; certainty
// that the occlusion is chronic. A fact that is stated is not derived again.
std::vector<DerivedFact> Derive(const Facts& stated);

// Stated facts with the derived ones added.
Facts WithDerived(const Facts& stated);

// Facts that contradict each other or ask for a second look. Takes facts with derived ones added.
std::vector<Remark> Contradictions(const Facts& facts);

// Grade of tortuosity before the cap from its bends (deflection angles, degrees): moderate from two bends > 70 or one
// > 90, severe from two > 90 or one > 120, else none (no bend) or mild. Registry rule, from memory.
std::string_view RegistryTortuosity(const std::vector<double>& bends_deg);

// The other rule in use: severe from one bend >= 90 or three of 45 to 90 degrees. From memory.
bool SyntaxTortuositySevere(const std::vector<double>& bends_deg);

// Completed calendar months from one day to a later one: 10 January to 10 April is 3, whatever the days between.
int CompletedMonths(std::chrono::year_month_day from, std::chrono::year_month_day to);

// "LAD", "LCX", "RCA", "LM" of a segment of the SYNTAX numbering ("6", "9a", "12b"); empty if there is no such segment.
std::string_view VesselOfSegment(std::string_view segment);

}  // namespace fairlead
