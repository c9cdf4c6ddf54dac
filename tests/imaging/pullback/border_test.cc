// SPDX-License-Identifier: Apache-2.0
// Borders on invented pullbacks, whose truth comes from the generator's parameters. The limits are the aims for each
// grade; the large count of pullbacks is in bench/imaging/pullback.
#include "imaging/pullback/border.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "imaging/pullback/border_cost.h"
#include "imaging/pullback/border_rays.h"
#include "tests/imaging/pullback/scene.h"

namespace fairlead {
namespace {

struct Mean {
  double lumen = 0.0, eem = 0.0, lumen_area = 0.0, eem_area = 0.0;
};

Mean MeanOf(const InventedPullback& made, const Borders& borders) {
  Mean mean;
  const auto frames = static_cast<double>(made.truth.size());
  for (std::size_t f = 0; f < made.truth.size(); ++f) {
    const Agreement lumen = AgreementOf(borders.frames[f].lumen, made.truth[f].lumen), eem = AgreementOf(borders.frames[f].eem, made.truth[f].eem);
    mean.lumen += lumen.jaccard / frames, mean.eem += eem.jaccard / frames;
    mean.lumen_area += lumen.area_error / frames, mean.eem_area += eem.area_error / frames;
  }
  return mean;
}

Borders Found(const InventedPullback& made, const std::vector<BorderPoint>& corrections = {}) {
  const auto polar = ToPolar(QuestionOf(made).stack, {});
  return *CorrectBorders(*polar, *FindBorders(*polar, {}), corrections, {});
}

TEST(Borders, AgreeWithTheTruthOfACleanPullback) {
  const auto made = InventPullback(OrderOf("open", Grade::kClean, 3, 16, 300));
  const Mean mean = MeanOf(*made, Found(*made));
  EXPECT_GE(mean.lumen, 0.93);
  EXPECT_GE(mean.eem, 0.93);
  EXPECT_NEAR(mean.lumen_area, 0.0, 0.03);
  EXPECT_NEAR(mean.eem_area, 0.0, 0.02);
}

TEST(Borders, AgreeWithTheTruthOfATypicalPullback) {
  for (const char* scene : {"open", "plaque"}) {
    SCOPED_TRACE(scene);
    const auto made = InventPullback(OrderOf(scene, Grade::kTypical, 4, 20, 300));
    const Mean mean = MeanOf(*made, Found(*made));
    EXPECT_GE(mean.lumen, 0.88);
    EXPECT_GE(mean.eem, 0.88);
  }
}

// The channel is little wider than the catheter: its border lies in ring-down. Area within the aim's bias and one sd.
TEST(Borders, AreFoundWhereAChannelLiesInRingDown) {
  for (const char* scene : {"plaque", "outside"}) {
    SCOPED_TRACE(scene);
    const auto typical = InventPullback(OrderOf(scene, Grade::kTypical, 419, 20, 300));
    const Mean mean = MeanOf(*typical, Found(*typical));
    EXPECT_GE(mean.lumen, 0.88);
    EXPECT_NEAR(mean.lumen_area, 0.0, 0.08);
    const auto poor = InventPullback(OrderOf(scene, Grade::kPoor, 419, 20, 300));
    const Mean worse = MeanOf(*poor, Found(*poor));
    EXPECT_GE(worse.lumen, 0.80);
    EXPECT_NEAR(worse.lumen_area, 0.0, 0.15);
  }
}

TEST(Borders, FindTheCatheterAndItsRingDown) {
  const auto made = InventPullback(OrderOf("plaque", Grade::kTypical, 5, 12, 240));
  const Borders borders = Found(*made);
  EXPECT_NEAR(borders.catheter_mm, 0.5, 0.06);
  EXPECT_GE(borders.blind_mm, borders.catheter_mm);
  EXPECT_LE(borders.blind_mm, 0.75);
}

TEST(Borders, HoldWhenHalfTheFramesAreSaturated) {
  PullbackOrder order = OrderOf("open", Grade::kTypical, 6, 20, 300);
  order.saturated = true;
  const auto made = InventPullback(order);
  const Mean mean = MeanOf(*made, Found(*made));
  EXPECT_GE(mean.lumen, 0.93);
  EXPECT_GE(mean.eem, 0.93);
}

TEST(Borders, KnowWhichFramesAreFarTooBrightWhereABetterOneIsNear) {
  PullbackOrder order = OrderOf("plaque", Grade::kTypical, 6, 12, 240);
  order.saturated = true;  // every second frame, from the second on
  const auto polar = ToPolar(QuestionOf(*InventPullback(order)).stack, {});
  const std::vector<bool> found = FramesTooBright(*polar);
  for (std::size_t f = 0; f < found.size(); ++f) EXPECT_EQ(found[f], f % 2 == 1) << f;
  for (const Grade grade : {Grade::kClean, Grade::kPoor}) {
    const auto usual = ToPolar(QuestionOf(*InventPullback(OrderOf("outside", grade, 7, 8, 240))).stack, {});
    EXPECT_EQ(std::ranges::count(FramesTooBright(*usual), true), 0) << GradeName(grade);
  }
  Polar white = *polar;  // all of them: there is nothing better to look at
  std::ranges::fill(white.grey, std::uint8_t{255});
  EXPECT_EQ(std::ranges::count(FramesTooBright(white), true), 0);
}

// The truth is the generator's: in a clean vessel the dark band is there all round, and a border set where there is none is faint.
TEST(Borders, TellWhereTheMediaStandsOutAndTakeAPersonsWordForIt) {
  const auto made = InventPullback(OrderOf("open", Grade::kClean, 3, 10, 240));
  const auto polar = ToPolar(QuestionOf(*made).stack, {});
  const Borders found = *FindBorders(*polar, {});
  EXPECT_GE(found.clear_share, 0.97);
  std::vector<float> grey(static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(polar->depth), 100.0f);
  std::array<float, kAngles> anywhere{};
  anywhere.fill(60.0f);
  EXPECT_EQ(std::ranges::count(ClearMedia(*polar, grey, 6, anywhere, {}, 0), 1), 0);
  const auto set = ClearMedia(*polar, grey, 6, anywhere, {{0, 90.0, 1.5, true}}, 3);
  EXPECT_EQ(set[32], 1);
  EXPECT_EQ(set[96], 0);
  EXPECT_EQ(std::ranges::count(ClearMedia(*polar, grey, 6, anywhere, {{0, 90.0, 1.5, true}}, kPinned + 1), 1), 0);
}

TEST(Borders, AreTheSameWhenThePullbackRunsBackwards) {
  auto made = InventPullback(OrderOf("open", Grade::kTypical, 7, 12, 240));
  const Borders forwards = Found(*made);
  const std::size_t size = made->pixels.size() / 12;
  std::vector<std::uint8_t> turned;
  for (std::size_t f = 12; f-- > 0;) turned.insert(turned.end(), made->pixels.begin() + static_cast<std::ptrdiff_t>(f * size), made->pixels.begin() + static_cast<std::ptrdiff_t>((f + 1) * size));
  made->pixels = turned;
  const Borders back = Found(*made);
  for (std::size_t k = 0; k < kAngles; ++k) EXPECT_NEAR(forwards.frames[3].lumen[k], back.frames[8].lumen[k], 0.1f) << k;
}

TEST(Borders, ACorrectionPullsTheBorderAndItsNeighbours) {
  const auto made = InventPullback(OrderOf("open", Grade::kTypical, 8, 12, 240));
  const Borders before = Found(*made);
  const std::size_t ray = 32;  // 90 degrees
  const double wanted = static_cast<double>(before.frames[6].eem[ray]) + 0.3;
  const Borders after = Found(*made, {{6, 90.0, wanted, true}});
  EXPECT_NEAR(static_cast<double>(after.frames[6].eem[ray]), wanted, 0.1);
  EXPECT_GT(after.frames[7].eem[ray], before.frames[7].eem[ray] + 0.05f);   // the neighbours follow
  EXPECT_NEAR(after.frames[6].eem[96], before.frames[6].eem[96], 0.05f);    // the other side stays
}

// Only the frames round a correction are gone through again; that must be what going through all of them gives.
TEST(Borders, ACorrectionWorkedInWhereItCountsIsTheSameAsOneWorkedInEverywhere) {
  const auto made = InventPullback(OrderOf("open", Grade::kTypical, 10, 90, 160));
  const auto polar = ToPolar(QuestionOf(*made).stack, {});
  const Borders found = *FindBorders(*polar, {});
  const double away = static_cast<double>(found.frames[40].lumen[20]) + 0.4;
  const std::vector<BorderPoint> one = {{40, 56.25, away, false}, {42, 200.0, 1.9, true}};
  const Borders near_by = *CorrectBorders(*polar, found, one, {});
  const Borders everywhere = *CorrectBorders(*polar, found, one, {}, 1000);
  int changed = 0;
  for (std::size_t f = 0; f < 90; ++f) {
    if (std::abs(static_cast<int>(f) - 41) <= kFollowing + 1) EXPECT_TRUE(near_by.frames[f] == everywhere.frames[f]) << f;
    else EXPECT_TRUE(near_by.frames[f] == found.frames[f]) << f;
    changed += near_by.frames[f] == found.frames[f] ? 0 : 1;
  }
  EXPECT_GE(changed, 2 * kPinned + 1);
  EXPECT_LE(changed, 2 * (kFollowing + 1) + 1);
}

TEST(Borders, CorrectionsFarApartDoNotMeddleWithEachOther) {
  const auto made = InventPullback(OrderOf("open", Grade::kTypical, 11, 110, 160));
  const auto polar = ToPolar(QuestionOf(*made).stack, {});
  const Borders found = *FindBorders(*polar, {});
  const BorderPoint early{10, 30.0, 1.2, false}, late{95, 300.0, 2.2, true};
  const Borders both = *CorrectBorders(*polar, found, {late, early}, {}), alone = *CorrectBorders(*polar, found, {early}, {});
  for (std::size_t f = 0; f < 50; ++f) EXPECT_TRUE(both.frames[f] == alone.frames[f]) << f;
  EXPECT_TRUE(CorrectBorders(*polar, found, {}, {})->frames == found.frames);   // taken back: as it was
}

TEST(Borders, MarkWhatCalciumHides) {
  InventedPullback made = *InventPullback(OrderOf("open", Grade::kTypical, 12, 24, 300));
  const Borders borders = Found(made);
  int right = 0, all = 0;
  for (std::size_t f = 0; f < made.truth.size(); ++f) {
    for (std::size_t k = 0; k < kAngles; ++k) {
      const double degrees = 360.0 * static_cast<double>(k) / kAngles;
      bool hidden = false, edge = DegreesApart(degrees, made.truth[f].guidewire.angle_deg) < 9.0;
      for (const ArcTruth& arc : made.truth[f].calcium) {
        const double middle = 0.5 * (arc.from_deg + arc.to_deg), half = 0.5 * (arc.to_deg - arc.from_deg), away = DegreesApart(degrees, middle);
        hidden = hidden || away < half;
        edge = edge || std::abs(away - half) < 6.0;
      }
      if (const auto& branch = made.truth[f].branch) {  // its blood hides nothing and is no adventitia either
        edge = edge || DegreesApart(degrees, 0.5 * (branch->from_deg + branch->to_deg)) < 0.5 * (branch->to_deg - branch->from_deg) + 6.0;
      }
      if (edge) continue;
      ++all;
      if ((borders.frames[f].eem_seen[k] == 0) == hidden) ++right;
    }
  }
  EXPECT_GE(static_cast<double>(right) / all, 0.95);
}

// A poor, saturated pullback in whose second half blood and plaque cannot be told apart: what is drawn there comes from the
// frames beside it and is not called seen. The truth is the generator's.
TEST(Borders, AreCarriedOverAndNotSeenWhereNoWallStandsOut) {
  PullbackOrder order = OrderOf("open", Grade::kPoor, 307, 40, 400);
  order.saturated = true;
  const InventedPullback made = *InventPullback(order);
  const Borders borders = Found(made);
  int carried = 0;
  for (std::size_t f = 0; f < made.truth.size(); ++f) {
    const double jaccard = AgreementOf(borders.frames[f].lumen, made.truth[f].lumen).jaccard;
    if (borders.carried[f]) {
      ++carried;
      EXPECT_EQ(std::ranges::count(borders.frames[f].lumen_seen, 1), 0);
    }
    EXPECT_GT(jaccard, 0.85) << f;
  }
  EXPECT_GT(carried, 5);
  // A clean one has none.
  const InventedPullback clean = *InventPullback(OrderOf("open", Grade::kClean, 307, 12, 300));
  EXPECT_EQ(std::ranges::count(Found(clean).carried, true), 0);
}

TEST(Borders, StopWhenAsked) {
  const auto made = InventPullback(OrderOf("open", Grade::kClean, 9, 4, 160));
  std::stop_source source;
  source.request_stop();
  EXPECT_EQ(ReadPullback(QuestionOf(*made), source.get_token()).error().what, "stopped");
}

}  // namespace
}  // namespace fairlead
