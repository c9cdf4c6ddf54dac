// SPDX-License-Identifier: Apache-2.0
// Stents in invented pullbacks: place, contour and narrowing are the generator's parameters. The ratios are checked by
// hand from areas given here: minimal stent area over mean reference lumen area (Eur Heart J 2018;39:3281-3300).
#include "imaging/pullback/stent.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/imaging/pullback/scene.h"

namespace fairlead {
namespace {

InventedPullback Stented(Grade grade, unsigned seed, int frames = 60) {
  PullbackOrder order = OrderOf("open", grade, seed, frames, 300);
  order.stent = true;
  order.speed_mm_s = 4.0;  // so that its ends and its middle differ within a short pullback
  return *InventPullback(order);
}

TEST(Stent, IsFoundWhereItLiesWithItsContourAndItsNarrowestPlace) {
  for (const Grade grade : {Grade::kClean, Grade::kTypical}) {
    const InventedPullback made = Stented(grade, 3);
    const auto reading = ReadPullback(QuestionOf(made), {});
    ASSERT_TRUE(reading->stent.has_value());
    const StentReading& stent = *reading->stent;
    int first = 1000, last = -1, counted = 0;
    double bias = 0.0, least = 1e9;
    for (int f = 0; f < 60; ++f) {
      const SectionTruth& truth = made.truth[static_cast<std::size_t>(f)];
      if (!truth.stent) continue;
      first = std::min(first, f), last = f;
      least = std::min(least, AreaInside(*truth.stent));
      if (f < stent.first || f > stent.last) continue;
      bias += stent.frames[static_cast<std::size_t>(f - stent.first)].area.value / AreaInside(*truth.stent) - 1.0;
      ++counted;
    }
    EXPECT_NEAR(stent.first, first, 3);
    EXPECT_NEAR(stent.last, last, 3);
    EXPECT_NEAR(bias / counted, 0.0, 0.03);
    EXPECT_NEAR(stent.smallest_area.value, least, 0.06 * least);
  }
}

TEST(Stent, NoneIsClaimedWhereThereIsNone) {
  for (const auto scene : PullbackScenes()) {
    SCOPED_TRACE(scene);
    const auto made = InventPullback(OrderOf(scene.data(), Grade::kTypical, 7, 24, 240));
    EXPECT_FALSE(ReadPullback(QuestionOf(*made), {})->stent.has_value());
  }
}

TEST(Stent, APersonsPointsPullItsContourAndMakeOneWhereNoneIsSeen) {
  const auto made = InventPullback(OrderOf("open", Grade::kClean, 4, 24, 240));
  PullbackQuestion question = QuestionOf(*made);
  ASSERT_FALSE(ReadPullback(question, {})->stent.has_value());
  for (int i = 0; i < 8; ++i) question.stent_points.push_back({12, 45.0 * i, 1.2});
  const auto reading = ReadPullback(question, {});
  ASSERT_TRUE(reading->stent.has_value());
  EXPECT_TRUE(reading->stent->by_reader);
  EXPECT_EQ(reading->stent->first, 12 - kPinned);
  const StentFrame& frame = reading->stent->frames[kPinned];
  EXPECT_EQ(frame.frame, 12);
  EXPECT_NEAR(frame.area.value, 3.14159265 * 1.2 * 1.2, 0.15);  // a circle of that radius
  EXPECT_GT(frame.area.sd, 0.0);
}

TEST(Stent, ExpansionIsTheMinimalAreaOverThePublishedReferences) {
  const InventedPullback made = Stented(Grade::kClean, 5);
  const auto reading = ReadPullback(QuestionOf(made), {});
  ASSERT_TRUE(reading->stent.has_value());
  const StentReading& stent = *reading->stent;
  ASSERT_TRUE(stent.reference_before && stent.reference_after);
  EXPECT_LT(*stent.reference_before, stent.first);
  EXPECT_GT(*stent.reference_after, stent.last);
  const double before = reading->sections[static_cast<std::size_t>(*stent.reference_before)].lumen.value;
  const double after = reading->sections[static_cast<std::size_t>(*stent.reference_after)].lumen.value;
  ASSERT_EQ(stent.expansion.size(), 3U);
  EXPECT_NEAR(stent.expansion[0].value, stent.smallest_area.value / (0.5 * (before + after)), 1e-9);
  EXPECT_NEAR(stent.expansion[1].value, stent.smallest_area.value / before, 1e-9);
  // The catheter's scale is the same above and below: it adds nothing to a ratio.
  EXPECT_LT(stent.expansion[0].sd / stent.expansion[0].value, stent.smallest_area.sd / stent.smallest_area.value);
}

TEST(Stent, RefusesPointsOutsideThePullback) {
  const auto made = InventPullback(OrderOf("open", Grade::kClean, 1, 3, 160));
  PullbackQuestion question = QuestionOf(*made);
  question.stent_points.push_back({9, 0.0, 1.0});
  EXPECT_EQ(ReadPullback(question, {}).error().what, "a point of the stent lies outside the pullback");
}

}  // namespace
}  // namespace fairlead
