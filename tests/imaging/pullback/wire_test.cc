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
