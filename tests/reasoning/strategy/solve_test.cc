// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/solve.h"

#include <gtest/gtest.h>

#include "tests/reasoning/strategy/case3.h"

namespace fairlead {
namespace {

std::string PlanText(const LadderModel& model, const std::vector<Rung>& plan) {
  std::string text;
  for (const Rung& rung : plan) {
    text += (text.empty() ? "" : ", ") + model.strategies[rung.strategy].id + " " + std::to_string(rung.minutes);
  }
  return text;
}

struct Row {
  double minutes, weight, minute_cost;
  std::optional<double> contrast, kerma;
  std::string plan;
  double utility, cross, complication, expected_min, expected_ml, expected_mgy;
};

// Enumeration of every plan, computed outside (case3.h).
const Row kRows[] = {
    {45, 0, 0, {}, {}, "AW 17, ADR 20", 0.71175116, 0.71175116, 0.00912110, 24.2070, 41.343, 616.34},
    {60, 0, 0, {}, {}, "AW 24, ADR 28", 0.77806836, 0.77806836, 0.01062271, 28.1383, 49.144, 722.37},
    {90, 0, 0, {}, {}, "AW 19, ADR 22, RG 26", 0.85678055, 0.85678055, 0.01499837, 33.8367, 61.716, 887.19},
    {120, 0, 0, {}, {}, "AW 25, ADR 29, RG 43", 0.90798219, 0.90798219, 0.01667785, 36.9786, 68.430, 981.42},
    {90, 1, 0, {}, {}, "AW 20, ADR 22, RG 25", 0.84182982, 0.85664506, 0.01481524, 33.8319, 61.757, 885.01},
    {90, 3, 0, {}, {}, "AW 21, ADR 23, RG 23", 0.81235320, 0.85605240, 0.01456640, 33.8079, 61.547, 881.89},
    {90, 10, 0, {}, {}, "AW 24, ADR 24, RG 19", 0.71225646, 0.85296199, 0.01407055, 33.9477, 61.726, 879.33},
    {90, 1, .001, {}, {}, "AW 20, ADR 22, RG 25", 0.80799797, 0.85664506, 0.01481524, 33.8319, 61.757, 885.01},
    {90, 1, .001, 150, {}, "AW 19, ADR 28, RG 14", 0.78627661, 0.83282084, 0.01371895, 32.8253, 58.059, 850.39},
    {90, 1, .001, 150, 1500, "AW 24, ADR 25", 0.72989893, 0.76762053, 0.01023291, 27.4887, 48.170, 702.88},
    {90, 1, .001, 100, 1000, "AW 16, ADR 15", 0.63743419, 0.66802856, 0.00817341, 22.4210, 38.364, 564.36},
};

TEST(Solve, FindsThePlanOfAnIndependentEnumeration) {
  for (const Row& row : kRows) {
    LadderModel model = Case3(row.minutes, row.weight, row.minute_cost);
    model.budget[kContrastMl] = row.contrast;
    model.budget[kKermaMgy] = row.kerma;
    SCOPED_TRACE(row.plan);
    const Solution solution = Solve(model);
    EXPECT_EQ(PlanText(model, solution.plan), row.plan);
    EXPECT_TRUE(solution.proven);
    EXPECT_NEAR(solution.value.utility, row.utility, 6e-9);
    EXPECT_NEAR(solution.value.p_cross, row.cross, 6e-9);
    EXPECT_NEAR(solution.value.p_complication, row.complication, 6e-9);
    EXPECT_NEAR(solution.value.expected[kMinutes], row.expected_min, 6e-5);
    EXPECT_NEAR(solution.value.expected[kContrastMl], row.expected_ml, 6e-4);
    EXPECT_NEAR(solution.value.expected[kKermaMgy], row.expected_mgy, 6e-3);
  }
}

// The same, by an independent memoised dynamic programme over minutes tried.
TEST(Solve, AgreesWithADynamicProgrammeMinuteByMinute) {
  EXPECT_NEAR(Solve(Case3(60, 0, 0)).value.utility, 0.7780683565, 1e-10);
  EXPECT_NEAR(Solve(Case3(90, 1, .001)).value.utility, 0.8079979692, 1e-10);
  EXPECT_NEAR(Solve(Case3(90, 10, 0)).value.utility, 0.7122564637, 1e-10);
  EXPECT_NEAR(Solve(Case3(120, 1, .001)).value.utility, 0.8543355135, 1e-10);
}

TEST(Evaluate, GivesTheValueOfFixedPlansToTenDigits) {
  const LadderModel model = Case3(120, 0, 0);
  const Blocks blocks(model);
  const PlanValue a = Evaluate(blocks, {{0, 20}, {1, 15}, {2, 32}});
  EXPECT_NEAR(a.p_cross, 0.8526890364, 1e-10);
  EXPECT_NEAR(a.p_complication, 0.0156206179, 1e-10);
  EXPECT_NEAR(a.expected[kMinutes], 34.42600244, 1e-8);
  EXPECT_NEAR(a.expected[kContrastMl], 64.577241, 1e-6);
  EXPECT_NEAR(a.expected[kKermaMgy], 905.01722, 1e-5);
  const PlanValue b = Evaluate(blocks, {{0, 30}, {2, 45}});
  EXPECT_NEAR(b.p_cross, 0.8226857841, 1e-10);
  EXPECT_NEAR(b.p_complication, 0.0186146025, 1e-10);
  const PlanValue c = Evaluate(blocks, {{2, 32}, {1, 15}, {0, 20}});
  EXPECT_NEAR(c.p_cross, 0.8393462949, 1e-10);
  EXPECT_NEAR(c.expected[kMinutes], 48.28029940, 1e-8);
}

TEST(Solve, CountsASharedDifficulty) {
  const LadderModel model = Case3InTwoClasses(90, 1, .001);
  const Blocks blocks(model);
  EXPECT_NEAR(Evaluate(blocks, {{0, 20}, {1, 22}, {2, 25}}).p_cross, 0.83374615, 6e-9);
  const Solution best = Solve(model);
  EXPECT_EQ(PlanText(model, best.plan), "AW 19, ADR 21, RG 27");
  EXPECT_NEAR(best.value.utility, 0.78332422, 6e-9);
  EXPECT_NEAR(best.value.p_cross, 0.83430111, 6e-9);
  EXPECT_TRUE(best.proven);
}

TEST(AfterTrying, FailingWithOneLowersTheOthers) {
  const LadderModel after = AfterTrying(Case3InTwoClasses(90, 1, .001), 0, 20);
  EXPECT_NEAR(after.class_weights[0], 0.37618493, 6e-9);
  const auto chance = [](const LadderModel& m, std::size_t k) {
    return m.class_weights[0] * m.strategies[k].can[0] + m.class_weights[1] * m.strategies[k].can[1];
  };
  EXPECT_NEAR(chance(after, 1), 0.59206164, 6e-9);
  EXPECT_NEAR(chance(after, 2), 0.71137443, 6e-9);
  const LadderModel later = AfterTrying(after, 1, 22);
  EXPECT_NEAR(later.class_weights[1], 0.73432961, 6e-9);
  EXPECT_NEAR(chance(later, 2), 0.68681564, 6e-9);
  EXPECT_DOUBLE_EQ(*later.budget[kMinutes], 90 - 20 - 8 - 22);
}

TEST(Solve, TakesExtremesWithoutFault) {
  LadderModel none = Case3(0, 1, 0);
  EXPECT_TRUE(Solve(none).plan.empty());
  EXPECT_EQ(Solve(none).value.utility, 0.0);
  LadderModel never = Case3(90, 1, .001);
  for (auto& strategy : never.strategies) strategy.can = {0.0};
  EXPECT_TRUE(Solve(never).plan.empty());
  LadderModel always = Case3(90, 1, .001);
  always.strategies[0].can = {1.0};
  const Solution sure = Solve(always);
  EXPECT_EQ(sure.plan.front().strategy, 0U);
  EXPECT_GT(sure.value.p_cross, 0.95);
  LadderModel dry = Case3(90, 1, .001);
  dry.budget[kContrastMl] = 0.0;
  EXPECT_TRUE(Solve(dry).plan.empty());
  dry.strategies[2].per_min[kContrastMl] = dry.strategies[2].setup[kContrastMl] = 0.0;
  EXPECT_EQ(PlanText(dry, Solve(dry).plan).substr(0, 3), "RG ");
  LadderModel empty;
  EXPECT_TRUE(Solve(empty).plan.empty());
  LadderModel free = Case3(90, 1, .001);
  free.budget = {};
  EXPECT_TRUE(Solve(free).proven);
}

}  // namespace
}  // namespace fairlead
