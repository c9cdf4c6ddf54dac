// SPDX-License-Identifier: Apache-2.0
#include "reasoning/score/total.h"

#include <algorithm>
#include <cmath>

namespace fairlead {
namespace {

constexpr std::string_view kShare = "calcium_ct_share";
constexpr std::string_view kFullLumen = "calcium_ct_full_lumen";

std::string_view FactOf(const Slot& slot) {
  return slot.item->levels[0].test.fact;
}

std::vector<std::string_view> FactsOf(std::span<const Slot> slots) {
  std::vector<std::string_view> facts;
  for (const auto& slot : slots) {
    if (std::ranges::find(facts, FactOf(slot)) == facts.end()) facts.push_back(FactOf(slot));
  }
  return facts;
}

// What the items that read `fact` give when the fact lies in `cell`.
Piece PieceOf(std::span<const Slot> slots, std::string_view fact, const Cell& cell) {
  Piece piece;
  piece.probability = cell.probability;
  for (const auto& slot : slots) {
    if (FactOf(slot) != fact) continue;
    double points = 0.0;
    double beta = 0.0;
    if (slot.item->per > 0.0) {
      points = std::max(0.0, std::floor(cell.number / slot.item->per)) * slot.item->levels[0].points;
    } else {
      const auto level =
          std::ranges::find_if(slot.item->levels, [&cell](const Level& l) { return Holds(l.test, cell); });
      if (level != slot.item->levels.end()) {
        points = level->points;
        beta = level->beta;
      }
    }
    (slot.second ? piece.other_halves : piece.halves) += static_cast<int>(std::lround(2.0 * points));
    piece.beta += beta;
  }
  return piece;
}

void AddPiece(Pieces& pieces, const Piece& piece) {
  if (piece.probability <= 0.0) return;
  const auto same = std::ranges::find_if(pieces, [&piece](const Piece& known) {
    return known.halves == piece.halves && known.other_halves == piece.other_halves && known.beta == piece.beta;
  });
  if (same == pieces.end()) {
    pieces.push_back(piece);
  } else {
    same->probability += piece.probability;
  }
}

bool Same(const Pieces& a, const Pieces& b) {
  return std::ranges::equal(a, b, [](const Piece& x, const Piece& y) {
    return x.halves == y.halves && x.other_halves == y.other_halves && x.beta == y.beta &&
           x.probability == y.probability;
  });
}

void AddCompletion(Part& part, Pieces pieces) {
  const bool known = std::ranges::any_of(part.completions, [&pieces](const Pieces& p) { return Same(p, pieces); });
  if (!known) part.completions.push_back(std::move(pieces));
}

std::vector<Law> LawsOf(std::span<const Slot> slots, std::string_view fact, const Beliefs& beliefs,
                        const ScoreSettings& settings) {
  std::vector<Test> tests;
  double per = 0.0;
  for (const auto& slot : slots) {
    if (FactOf(slot) != fact) continue;
    per = std::max(per, slot.item->per);
    for (const auto& level : slot.item->levels) tests.push_back(level.test);
  }
  const FactRow& row = *FindFact(fact);
  return Completions(row, Look(beliefs, row), CutOffsOf(tests, per), settings);
}

Part PartOf(std::span<const Slot> slots, std::string_view fact, const Beliefs& beliefs, const ScoreSettings& settings) {
  Part part{{fact}, {}, {}};
  for (const auto& law : LawsOf(slots, fact, beliefs, settings)) {
    Pieces pieces;
    for (const auto& cell : law) AddPiece(pieces, PieceOf(slots, fact, cell));
    AddCompletion(part, std::move(pieces));
  }
  if (part.completions.size() > 1) part.missing.push_back(fact);
  return part;
}

// Calcium across the whole lumen means a share of 1, whatever share was read; the reverse does not hold. While nobody
// has said whether the whole lumen is filled, scores that do not ask for it take the share as it stands.
Part CalciumPart(std::span<const Slot> slots, bool asks_full, const Beliefs& beliefs, const ScoreSettings& settings) {
  const auto* full = std::get_if<FlagOdds>(&Look(beliefs, *FindFact(kFullLumen)));
  std::vector<double> full_odds;
  if (full != nullptr) {
    full_odds = {full->yes};
  } else if (asks_full) {
    full_odds = {0.0, 1.0};
  } else {
    full_odds = {0.0};
  }
  const auto share_laws = LawsOf(slots, kShare, beliefs, settings);
  Part part{{kShare}, {}, {}};
  if (asks_full) part.facts.push_back(kFullLumen);
  for (const double yes : full_odds) {
    Piece filled = PieceOf(slots, kShare, Cell{{}, 1.0, false, false, yes});
    const Piece if_yes = PieceOf(slots, kFullLumen, Cell{"yes"});
    filled.halves += if_yes.halves;
    filled.other_halves += if_yes.other_halves;
    for (const auto& law : share_laws) {
      Pieces pieces;
      AddPiece(pieces, filled);
      for (Cell cell : law) {
        cell.probability *= 1.0 - yes;
        AddPiece(pieces, PieceOf(slots, kShare, cell));
      }
      AddCompletion(part, std::move(pieces));
    }
  }
  if (share_laws.size() > 1 && full_odds != std::vector<double>{1.0}) part.missing.push_back(kShare);
  if (full_odds.size() > 1) part.missing.push_back(kFullLumen);
  return part;
}

}  // namespace

const Belief& Look(const Beliefs& beliefs, const FactRow& row) {
  if (beliefs.instead != nullptr && row.name == beliefs.instead_fact) return *beliefs.instead;
  return BeliefOf(beliefs.facts, {std::string(row.name), row.per_channel ? beliefs.of : std::string()});
}

std::vector<Slot> SlotsOf(const ScoreDefinition& score, bool second) {
  std::vector<Slot> slots;
  for (const auto& item : score.items) slots.push_back({&item, second});
  return slots;
}

std::vector<Part> PartsOf(std::span<const Slot> slots, const Beliefs& beliefs, const ScoreSettings& settings) {
  const auto facts = FactsOf(slots);
  const bool asks_share = std::ranges::find(facts, kShare) != facts.end();
  const bool asks_full = std::ranges::find(facts, kFullLumen) != facts.end();
  std::vector<Part> parts;
  for (const auto fact : facts) {
    if (fact == kShare) {
      parts.push_back(CalciumPart(slots, asks_full, beliefs, settings));
    } else if (fact != kFullLumen || !asks_share) {
      parts.push_back(PartOf(slots, fact, beliefs, settings));
    }
  }
  return parts;
}

TotalLaw Convolved(const TotalLaw& law, const Pieces& pieces) {
  int most = 0;
  for (const auto& piece : pieces) most = std::max(most, piece.halves);
  TotalLaw sum(law.size() + static_cast<std::size_t>(most), 0.0);
  for (const auto& piece : pieces) {
    for (std::size_t i = 0; i < law.size(); ++i)
      sum[i + static_cast<std::size_t>(piece.halves)] += law[i] * piece.probability;
  }
  return sum;
}

std::vector<TotalLaw> TotalLaws(std::span<const Part> parts) {
  std::vector<TotalLaw> laws{{1.0}};
  for (const auto& part : parts) {  // missing facts first: their laws are single totals, many of them equal
    if (part.completions.size() == 1) continue;
    std::vector<TotalLaw> next;
    for (const auto& law : laws) {
      for (const auto& pieces : part.completions) {
        auto sum = Convolved(law, pieces);
        while (sum.back() == 0.0) sum.pop_back();
        if (std::ranges::find(next, sum) == next.end()) next.push_back(std::move(sum));
      }
    }
    laws = std::move(next);
  }
  for (const auto& part : parts) {
    if (part.completions.size() != 1) continue;
    for (auto& law : laws) law = Convolved(law, part.completions[0]);
  }
  return laws;
}

}  // namespace fairlead
