// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/improve.h"

#include <algorithm>
#include <array>

namespace fairlead {
namespace {

constexpr double kWorthIt = 1e-12;
constexpr std::array<int, 6> kSteps = {1, -1, 3, -3, 9, -9};

bool Uses(const std::vector<Rung>& plan, std::size_t strategy) {
  return std::ranges::any_of(plan, [&](const Rung& rung) { return rung.strategy == strategy; });
}

std::vector<std::vector<Rung>> Neighbours(const Blocks& blocks, const std::vector<Rung>& plan, const ImproveSettings& settings) {
  std::vector<std::vector<Rung>> near;
  for (std::size_t i = settings.fixed; i < plan.size(); ++i) {
    for (const int step : kSteps) {
      std::vector<Rung> longer = plan;
      longer[i].minutes += step;
      for (std::size_t j = settings.fixed; j < plan.size(); ++j) {
        if (j == i) continue;
        near.push_back(longer);  // minutes moved from j to i
        near.back()[j].minutes -= step;
      }
      near.push_back(std::move(longer));
    }
    if (settings.keep_order) continue;
    if (i + 1 < plan.size()) {
      near.push_back(plan);
      std::swap(near.back()[i], near.back()[i + 1]);
    }
    near.push_back(plan);
    near.back().erase(near.back().begin() + static_cast<std::ptrdiff_t>(i));
  }
  for (std::size_t k = 0; k < blocks.strategies() && !settings.keep_order; ++k) {
    if (Uses(plan, k)) continue;
    for (const int minutes : {1, 5, 15}) {
      near.push_back(plan);
      near.back().push_back({k, minutes});
    }
  }
  return near;
}

bool Allowed(const Blocks& blocks, const std::vector<Rung>& plan) {
  Spending taken{};
  for (const Rung& rung : plan) {
    if (rung.minutes < 1 || rung.minutes > blocks.most(rung.strategy)) return false;
    const Spending block = TakenBy(blocks.model().strategies[rung.strategy], rung.minutes);
    for (std::size_t r = 0; r < taken.size(); ++r) taken[r] += block[r];
  }
  return Affordable(blocks.model(), taken);
}

}  // namespace

std::vector<Rung> Improve(const Blocks& blocks, std::vector<Rung> plan, const ImproveSettings& settings) {
  double best = Evaluate(blocks, plan).utility;
  for (int round = 0; round < 200; ++round) {
    std::vector<Rung> better;
    for (auto& other : Neighbours(blocks, plan, settings)) {
      if (!Allowed(blocks, other)) continue;
      const double utility = Evaluate(blocks, other).utility;
      if (utility <= best + kWorthIt) continue;
      best = utility;
      better = std::move(other);
    }
    if (better.empty()) return plan;
    plan = std::move(better);
  }
  return plan;
}

}  // namespace fairlead
