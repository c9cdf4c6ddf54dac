// SPDX-License-Identifier: Apache-2.0
// Shares of a peak by view; sums by hand.
#include "reasoning/dose/peak_views.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

IrradiationEvent At(double primary, double secondary) {
  IrradiationEvent event;
  event.angles = GantryAngles{Angle::Degrees(primary), Angle::Degrees(secondary)};
  return event;
}

// One long run gave most of all events, but forty presses of the pedal in another view gave more together.
TEST(PeakByViews, ManyShortEventsOfOneViewCountTogether) {
  std::vector<IrradiationEvent> events{At(40, 20)};
  SkinPeak peak;
  peak.by = {{0, 0.5}};
  for (std::size_t i = 0; i < 40; ++i) {
    events.push_back(At(-30 + 0.1 * static_cast<double>(i % 5), 1.0));
    peak.by.push_back({i + 1, 0.05});
  }
  const auto views = PeakByViews(peak, events);
  ASSERT_EQ(views.size(), 2U);
  EXPECT_NEAR(views[0].gray, 2.0, 1e-12);
  EXPECT_EQ(views[0].events, 40U);
  EXPECT_NEAR(views[0].angles.primary.degrees(), -30, 1.0);
  EXPECT_NEAR(views[1].gray, 0.5, 1e-12);
}

TEST(PeakByViews, AViewOverTheWrapIsOne) {
  const std::vector<IrradiationEvent> events{At(179, 0), At(-179, 0), At(180, 0), At(-180, 0)};
  SkinPeak peak;
  peak.by = {{0, 1.0}, {1, 1.0}, {2, 1.0}, {3, 1.0}};
  const auto views = PeakByViews(peak, events);
  ASSERT_EQ(views.size(), 1U);
  EXPECT_NEAR(views[0].gray, 4.0, 1e-12);
}

TEST(PeakByViews, WithoutAnglesThereIsNoView) {
  const std::vector<IrradiationEvent> events{IrradiationEvent{}};
  SkinPeak peak;
  EXPECT_TRUE(PeakByViews(peak, events).empty());
  peak.by = {{0, 1.0}};
  EXPECT_TRUE(PeakByViews(peak, events).empty());
}

}  // namespace
}  // namespace fairlead
