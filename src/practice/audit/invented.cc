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

}  // namespace

std::vector<CaseRow> InventPastCases(const InventedPractice& order) {
  Draws draw(order.seed);
  std::vector<CaseRow> rows;
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
    if (draw.Uniform() < 0.03) row.j_cto.reset();
    if (draw.Uniform() < 0.02) row.air_kerma_gy.reset();
    rows.push_back(std::move(row));
  }
  return rows;
}

}  // namespace fairlead
