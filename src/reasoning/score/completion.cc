// SPDX-License-Identifier: Apache-2.0
#include "reasoning/score/completion.h"

#include <algorithm>
#include <cmath>

#include "measure/normal.h"

namespace fairlead {
namespace {

constexpr double kFarthest = 8.5;  // standard deviations; beyond them the normal law holds less than 1e-16
constexpr int kMostMultiples = 400;

Law Point(Cell cell) {
  cell.probability = 1.0;
  return {cell};
}
Law Point(double number) {
  return Point(Cell{{}, number});
}

// The cuts that matter up to `high`: those of the tests and the multiples of `per`.
std::vector<double> AllCuts(const CutOffs& cut_offs, double high) {
  std::vector<double> cuts = cut_offs.cuts;
  if (cut_offs.per > 0.0) {
    for (int i = 1; i <= kMostMultiples && i * cut_offs.per <= high; ++i) cuts.push_back(i * cut_offs.per);
    std::ranges::sort(cuts);
    cuts.erase(std::unique(cuts.begin(), cuts.end()), cuts.end());
  }
  return cuts;
}

// A value that stands for the open interval left of cut i (i = 0: below all, i = size: above all).
double Between(const std::vector<double>& cuts, std::size_t i) {
  if (cuts.empty()) return 0.0;
  if (i == 0) return cuts.front() - 1.0;
  if (i == cuts.size()) return cuts.back() + 1.0;
  return 0.5 * (cuts[i - 1] + cuts[i]);
}

Law NormalLaw(double mean, double sd, const CutOffs& cut_offs) {
  const auto cuts = AllCuts(cut_offs, mean + kFarthest * sd);
  Law law;
  double below = 0.0;
  for (std::size_t i = 0; i <= cuts.size(); ++i) {
    const double up_to = i == cuts.size() ? 1.0 : NormalCdf(cuts[i], mean, sd);
    if (up_to > below) law.push_back({{}, Between(cuts, i), false, false, up_to - below});
    below = up_to;
  }
  return law;
}

// At an ambiguous cut-off the value counts or does not; elsewhere there is one law.
std::vector<Law> ExactLaws(double value, const CutOffs& cut_offs, const ScoreSettings& settings) {
  if (std::ranges::find(cut_offs.ambiguous, value) == cut_offs.ambiguous.end()) return {Point(value)};
  const Cell not_counted{{}, value, false, false};
  const Cell counted{{}, value, false, true};
  switch (settings.j_cto_length_at_20_mm) {
    case AtTwenty::kCounts:
      return {Point(counted)};
    case AtTwenty::kCountsNot:
      return {Point(not_counted)};
    case AtTwenty::kUnknown:
      break;
  }
  return {Point(not_counted), Point(counted)};
}

std::vector<Law> UnknownNumber(const FactRow& row, const CutOffs& cut_offs) {
  const auto cuts = AllCuts(cut_offs, row.high);
  std::vector<Law> laws;
  for (std::size_t i = 0; i <= cuts.size(); ++i) {
    // Cut-offs outside the plausible range leave no room on their far side.
    if ((i == 0 || cuts[i - 1] < row.high) && (i == cuts.size() || cuts[i] > row.low)) {
      laws.push_back(Point(Between(cuts, i)));
    }
    if (i < cuts.size() && cuts[i] >= row.low && cuts[i] <= row.high) laws.push_back(Point(cuts[i]));
  }
  if (cut_offs.not_determinable_scored) laws.push_back(Point(Cell{{}, 0.0, true}));
  return laws;
}

std::vector<Law> UnknownWord(const FactRow& row, const CutOffs& cut_offs) {
  if (row.type == FactType::kFlag) return {Point(Cell{"no"}), Point(Cell{"yes"})};
  std::vector<Law> laws;
  for (const auto grade : row.grades) {
    if (grade != "unseen" || cut_offs.unseen_scored) laws.push_back(Point(Cell{grade}));
  }
  return laws;
}

std::vector<Law> UnknownFact(const FactRow& row, const CutOffs& cut_offs) {
  const bool number = row.type == FactType::kCount || row.type == FactType::kReading;
  return number ? UnknownNumber(row, cut_offs) : UnknownWord(row, cut_offs);
}

// Odds between grades. The share of "unseen", where it is not scored, may be any grade.
std::vector<Law> GradeLaws(const FactRow& row, const GradeOdds& grade, const CutOffs& cut_offs) {
  Law known;
  double unseen = 0.0;
  for (const auto& [word, odds] : grade.odds) {
    if (word == "unseen" && !cut_offs.unseen_scored) {
      unseen = odds;
    } else {
      known.push_back({word, 0.0, false, false, odds});
    }
  }
  if (unseen == 0.0) return {known};
  std::vector<Law> laws = UnknownWord(row, cut_offs);
  for (auto& law : laws) {
    law[0].probability = unseen;
    law.insert(law.end(), known.begin(), known.end());
  }
  return laws;
}

}  // namespace

CutOffs CutOffsOf(std::span<const Test> tests, double per) {
  CutOffs cut_offs;
  cut_offs.per = per;
  for (const auto& test : tests) {
    if (test.compare == Compare::kNotDeterminable) {
      cut_offs.not_determinable_scored = true;
    } else if (test.compare == Compare::kIn || test.compare == Compare::kNotIn) {
      if (std::ranges::find(test.words, "unseen") != test.words.end()) cut_offs.unseen_scored = true;
    } else if (per == 0.0) {
      cut_offs.cuts.push_back(test.cut);
      if (test.compare == Compare::kAboveAmbiguous) cut_offs.ambiguous.push_back(test.cut);
    }
  }
  std::ranges::sort(cut_offs.cuts);
  cut_offs.cuts.erase(std::unique(cut_offs.cuts.begin(), cut_offs.cuts.end()), cut_offs.cuts.end());
  return cut_offs;
}

std::vector<Law> Completions(const FactRow& row, const Belief& belief, const CutOffs& cut_offs,
                             const ScoreSettings& settings) {
  if (const auto* flag = std::get_if<FlagOdds>(&belief)) {
    Law law;
    if (flag->yes < 1.0) law.push_back({"no", 0.0, false, false, 1.0 - flag->yes});
    if (flag->yes > 0.0) law.push_back({"yes", 0.0, false, false, flag->yes});
    return {law};
  }
  if (const auto* grade = std::get_if<GradeOdds>(&belief)) return GradeLaws(row, *grade, cut_offs);
  if (const auto* number = std::get_if<Number>(&belief)) {
    if (number->sd.value_or(0.0) > 0.0) return {NormalLaw(number->value, *number->sd, cut_offs)};
    return ExactLaws(number->value, cut_offs, settings);
  }
  if (std::holds_alternative<Unseen>(belief) && cut_offs.unseen_scored) return {Point(Cell{"unseen"})};
  if (std::holds_alternative<NotDeterminable>(belief) && cut_offs.not_determinable_scored) {
    return {Point(Cell{{}, 0.0, true})};
  }
  return UnknownFact(row, cut_offs);
}

bool Holds(const Test& test, const Cell& cell) {
  const bool number = !cell.not_determinable;
  switch (test.compare) {
    case Compare::kIn:
      return std::ranges::find(test.words, cell.word) != test.words.end();
    case Compare::kNotIn:
      return std::ranges::find(test.words, cell.word) == test.words.end();
    case Compare::kAtLeast:
      return number && cell.number >= test.cut;
    case Compare::kAbove:
      return number && cell.number > test.cut;
    case Compare::kAtMost:
      return number && cell.number <= test.cut;
    case Compare::kBelow:
      return number && cell.number < test.cut;
    case Compare::kAboveAmbiguous:
      return number && (cell.number > test.cut || (cell.number == test.cut && cell.counts_at_cut));
    case Compare::kNotDeterminable:
      return cell.not_determinable;
  }
  return false;
}

}  // namespace fairlead
