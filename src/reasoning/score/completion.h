// SPDX-License-Identifier: Apache-2.0
// What a belief can mean to a set of tests. A known fact is one law over a few cells (exact: between two neighbouring
// cut-offs every value gives the same answers). A fact that is missing has several laws, its completions: one for each
// answer that it could still have.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "casebook/fact.h"
#include "reasoning/score/definition.h"
#include "reasoning/score/score.h"

namespace fairlead {

struct Cell {
  std::string_view word;  // grade, or "yes" / "no"; empty for a number
  double number = 0.0;    // a value that stands for the cell
  bool not_determinable = false;
  bool counts_at_cut = false;  // how an ambiguous cut-off is read in this cell
  double probability = 0.0;
};
using Law = std::vector<Cell>;

// Cut-offs that a fact is compared with, sorted, and whether the special answers are scored.
struct CutOffs {
  std::vector<double> cuts;
  std::vector<double> ambiguous;
  double per = 0.0;  // also at every multiple of this
  bool unseen_scored = false;
  bool not_determinable_scored = false;
};
CutOffs CutOffsOf(std::span<const Test> tests, double per);

// All laws that `belief` may stand for; one if the fact is known. Probabilities of a law sum to 1.
std::vector<Law> Completions(const FactRow& row, const Belief& belief, const CutOffs& cut_offs,
                             const ScoreSettings& settings);

bool Holds(const Test& test, const Cell& cell);

}  // namespace fairlead
