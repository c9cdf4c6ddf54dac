// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "measure/source.h"
#include "practice/similar/similar.h"

namespace fairlead {
namespace {

[[maybe_unused]] constexpr SourceId kMethod = "similarity-1971"_source;

// Twice for what the crossing algorithms ask first (cap, length, landing zone, collaterals; "hybrid-2012"), half for what
// says more of the patient than of the lesion. Widths: a difference that would change a plan by itself.
constexpr auto kWeights = std::to_array<SimilarWeight>({
    {"vessel", 2, 0},
    {"length_angio_mm", 2, 30},
    {"stump_angio", 2, 0},
    {"calcification_angio", 2, 0},
    {"bend_angio_deg", 1, 90},
    {"previous_failed_attempts", 1, 1},
    {"j_cto", 0, 3},
    {"proximal_cap_ambiguous", 2, 0},
    {"interventional_collateral", 2, 0},
    {"distal_landing_zone_diseased", 2, 0},
    {"proximal_tortuosity", 1, 0},
    {"side_branch_at_cap", 1, 0},
    {"ostial", 1, 0},
    {"prior_cabg", 1, 0},
    {"graft_to_occluded_vessel", 1, 0},
    {"age_years", 0.5, 30},
    {"egfr", 0.5, 60},
    {"lvef_pct", 0.5, 40},
});
constexpr std::array<std::string_view, 5> kScoreItems = {"bend_angio_deg", "calcification_angio", "length_angio_mm", "previous_failed_attempts", "stump_angio"};

// Null where nobody knows; vessel and total are put into `own`, which outlives it.
const RowFact* FactNamed(const CaseRow& row, const SimilarWeight& weight, RowFact& own) {
  if (weight.name == "vessel") return row.vessel.empty() ? nullptr : &(own = row.vessel);
  if (weight.name == "j_cto") return !row.j_cto ? nullptr : &(own = static_cast<double>(*row.j_cto));
  const auto found = row.facts.find(weight.name);
  return found == row.facts.end() ? nullptr : &found->second;
}

std::string Worded(const RowFact& fact) {
  if (const auto* flag = std::get_if<bool>(&fact)) return *flag ? "yes" : "no";
  if (const auto* number = std::get_if<double>(&fact)) return fmt::format("{:.4g}", *number);
  return std::get<std::string>(fact);
}

// Grades are steps of one order; a word outside the order is alike or not.
double WordsApart(std::string_view name, const std::string& a, const std::string& b) {
  if (a == b) return 0;
  const RowFactKind* kind = FindRowFact(name);
  if (kind == nullptr) return 1;
  std::vector<std::string_view> order;
  for (const std::string_view word : kind->words) {
    if (word != "unseen") order.push_back(word);
  }
  const auto at = [&](const std::string& word) { return std::find(order.begin(), order.end(), word) - order.begin(); };
  const auto last = static_cast<std::ptrdiff_t>(order.size());
  if (at(a) == last || at(b) == last || last < 2) return 1;
  return std::abs(static_cast<double>(at(a) - at(b))) / static_cast<double>(last - 1);
}

std::optional<double> Apart(const SimilarWeight& weight, const RowFact& a, const RowFact& b) {
  if (a.index() != b.index()) return std::nullopt;
  if (const auto* number = std::get_if<double>(&a)) return std::min(1.0, std::abs(*number - std::get<double>(b)) / weight.apart);
  if (const auto* flag = std::get_if<bool>(&a)) return *flag == std::get<bool>(b) ? 0.0 : 1.0;
  return WordsApart(weight.name, std::get<std::string>(a), std::get<std::string>(b));
}

}  // namespace

std::span<const SimilarWeight> SimilarWeights() { return kWeights; }

CaseDistance DistanceBetween(const CaseRow& here, const CaseRow& there, bool explain) {
  CaseDistance distance;
  double all = 0, compared = 0, sum = 0, lent = 0;  // lent: weight of the score's items that cannot be compared goes to its total
  const auto take = [&](const SimilarWeight& weight, double counts) {
    RowFact own_a, own_b;
    const RowFact* a = FactNamed(here, weight, own_a);
    const RowFact* b = a == nullptr ? nullptr : FactNamed(there, weight, own_b);
    const auto apart = b != nullptr ? Apart(weight, *a, *b) : std::nullopt;
    if (!apart) return false;
    compared += counts, sum += counts * *apart;
    if (explain) distance.parts.push_back({std::string(weight.name), Worded(*a), Worded(*b), *apart, counts * *apart});
    return true;
  };
  for (const SimilarWeight& weight : kWeights) {
    all += weight.weight;
    if (weight.weight == 0 || take(weight, weight.weight)) continue;
    if (std::find(kScoreItems.begin(), kScoreItems.end(), weight.name) != kScoreItems.end()) lent += weight.weight;
  }
  for (const SimilarWeight& weight : kWeights) {
    if (weight.name == "j_cto" && lent > 0) take(weight, lent);
  }
  distance.compared = compared / all;
  distance.apart = compared > 0 ? sum / compared : 0;
  for (FactApart& part : distance.parts) part.share /= compared;
  std::sort(distance.parts.begin(), distance.parts.end(), [](const FactApart& a, const FactApart& b) { return a.share != b.share ? a.share > b.share : a.name < b.name; });
  return distance;
}

namespace {

// A weight with the place of its fact, and of a grade the step that each word is: none for one outside the order.
struct PlacedWeight {
  const SimilarWeight* weight = nullptr;
  std::ptrdiff_t fact = -1;              // -1: vessel, -2: total
  bool grade = false, item = false;
  std::vector<int> step;
  int steps = 0;
};

std::vector<PlacedWeight> PlacedWeights() {
  const auto kinds = RowFacts();
  std::vector<PlacedWeight> placed;
  for (const SimilarWeight& weight : kWeights) {
    PlacedWeight one;
    one.weight = &weight;
    one.item = std::find(kScoreItems.begin(), kScoreItems.end(), weight.name) != kScoreItems.end();
    const auto kind = std::find_if(kinds.begin(), kinds.end(), [&](const RowFactKind& each) { return each.name == weight.name; });
    one.fact = weight.name == "j_cto" ? -2 : kind == kinds.end() ? -1 : kind - kinds.begin();
    if (kind != kinds.end()) {
      one.grade = !kind->words.empty();
      for (const std::string_view word : kind->words) one.step.push_back(word == "unseen" ? -1 : one.steps++);
    }
    placed.push_back(std::move(one));
  }
  return placed;
}

double FactsApart(const PlacedWeight& placed, double a, double b) {
  if (placed.grade) {
    if (a == b) return 0;
    const int from = placed.step[static_cast<std::size_t>(a)], to = placed.step[static_cast<std::size_t>(b)];
    if (from < 0 || to < 0 || placed.steps < 2) return 1;
    return std::abs(static_cast<double>(from - to)) / static_cast<double>(placed.steps - 1);
  }
  if (placed.weight->apart > 0) return std::min(1.0, std::abs(a - b) / placed.weight->apart);
  return a == b ? 0 : 1;
}

}  // namespace

// The same sums in the same order as above, so that they are the same to the last bit; a test holds that.
CaseDistance DistanceBetween(const KnownCase& here, const KnownCase& there) {
  static const std::vector<PlacedWeight> kPlaced = PlacedWeights();
  double all = 0, compared = 0, sum = 0, lent = 0;
  const PlacedWeight* total = nullptr;
  for (const PlacedWeight& placed : kPlaced) {
    const double weight = placed.weight->weight;
    all += weight;
    if (placed.fact == -2) {
      total = &placed;
      continue;
    }
    if (placed.fact == -1) {
      if (here.vessel.empty() || there.vessel.empty()) continue;
      compared += weight, sum += weight * (here.vessel == there.vessel ? 0.0 : 1.0);
      continue;
    }
    const double a = here.facts[static_cast<std::size_t>(placed.fact)], b = there.facts[static_cast<std::size_t>(placed.fact)];
    if (std::isnan(a) || std::isnan(b) || (placed.grade && (a >= static_cast<double>(placed.step.size()) || b >= static_cast<double>(placed.step.size())))) {
      lent += placed.item ? weight : 0;
      continue;
    }
    compared += weight, sum += weight * FactsApart(placed, a, b);
  }
  if (total != nullptr && lent > 0 && here.j_cto >= 0 && there.j_cto >= 0) {
    compared += lent, sum += lent * FactsApart(*total, here.j_cto, there.j_cto);
  }
  CaseDistance distance;
  distance.compared = compared / all;
  distance.apart = compared > 0 ? sum / compared : 0;
  return distance;
}

}  // namespace fairlead
