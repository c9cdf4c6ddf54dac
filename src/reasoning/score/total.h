// SPDX-License-Identifier: Apache-2.0
// The law of a total. Each fact contributes points on its own (a fact that feeds two items, or two scores, is one
// random thing), so the exact law of the total is the convolution of the contributions; missing facts give one law for
// each way of completing them.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/fact.h"
#include "reasoning/score/completion.h"
#include "reasoning/score/definition.h"

namespace fairlead {

// Points are counted in halves, so that 1.5 is a whole number.
struct Piece {
  int halves = 0;        // points to the first score
  int other_halves = 0;  // points to the second, when two are looked at together
  double beta = 0.0;     // weight in the first score's model
  double probability = 0.0;
};
using Pieces = std::vector<Piece>;

// What one fact (or calcium's share together with calcium of the whole lumen) contributes.
struct Part {
  std::vector<std::string_view> facts;
  std::vector<std::string_view> missing;  // those of `facts` that are missing
  std::vector<Pieces> completions;
};

// Where beliefs come from: the facts, the channel, and one belief put in place of a fact's own ("what if").
struct Beliefs {
  const Facts& facts;
  std::string of;
  std::string_view instead_fact{};
  const Belief* instead = nullptr;
};
const Belief& Look(const Beliefs& beliefs, const FactRow& row);

struct Slot {
  const ScoreItem* item = nullptr;
  bool second = false;  // belongs to the second score
};
std::vector<Slot> SlotsOf(const ScoreDefinition& score, bool second = false);
std::vector<Part> PartsOf(std::span<const Slot> slots, const Beliefs& beliefs, const ScoreSettings& settings);

// Probability of each total, index in half points; one law for each way of completing the missing facts, no two equal.
using TotalLaw = std::vector<double>;
std::vector<TotalLaw> TotalLaws(std::span<const Part> parts);

// The law of the sum of a total and one more contribution.
TotalLaw Convolved(const TotalLaw& law, const Pieces& pieces);

// Below this a total is a tail of the normal law and not counted among those that can occur.
inline constexpr double kNegligible = 1e-9;

}  // namespace fairlead
