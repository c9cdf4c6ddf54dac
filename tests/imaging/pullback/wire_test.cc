// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/wire.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

#include "tests/imaging/pullback/scene.h"

namespace fairlead {
namespace {

double MedianOf(std::vector<double> values) {
  std::ranges::sort(values);
  return values.empty() ? 1e9 : values[values.size() / 2];
}

TEST(Wires, AreFollowedWithinFiveDegreesOnACleanPullback) {
  const auto made = InventPullback(OrderOf("plaque", Grade::kClean, 2, 20, 300));
  const auto reading = ReadPullback(QuestionOf(*made), {});
  ASSERT_EQ(reading->wires.riding.frames.size(), 20U);
  ASSERT_EQ(reading->wires.second.frames.size(), 20U);
  std::vector<double> riding, second, tissue;
  for (std::size_t f = 0; f < 20; ++f) {
    const SectionTruth& truth = made->truth[f];
    riding.push_back(DegreesApart(reading->wires.riding.frames[f].angle_deg, truth.guidewire.angle_deg));
    second.push_back(DegreesApart(reading->wires.second.frames[f].angle_deg, truth.far_wire->angle_deg));
    const auto ray = static_cast<std::size_t>(std::lround(truth.far_wire->angle_deg / 360.0 * kRays)) % kRays;
    tissue.push_back(std::abs(reading->tissue[f].thickness_mm - (truth.far_wire->distance_mm - static_cast<double>(truth.lumen[ray]))));
  }
  EXPECT_LE(MedianOf(riding), 5.0);
  EXPECT_LE(MedianOf(second), 5.0);
  EXPECT_LE(MedianOf(tissue), 0.1);
}

// Behind the first wire nothing can be seen; 15 degrees beside it a second one can.
TEST(Wires, ASecondOneIsFollowedWhereItLiesNearTheFirst) {
  int near_by = 0, seen = 0;
  for (const unsigned seed : {408U, 410U, 417U, 420U}) {
    const char* scene = PullbackScenes()[(seed - 401) % 6].data();
    const auto made = InventPullback(OrderOf(scene, Grade::kClean, seed, 24, 300));
    const auto reading = ReadPullback(QuestionOf(*made), {});
    for (std::size_t f = 0; f < 24; ++f) {
      const SectionTruth& truth = made->truth[f];
      const double apart = DegreesApart(truth.guidewire.angle_deg, truth.far_wire->angle_deg);
      if (apart < 17.0 || apart > 30.0) continue;
      ++near_by;
      if (reading->wires.second.frames.empty() || !reading->wires.second.frames[f].seen) continue;
      ++seen;
      EXPECT_LE(DegreesApart(reading->wires.second.frames[f].angle_deg, truth.far_wire->angle_deg), 6.0) << seed << " frame " << f;
    }
  }
  ASSERT_GE(near_by, 15);
  EXPECT_GE(2 * seen, near_by);
}

// The catheter leaves the plaque: round it everything turns at once, and both parts are followed.
TEST(Wires, ASecondOneIsFollowedOnBothSidesOfAReentry) {
  const auto made = InventPullback(OrderOf("reentry", Grade::kClean, 406, 40, 300));
  const auto reading = ReadPullback(QuestionOf(*made), {});
  ASSERT_FALSE(reading->wires.second.frames.empty());
  std::array<int, 2> seen{};
  for (std::size_t f = 0; f < 40; ++f) {
    if (!reading->wires.second.frames[f].seen) continue;
    EXPECT_LE(DegreesApart(reading->wires.second.frames[f].angle_deg, made->truth[f].far_wire->angle_deg), 6.0) << f;
    ++seen[made->truth[f].inside ? 0 : 1];
  }
  EXPECT_GE(seen[0], 10);
  EXPECT_GE(seen[1], 10);
}

TEST(Wires, NoneIsClaimedWhereThereIsNone) {
  const auto made = InventPullback(OrderOf("open", Grade::kClean, 3, 16, 300));
  const auto reading = ReadPullback(QuestionOf(*made), {});
  EXPECT_TRUE(reading->wires.second.frames.empty());
  EXPECT_TRUE(reading->tissue.empty());
  EXPECT_FALSE(reading->thinnest.has_value());
}

TEST(Wires, AClickAnchorsTheTrack) {
  const auto made = InventPullback(OrderOf("open", Grade::kClean, 3, 16, 300));
  PullbackQuestion question = QuestionOf(*made);
  question.clicks.push_back({8, 77.0, true});
  const auto reading = ReadPullback(question, {});
  ASSERT_EQ(reading->wires.second.frames.size(), 16U);
  EXPECT_LE(DegreesApart(reading->wires.second.frames[8].angle_deg, 77.0), 6.0);
}

}  // namespace
}  // namespace fairlead
