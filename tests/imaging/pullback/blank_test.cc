// SPDX-License-Identifier: Apache-2.0
// Pullbacks with nothing to see, and hostile ones: what is not there is not measured, and no space is told.
#include "imaging/pullback/blank.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include "tests/imaging/pullback/scene.h"

namespace fairlead {
namespace {

void NothingIsTold(const InventedPullback& made) {
  const auto reading = ReadPullback(QuestionOf(made), {});
  ASSERT_TRUE(reading.ok());
  for (const PullbackSection& section : reading->sections) {
    EXPECT_FALSE(section.eem.has_value());
    EXPECT_GE(section.lumen.sd, section.lumen.value);  // as large as the value: not known
  }
  for (const SpaceRange& range : reading->ranges) {
    EXPECT_GT(range.catheter.inside(), 0.2);
    EXPECT_LT(range.catheter.inside(), 0.8);
    EXPECT_FALSE(range.wire.has_value());
  }
  EXPECT_FALSE(reading->stent.has_value());
  EXPECT_TRUE(reading->wires.second.frames.empty());
  EXPECT_FALSE(reading->thinnest.has_value());
  EXPECT_TRUE(std::ranges::any_of(reading->remarks, [](const std::string& text) { return text.find("nothing to see") != std::string::npos; }));
}

InventedPullback Small() { return *InventPullback(OrderOf("plaque", Grade::kTypical, 5, 20, 240)); }

TEST(Blank, InFramesOfOneGreyNothingIsTold) {
  for (const int grey : {0, 128, 255}) {
    SCOPED_TRACE(grey);
    InventedPullback made = Small();
    std::ranges::fill(made.pixels, static_cast<std::uint8_t>(grey));
    NothingIsTold(made);
  }
}

TEST(Blank, InNoiseNothingIsTold) {
  InventedPullback made = Small();
  std::mt19937 random(1);
  for (std::uint8_t& pixel : made.pixels) pixel = static_cast<std::uint8_t>(random() & 0xFFU);
  NothingIsTold(made);
}

TEST(Blank, NoFrameOfAnyGradeIsTakenForBlankAtAnySpeed) {
  for (const Grade grade : {Grade::kClean, Grade::kTypical, Grade::kPoor}) {
    for (const double speed : {1.0, 10.0}) {
      PullbackOrder order = OrderOf("outside", grade, 3, 12, 240);
      order.speed_mm_s = speed;
      const auto made = InventPullback(order);
      const auto polar = ToPolar(QuestionOf(*made).stack, {});
      EXPECT_EQ(std::ranges::count(BlankFrames(*polar, 0.7), true), 0) << GradeName(grade) << " " << speed;
    }
  }
}

// A picture from elsewhere: speckle with slow waves, still from frame to frame, and no catheter in its middle.
TEST(Blank, WithoutACatheterInTheMiddleNoSpaceIsTold) {
  InventedPullback made = Small();
  std::mt19937 random(2);
  std::vector<std::uint8_t> frame(made.pixels.size() / 20);
  for (std::size_t i = 0; i < frame.size(); ++i) {
    const double wave = 110.0 + 60.0 * std::sin(static_cast<double>(i % 240) / 17.0) * std::cos(static_cast<double>(i / 240) / 23.0);
    frame[i] = static_cast<std::uint8_t>(wave + static_cast<double>(random() % 40));
  }
  for (std::size_t i = 0; i < made.pixels.size(); ++i) made.pixels[i] = static_cast<std::uint8_t>(frame[i % frame.size()] + random() % 8);
  const auto reading = ReadPullback(QuestionOf(made), {});
  EXPECT_FALSE(CatheterSeen(reading->borders));
  for (const SpaceRange& range : reading->ranges) {
    EXPECT_GT(range.catheter.inside(), 0.2);
    EXPECT_LT(range.catheter.inside(), 0.8);
  }
  EXPECT_TRUE(std::ranges::any_of(reading->remarks, [](const std::string& text) { return text.starts_with("No catheter is seen"); }));
}

// The connector was loose for a while: only those frames are lost.
TEST(Blank, OnlyTheFramesWithoutAPictureAreLeftOut) {
  InventedPullback made = Small();
  const std::size_t size = made.pixels.size() / 20;
  std::fill(made.pixels.begin() + static_cast<std::ptrdiff_t>(8 * size), made.pixels.begin() + static_cast<std::ptrdiff_t>(13 * size), std::uint8_t{0});
  const auto reading = ReadPullback(QuestionOf(made), {});
  for (std::size_t f = 0; f < 20; ++f) EXPECT_EQ(reading->borders.blank[f], f >= 8 && f < 13) << f;
  EXPECT_TRUE(reading->sections[2].eem.has_value());
  EXPECT_FALSE(reading->sections[10].eem.has_value());
}

TEST(Blank, HalfTheFramesSaturatedOrThePullbackRunBackwardsKeepTheirSpaces) {
  for (const bool backwards : {false, true}) {
    SCOPED_TRACE(backwards);
    PullbackOrder order = OrderOf("plaque", Grade::kClean, 6, 20, 240);
    (backwards ? order.backwards : order.saturated) = true;
    const auto made = InventPullback(order);
    const auto reading = ReadPullback(QuestionOf(*made), {});
    EXPECT_EQ(std::ranges::count(reading->borders.blank, true), 0);
    for (const SpaceRange& range : reading->ranges) EXPECT_GE(range.catheter.inside(), 0.8);
    double eem = 0.0;
    for (std::size_t f = 0; f < 20; ++f) eem += AgreementOf(reading->borders.frames[f].eem, made->truth[f].eem).jaccard / 20.0;
    EXPECT_GE(eem, 0.88);
  }
}

}  // namespace
}  // namespace fairlead
