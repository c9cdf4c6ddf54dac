// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/invented.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <string_view>

#include "practice/audit/audit.h"

namespace fairlead {
namespace {

// SplitMix64 (ACM SIGPLAN Notices 2014;49(10):453-472): integers only, so every machine draws the same.
class Draws {
 public:
  explicit Draws(std::uint64_t seed) : state_(seed) {}
  double Uniform() {
    state_ += 0x9E3779B97F4A7C15ULL;
    std::uint64_t z = state_;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
    return static_cast<double>((z ^ (z >> 31)) >> 11) * 0x1p-53;
  }
  // Where the next draw falls among shares that add up to 1.
  template <std::size_t N>
  std::size_t Pick(const std::array<double, N>& shares) {
    double at = Uniform();
    for (std::size_t i = 0; i + 1 < N; ++i) {
      if (at < shares[i]) return i;
      at -= shares[i];
    }
    return N - 1;
  }
  double Between(double low, double high) { return low + (high - low) * Uniform(); }

 private:
  std::uint64_t state_;
};

// Invented shares, near those of large registries.
constexpr std::array<double, 6> kDifficulty = {0.12, 0.20, 0.26, 0.24, 0.13, 0.05};
constexpr std::array<double, 3> kVesselShares = {0.53, 0.27, 0.20};
constexpr std::array<std::string_view, 3> kVessels = {"RCA", "LAD", "LCX"};
constexpr std::array<std::string_view, 4> kWays = {"AW", "ADR", "RW", "RDR"};

std::vector<Try> InventTries(Draws& draw, int difficulty, bool success) {
  const std::size_t count = 1 + (draw.Uniform() < 0.14 * difficulty ? 1 : 0) + (draw.Uniform() < 0.06 * difficulty ? 1 : 0);
  std::vector<Try> tries;
  std::size_t way = draw.Uniform() < 0.8 ? 0 : 2;
  for (std::size_t i = 0; i < count; ++i) {
    const bool last = i + 1 == count;
    tries.push_back({std::string(kWays[way]), std::round(2 * draw.Between(4, 20 + 6 * difficulty)) / 2, last && success});
    way = (way + 1) % kWays.size();
  }
  return tries;
}

// Facts that give the J-CTO total drawn before: so many of its five items are positive, the rest are not.
void InventFacts(Draws& draw, CaseRow& row, int difficulty) {
  std::array<double, 5> chance = {0.24, 0.28, 0.14, 0.26, 0.08};  // stump, calcium, bend, length, earlier failure
  std::array<bool, 5> positive{};
  for (int left = difficulty; left > 0; --left) {
    double sum = 0;
    for (std::size_t i = 0; i < chance.size(); ++i) sum += positive[i] ? 0 : chance[i];
    double at = sum * draw.Uniform();
    std::size_t item = 0;
    while (item + 1 < chance.size() && (positive[item] || at >= chance[item])) at -= positive[item] ? 0 : chance[item], ++item;
    while (positive[item]) item = (item + 1) % positive.size();
    positive[item] = true;
  }
  auto& facts = row.facts;
  const auto word = [&](const char* name, std::string_view said) { facts[name] = std::string(said); };
  word("stump_angio", positive[0] ? (draw.Uniform() < 0.7 ? "blunt" : "none") : "tapered");
  word("calcification_angio", positive[1] ? (draw.Uniform() < 0.6 ? "moderate" : "severe") : draw.Uniform() < 0.5 ? "none" : "mild");
  facts["bend_angio_deg"] = std::round(positive[2] ? draw.Between(50, 95) : draw.Between(0, 40));
  facts["length_angio_mm"] = std::round(positive[3] ? draw.Between(22, 55) : draw.Between(6, 18));
  facts["previous_failed_attempts"] = positive[4] ? 1.0 : 0.0;
  facts["proximal_cap_ambiguous"] = draw.Uniform() < 0.3;
  facts["interventional_collateral"] = draw.Uniform() < 0.6;
  facts["distal_landing_zone_diseased"] = draw.Uniform() < 0.35;
  word("proximal_tortuosity", draw.Uniform() < 0.6 ? "none" : draw.Uniform() < 0.6 ? "mild" : "moderate");
  facts["side_branch_at_cap"] = draw.Uniform() < 0.4;
  facts["ostial"] = draw.Uniform() < 0.15;
  facts["prior_cabg"] = draw.Uniform() < 0.2;
  facts["age_years"] = std::round(draw.Between(48, 84));
  facts["egfr"] = std::round(draw.Between(38, 100));
  facts["lvef_pct"] = std::round(draw.Between(30, 62));
  if (draw.Uniform() < 0.1) facts.erase("distal_landing_zone_diseased");  // gaps, as every log has them
  if (draw.Uniform() < 0.1) facts.erase("egfr");
}

// What some published scores ask beside them.
void InventMoreFacts(Draws& draw, CaseRow& row) {
  for (std::size_t i = 0; i + 1 < row.tries.size(); ++i) {  // what the ladder had put next, where it was shown
    if (draw.Uniform() < 0.15) continue;
    const std::string& next = row.tries[i + 1].strategy;
    row.tries[i].ladder = draw.Uniform() >= 0.75 ? std::string(draw.Uniform() < 0.3 ? "stop" : "AW") : next == "RW" || next == "RDR" ? "RW/RDR" : next;
  }
  row.facts["sex"] = std::string(draw.Uniform() < 0.2 ? "female" : "male");
  row.facts["rentrop"] = std::string(draw.Uniform() < 0.3 ? "1" : draw.Uniform() < 0.5 ? "2" : "3");
  row.facts["tortuosity_weighted_score"] = draw.Uniform() < 0.25;
}

// Why a way was left, how long it stood still before, and what was used: of a stream of its own, as facts are.
void InventHabits(Draws& draw, CaseRow& row) {
  constexpr std::array<double, 5> kShares = {0.35, 0.2, 0.15, 0.2, 0.1};
  constexpr std::array<std::string_view, 5> kReasons = {"cap-hard", "outside-plaque", "side-branch", "planned", "not-joined"};
  for (Try& made : row.tries) {
    if (made.crossed) continue;
    if (draw.Uniform() < 0.9) made.reason = std::string(kReasons[draw.Pick(kShares)]);
    if (draw.Uniform() < 0.8) made.stalled_min = std::round(2 * made.minutes * draw.Between(0.2, 0.9)) / 2;
  }
  if (draw.Uniform() < 0.1) return;  // nobody counted
  const auto some = [&](double low, double high) { return static_cast<int>(draw.Between(low, high)); };
  const int ways = static_cast<int>(row.tries.size());
  row.kit = {{"wire", ways + some(1, 4)}, {"microcatheter", some(1, 2.0 + ways)}, {"balloon", some(1, 5)}, {"stent", row.success.value_or(false) ? some(1, 4) : 0},
             {"guide", 1 + some(0, 2)}, {"extension", some(0, 1.6)}, {"ultrasound", some(0, 1.7)}, {"snare", some(0, 1.2)}};
}

}  // namespace

std::vector<CaseRow> InventPastCases(const InventedPractice& order) {
  std::vector<CaseRow> rows;
  rows.reserve(order.cases);
  InventEach(order, [&rows](CaseRow&& row) { rows.push_back(std::move(row)); });
  return rows;
}

void InventEach(const InventedPractice& order, const std::function<void(CaseRow&&)>& take) {
  Draws draw(order.seed), facts(order.seed ^ 0xFAC75ULL), habits(order.seed ^ 0x4AB175ULL), more(order.seed ^ 0x5C0BE5ULL);  // of their own, so that what was drawn before facts were kept stays
  for (std::size_t i = 0; i < order.cases; ++i) {
    CaseRow row;
    row.id = fmt::format("invented-{:03}", i + 1);
    constexpr double kWeekMs = 7.0 * 24 * 3600 * 1000;
    const double back = static_cast<double>(order.cases - 1 - i) * kWeekMs + (i + 1 == order.cases ? 0 : draw.Uniform() * kWeekMs / 2);
    row.began = {order.last.ms - static_cast<std::int64_t>(back)};
    row.invented = true;
    row.by = draw.Uniform() < 0.6 ? "AB" : "CD";
    row.vessel = std::string(kVessels[draw.Pick(kVesselShares)]);
    const int difficulty = static_cast<int>(draw.Pick(kDifficulty));
    row.j_cto = difficulty;
    const double p = FailureReference().failure[std::min(difficulty, 3)];
    const double factor = i >= order.drift_from ? order.odds_factor : 1;
    row.success = draw.Uniform() >= factor * p / (1 - p + factor * p);
    row.complication = draw.Uniform() < 0.015 + 0.008 * difficulty;
    row.tries = InventTries(draw, difficulty, *row.success);
    double minutes = 35;
    for (const Try& made : row.tries) minutes += made.minutes;
    row.minutes = minutes, row.contrast_ml = std::round(60 + 1.4 * minutes + draw.Between(-20, 40));
    row.air_kerma_gy = std::round(10 * (0.4 + 0.018 * minutes + draw.Between(0, 0.6))) / 10;
    // A few gaps, as every log has them.
    InventFacts(facts, row, difficulty);
    InventHabits(habits, row);
    InventMoreFacts(more, row);
    if (draw.Uniform() < 0.03) row.j_cto.reset(), row.facts.erase("length_angio_mm");
    if (draw.Uniform() < 0.02) row.air_kerma_gy.reset();
    for (std::size_t k = 0; k < order.more_tries; ++k) {
      row.tries.insert(row.tries.begin(), {std::string(kWays[k % kWays.size()]), static_cast<double>(5 + k), false, "planned", static_cast<double>(k)});
    }
    take(std::move(row));
  }
}

}  // namespace fairlead
