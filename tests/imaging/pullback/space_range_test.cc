// SPDX-License-Identifier: Apache-2.0
// True lumen, plaque and outside: against invented pullbacks, whose truth is the generator's parameters, and against rays
// whose layers are drawn by hand. That branches and an intima's edge are signs of the true lumen: practice, no source.
#include "imaging/pullback/space_range.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "imaging/pullback/branch_ray.h"
#include "tests/imaging/pullback/scene.h"

namespace fairlead {
namespace {

// One ray of tissue drawn by hand: blood 40, plaque 120, and what lies beyond the media at 2 mm.
std::vector<float> SumsOf(const Polar& polar, float on_the_way, float beyond) {
  std::vector<float> sums(static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(polar.depth + 1));
  for (int ray = 0; ray < kAngles; ++ray) {
    float* sum = &sums[static_cast<std::size_t>(ray) * static_cast<std::size_t>(polar.depth + 1)];
    for (int i = 0; i < polar.depth; ++i) {
      const bool branch = ray >= 20 && ray < 30;
      const double mm = i * polar.step_mm;
      float grey = mm < 1.0 ? 40.0f : mm < 2.0 ? 120.0f : 150.0f;
      if (branch && mm >= 1.0) grey = mm < 2.0 ? on_the_way : beyond;
      sum[i + 1] = sum[i] + grey;
    }
  }
  return sums;
}

BranchRay MiddleOf(float on_the_way, float beyond) {
  Polar polar;
  polar.frames = 1, polar.depth = 200, polar.step_mm = 0.02;
  CostRule rule;
  rule.levels = {40.0, 120.0, 60.0, 150.0};
  rule.first = 30;
  std::array<float, kAngles> eem{};
  eem.fill(100.0f);
  const auto ways = BranchRaysOf(polar, rule, SumsOf(polar, on_the_way, beyond), eem);
  EXPECT_EQ(ways[60], BranchRay::kNone) << "a whole wall";
  EXPECT_EQ(WidestBranch(ways, ways[25]), ways[25] == BranchRay::kNone ? 0 : 10);
  return ways[25];
}

TEST(BranchRay, BloodAllTheWayIsABranchThatOpensAndBehindTissueItIsBeyond) {
  EXPECT_EQ(MiddleOf(40.0f, 40.0f), BranchRay::kOpen);
  EXPECT_EQ(MiddleOf(120.0f, 40.0f), BranchRay::kBeyond);
}

TEST(BranchRay, AShadowIsDarkerThanBloodAndNoBranch) {
  EXPECT_EQ(MiddleOf(120.0f, 20.0f), BranchRay::kBeyond);  // a little darker than blood: the beam has weakened
  Polar polar;
  polar.frames = 1, polar.depth = 200, polar.step_mm = 0.02;
  CostRule rule;
  rule.levels = {100.0, 130.0, 60.0, 150.0};
  std::array<float, kAngles> eem{};
  eem.fill(100.0f);
  EXPECT_EQ(BranchRaysOf(polar, rule, SumsOf(polar, 120.0f, 20.0f), eem)[25], BranchRay::kNone);
  std::array<BranchRay, kAngles> all{};
  all.fill(BranchRay::kOpen);
  EXPECT_EQ(WidestBranch(all, BranchRay::kOpen), 0) << "no branch takes the whole ring";
}

TEST(LumenEvidence, GrowsWithTheLiningAndWithABranchAndIsNeverBoundless) {
  LumenSigns bare{7.0, 14, 0, 0}, lined{15.0, 14, 0, 0}, opens{15.0, 14, 6, 0}, beyond{7.0, 14, 0, 6}, nothing{};
  EXPECT_LT(LumenEvidence(bare), -1.0);
  EXPECT_GT(LumenEvidence(lined), 1.0);
  EXPECT_GT(LumenEvidence(opens), LumenEvidence(lined));
  EXPECT_LT(LumenEvidence(beyond), LumenEvidence(bare));
  EXPECT_EQ(LumenEvidence(nothing), 0.0);
  EXPECT_LE(LumenEvidence({200.0, 16, 10, 0}), 4.0 + 1e-12);
  // The same sign on fewer sectors says less.
  EXPECT_LT(LumenEvidence({15.0, 2, 0, 0}), LumenEvidence(lined));
}

void ExpectTold(const char* scene, Grade grade, unsigned seed, SpaceTruth truth) {
  SCOPED_TRACE(std::string(scene) + " " + std::to_string(seed));
  const auto made = InventPullback(OrderOf(scene, grade, seed, 20, 300));
  const auto reading = ReadPullback(QuestionOf(*made), {});
  for (const SpaceRange& range : reading->ranges) {
    ASSERT_EQ(made->truth[static_cast<std::size_t>(range.first)].space, truth);
    EXPECT_GE(truth == SpaceTruth::kLumen ? range.catheter.lumen : truth == SpaceTruth::kPlaque ? range.catheter.plaque : range.catheter.outside, 0.8) << range.first;
    EXPECT_NEAR(range.catheter.lumen + range.catheter.plaque + range.catheter.outside, 1.0, 1e-9);
  }
}

TEST(Spaces, TellTheTrueLumenPlaqueAndOutsideApart) {
  ExpectTold("open", Grade::kTypical, 711, SpaceTruth::kLumen);
  ExpectTold("lumen", Grade::kTypical, 711, SpaceTruth::kLumen);
  ExpectTold("plaque", Grade::kTypical, 711, SpaceTruth::kPlaque);
  ExpectTold("outside", Grade::kTypical, 711, SpaceTruth::kOutside);
}

TEST(Spaces, TellWhereTheCatheterLeavesTheLumenForPlaque) {
  const auto made = InventPullback(OrderOf("entry", Grade::kClean, 712, 40, 300));
  const auto reading = ReadPullback(QuestionOf(*made), {});
  int lumen = 0, plaque = 0;
  for (const SpaceRange& range : reading->ranges) {
    const SpaceTruth first = made->truth[static_cast<std::size_t>(range.first)].space, last = made->truth[static_cast<std::size_t>(range.last)].space;
    if (first != last) continue;
    ++(first == SpaceTruth::kLumen ? lumen : plaque);
    EXPECT_GE(first == SpaceTruth::kLumen ? range.catheter.lumen : range.catheter.plaque, 0.8) << range.first;
  }
  EXPECT_GT(lumen, 0);
  EXPECT_GT(plaque, 0);
}

TEST(Spaces, FromBesideTheVesselAMediaLineBetweenSaysThatTheWireLiesInIt) {
  for (const auto& [scene, inside] : {std::pair{"outside", true}, std::pair{"outside-far-outside", false}}) {
    SCOPED_TRACE(scene);
    const auto made = InventPullback(OrderOf(scene, Grade::kClean, 713, 20, 300));
    const auto reading = ReadPullback(QuestionOf(*made), {});
    for (const SpaceRange& range : reading->ranges) {
      ASSERT_TRUE(range.wire.has_value());
      if (inside) { EXPECT_GE(range.wire->inside(), 0.8); }
      else { EXPECT_LE(range.wire->inside(), 0.2); }
    }
  }
}

TEST(InsideFromBeside, WithRoomForAMediaAndNoneSeenItIsNotKnown) {
  const double undecided = 9.0;  // grey levels: neither as bright as adventitia nor as dark as plaque
  EXPECT_GE(InsideFromBeside({30.0, undecided, 1.0, 10}), 0.8);
  EXPECT_LE(InsideFromBeside({0.0, undecided, 0.2, 10}), 0.2);
  EXPECT_GE(InsideFromBeside({0.0, 25.0, 0.9, 10}), 0.8);
  EXPECT_LE(InsideFromBeside({0.0, 0.0, 0.9, 10}), 0.2);
  const double open = InsideFromBeside({0.0, undecided, 0.9, 10});
  EXPECT_GT(open, 0.2);
  EXPECT_LT(open, 0.8);
}

}  // namespace
}  // namespace fairlead
