// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include <cmath>

#include "tests/reasoning/strategy/case3.h"
#include "tests/reasoning/strategy/invented_model.h"

namespace fairlead {
namespace {

TEST(Solve, EqualsEnumerationOfEveryPlan) {
  SeededRandom random(20260501);
  for (int trial = 0; trial < 300; ++trial) {
    SCOPED_TRACE(trial);
    const int strategies = 1 + trial % 3, classes = 1 + trial / 3 % 3;
    const LadderModel model = InventedModel(random, strategies, classes, strategies == 3 ? 22 : 40);
    ASSERT_TRUE(Check(model).ok());
    const Blocks blocks(model);
    const Solution solution = Solve(blocks);
    EXPECT_TRUE(solution.proven);
    EXPECT_NEAR(solution.value.utility, BestByEnumeration(blocks, {}, {}), 1e-9);
    EXPECT_TRUE(Affordable(model, solution.value.most));
  }
}

TEST(Solve, IsNeverWorseThanAFixedOrderWithFixedTimes) {
  SeededRandom random(7);
  for (int trial = 0; trial < 12; ++trial) {
    SCOPED_TRACE(trial);
    const LadderModel model = InventedModel(random, 4 + trial % 2, 1 + trial % 2, 90);
    const Blocks blocks(model);
    const Solution solution = Solve(blocks);
    std::vector<std::size_t> order(model.strategies.size());
    for (int policy = 0; policy < 3000; ++policy) {
      std::iota(order.begin(), order.end(), std::size_t{0});
      for (std::size_t i = order.size(); i > 1; --i) std::swap(order[i - 1], order[random.Next() % i]);
      std::vector<Rung> plan;
      Spending taken{};
      for (const std::size_t k : order) {
        const int most = blocks.most(k);
        if (most < 1) continue;
        const int d = 1 + static_cast<int>(random.Next() % static_cast<std::uint64_t>(std::min(most, 50)));
        Spending sum = TakenBy(model.strategies[k], d);
        for (std::size_t r = 0; r < sum.size(); ++r) sum[r] += taken[r];
        if (!Affordable(model, sum)) break;
        taken = sum;
        plan.push_back({k, d});
      }
      ASSERT_LE(Evaluate(blocks, plan).utility, solution.value.utility + 1e-9);
    }
  }
}

TEST(Solve, MoreBudgetNeverLowersAndAWorsePriorNeverRaises) {
  SeededRandom random(99);
  for (int trial = 0; trial < 15; ++trial) {
    SCOPED_TRACE(trial);
    LadderModel model = InventedModel(random, 3, 1 + trial % 2, 60);
    model.objective = {0, 0, 0};
    const double base = Solve(model).value.utility;
    LadderModel more = model;
    for (auto& limit : more.budget) {
      if (limit) *limit *= 1.15;
    }
    EXPECT_GE(Solve(more).value.utility, base - 1e-10);
    LadderModel worse = model;
    for (double& can : worse.strategies[static_cast<std::size_t>(trial) % 3].can) can *= 0.8;
    EXPECT_LE(Solve(worse).value.utility, base + 1e-10);
  }
}

// Simulation of a plan, minute by minute in continuous time, agrees with its computed value within four standard errors.
TEST(Evaluate, AgreesWithSimulation) {
  const LadderModel model = Case3InTwoClasses(90, 1, .001);
  const std::vector<Rung> plan = {{0, 20}, {1, 22}, {2, 25}};
  SeededRandom random(4);
  const auto wait = [&](double mean) { return -mean * std::log1p(-random.Share()); };
  const int cases = 400'000;
  int crossed = 0, complicated = 0;
  for (int i = 0; i < cases; ++i) {
    const std::size_t c = random.Share() < model.class_weights[0] ? 0 : 1;
    for (const Rung& rung : plan) {
      const StrategyModel& strategy = model.strategies[rung.strategy];
      if (wait(1.0 / model.setup_complication_per_min) < strategy.setup[kMinutes]) { ++complicated; break; }
      const double crossing = random.Share() < strategy.can[c] ? wait(strategy.law.scale_min) : 1e9;
      const double trouble = wait(1.0 / strategy.complication_per_min);
      if (std::min(crossing, trouble) > rung.minutes) continue;
      ++(crossing <= trouble ? crossed : complicated);
      break;
    }
  }
  const PlanValue value = Evaluate(Blocks(model), plan);
  const auto spread = [&](double p) { return 4.0 * std::sqrt(p * (1.0 - p) / cases); };
  EXPECT_NEAR(crossed / static_cast<double>(cases), value.p_cross, spread(value.p_cross));
  EXPECT_NEAR(complicated / static_cast<double>(cases), value.p_complication, spread(value.p_complication));
}

TEST(Solve, TakesEightStrategiesWithoutBlowingUp) {
  SeededRandom random(8);
  LadderModel model = InventedModel(random, 8, 2, 180);
  model.budget = {180.0, std::nullopt, std::nullopt};
  const Solution solution = Solve(model);
  EXPECT_GT(solution.value.utility, 0.0);
  EXPECT_LT(solution.gap, 1e-3);
  EXPECT_LE(solution.looks, SolveSettings{}.most_looks + 1);
}

}  // namespace
}  // namespace fairlead
