// SPDX-License-Identifier: Apache-2.0
// A pullback laid along a traced vessel. The worked case is arithmetic on three pairs, done by hand: 52.0, 36.5 and 9.8 mm at
// frames 120, 610 and 1380 give 0.031633 and 0.034675 mm a frame.
#include "imaging/pullback/align.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace fairlead {
namespace {

AlignQuestion Worked() { return {{{1380, 9.8, ""}, {120, 52.0, ""}, {610, 36.5, ""}}, 1600, std::nullopt, 60.0, false}; }

TEST(Align, TheWorkedCase) {
  const auto alignment = AlignPullback(Worked());
  ASSERT_TRUE(alignment.ok());
  EXPECT_NEAR(alignment->places[300].along_mm, 46.306, 5e-4);   // 52.0 - 180 x 15.5 / 490
  EXPECT_NEAR(alignment->places[900].along_mm, 26.444, 5e-4);   // 36.5 - 290 x 26.7 / 770
  EXPECT_NEAR(alignment->places[1500].along_mm, 5.639, 5e-4);   // 9.8 - 120 x 26.7 / 770
  EXPECT_TRUE(alignment->places[1500].beyond);
  EXPECT_FALSE(alignment->places[900].beyond);
  EXPECT_TRUE(alignment->remarks.empty());                      // 9 % apart: within what motors do
}

TEST(Align, NamedPlacesAreHeldAndItsDoubtGrowsBetweenThem) {
  const auto alignment = AlignPullback(Worked());
  EXPECT_DOUBLE_EQ(alignment->places[610].along_mm, 36.5);
  EXPECT_DOUBLE_EQ(alignment->places[610].sd_mm, kPlaceSd);
  EXPECT_GT(alignment->places[1000].sd_mm, alignment->places[700].sd_mm);
  // 9 % of the way to the nearest: 10 mm away 0.9 mm, and the place's own 0.5 mm.
  const AlignedPlace far = alignment->places[610 + static_cast<std::size_t>(std::lround(10.0 / 0.034675))];
  EXPECT_NEAR(far.sd_mm, std::hypot(0.5, 0.9), 0.01);
}

TEST(Align, GoesBothWays) {
  for (const bool turned : {false, true}) {
    AlignQuestion question = Worked();
    if (turned) for (PlacePair& pair : question.pairs) pair.along_mm = 60.0 - pair.along_mm;
    const auto alignment = AlignPullback(question);
    for (const int frame : {0, 119, 120, 121, 400, 610, 1379, 1380, 1381, 1599}) {
      const auto back = FrameAt(*alignment, alignment->places[static_cast<std::size_t>(frame)].along_mm);
      ASSERT_TRUE(back.has_value()) << frame;
      EXPECT_NEAR(back->frame, frame, 1e-6);
      EXPECT_GT(back->sd_frames, 0.0);
    }
  }
}

TEST(Align, PlacesOutsideThePullbackHaveNoFrame) {
  const auto alignment = AlignPullback({{{50, 20.0, ""}}, 100, 0.1, 60.0, false});
  EXPECT_TRUE(FrameAt(*alignment, 20.0 + 4.9).has_value());
  EXPECT_FALSE(FrameAt(*alignment, 20.0 + 5.2).has_value());
  EXPECT_FALSE(FrameAt(*alignment, 2.0).has_value());
}

TEST(Align, OnePlaceGoesByTheMotorAndSaysSo) {
  const auto drawn = AlignPullback({{{50, 20.0, ""}}, 100, 0.1, 60.0, false}), pushed = AlignPullback({{{50, 20.0, ""}}, 100, 0.1, 60.0, true});
  EXPECT_NEAR(drawn->places[60].along_mm, 19.0, 1e-9);
  EXPECT_NEAR(pushed->places[60].along_mm, 21.0, 1e-9);
  EXPECT_EQ(drawn->remarks.size(), 1U);
  EXPECT_EQ(AlignPullback({{{50, 20.0, ""}}, 100, std::nullopt, 60.0, false}).error().what, "one place alone needs the pullback's speed");
}

TEST(Align, QuestionsPairsThatDoNotFit) {
  EXPECT_NE(AlignPullback({{{10, 30.0, ""}, {50, 20.0, ""}, {90, 25.0, ""}}, 100, std::nullopt, 60.0, false}).error().what.find("the places cross"), std::string::npos);
  EXPECT_EQ(AlignPullback({{{10, 30.0, ""}, {10, 20.0, ""}}, 100, std::nullopt, 60.0, false}).error().what, "frame 11 is named twice");
  EXPECT_EQ(AlignPullback({{}, 100, 0.1, 60.0, false}).error().what, "no place is named in both");
  EXPECT_EQ(AlignPullback({{{100, 30.0, ""}}, 100, 0.1, 60.0, false}).error().what, "the pullback has 100 frames");
  EXPECT_EQ(AlignPullback({{{1, 61.0, ""}}, 100, 0.1, 60.0, false}).error().what, "the traced vessel is 60.0 mm long");
  EXPECT_FALSE(AlignPullback({{{1, std::nan(""), ""}}, 100, 0.1, 60.0, false}).ok());
  const auto uneven = AlignPullback({{{10, 30.0, ""}, {50, 25.0, ""}, {60, 20.0, ""}}, 100, std::nullopt, 60.0, false});
  ASSERT_EQ(uneven->remarks.size(), 1U);
  const auto fast = AlignPullback({{{10, 30.0, ""}, {60, 20.0, ""}}, 100, 0.1, 60.0, false});
  ASSERT_EQ(fast->remarks.size(), 1U);
  EXPECT_NE(fast->remarks[0].find("100 % farther"), std::string::npos);
}

// A motor whose speed wanders by 15 % along 60 mm, four branches named exactly: within 0.8 mm, and inside what is stated.
TEST(Align, HoldsWithAMotorThatWanders) {
  std::mt19937 random(5);
  std::uniform_real_distribution<double> phase(0.0, 6.28);
  double square = 0.0, stated = 0.0;
  int count = 0;
  for (int trial = 0; trial < 40; ++trial) {
    const double a = phase(random), b = phase(random);
    std::vector<double> truth;
    double z = 60.0;
    for (int frame = 0; frame < 1800; ++frame) {
      truth.push_back(z);
      z -= 60.0 / 1800.0 * (1.0 + 0.15 * (0.6 * std::sin(frame / 250.0 + a) + 0.4 * std::sin(frame / 90.0 + b)));
    }
    AlignQuestion question{{}, 1800, 60.0 / 1800.0, 80.0, false};
    for (const int frame : {150, 650, 1150, 1650}) question.pairs.push_back({frame, truth[static_cast<std::size_t>(frame)], ""});
    const auto alignment = AlignPullback(question);
    for (std::size_t f = 0; f < 1800; f += 7) {
      square += std::pow(alignment->places[f].along_mm - truth[f], 2.0), stated += std::pow(alignment->places[f].sd_mm, 2.0);
      ++count;
      if (f > 0) { EXPECT_LT(alignment->places[f].along_mm, alignment->places[f - 1].along_mm); }
    }
  }
  EXPECT_LE(std::sqrt(square / count), 0.8);
  EXPECT_LE(square, stated);
}

}  // namespace
}  // namespace fairlead
