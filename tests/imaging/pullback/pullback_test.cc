// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/pullback.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdint>
#include <utility>

#include "tests/imaging/pullback/scene.h"

namespace fairlead {
namespace {

TEST(Pullback, TellsInsideFromOutside) {
  const auto inside = InventPullback(OrderOf("plaque", Grade::kTypical, 21, 20, 300));
  const auto in_plaque = ReadPullback(QuestionOf(*inside), {});
  for (const SpaceRange& range : in_plaque->ranges) EXPECT_GE(range.catheter.inside(), 0.8);
  const auto outside = InventPullback(OrderOf("outside", Grade::kTypical, 21, 20, 300));
  const auto beside = ReadPullback(QuestionOf(*outside), {});
  for (const SpaceRange& range : beside->ranges) {
    EXPECT_LE(range.catheter.inside(), 0.2);
  }
}

// The generator's truth: the catheter is inside throughout. A media that noise hides is no sign of the contrary.
TEST(Pullback, DoesNotTakeAVesselWhoseMediaIsLostInNoiseForOutside) {
  for (const unsigned seed : {3U, 8U, 9U, 20U}) {
    SCOPED_TRACE(seed);
    const auto made = InventPullback(OrderOf(seed % 2 == 0 ? "plaque" : "plaque-far-outside", Grade::kPoor, seed, 20, 300));
    const auto reading = ReadPullback(QuestionOf(*made), {});
    for (const SpaceRange& range : reading->ranges) EXPECT_GT(range.catheter.inside(), 0.2) << range.first;
  }
}

TEST(Pullback, SaysThatFramesAreTooBrightAndReadsTheOthers) {
  PullbackOrder order = OrderOf("plaque", Grade::kClean, 2, 20, 240);
  order.saturated = true;
  const auto reading = ReadPullback(QuestionOf(*InventPullback(order)), {});
  EXPECT_TRUE(std::ranges::any_of(reading->remarks, [](const std::string& text) { return text.find("10 of 20 frames are far too bright") != std::string::npos; }));
  for (const SpaceRange& range : reading->ranges) EXPECT_GE(range.catheter.inside(), 0.8);
}

TEST(Pullback, TellsOnWhichSideOfTheMediaTheSecondWireLies) {
  for (const auto& [scene, in_plaque] : {std::pair{"plaque", true}, std::pair{"plaque-far-outside", false}}) {
    SCOPED_TRACE(scene);
    const auto made = InventPullback(OrderOf(scene, Grade::kClean, 4, 20, 300));
    const auto reading = ReadPullback(QuestionOf(*made), {});
    ASSERT_TRUE(std::ranges::any_of(reading->ranges, [](const SpaceRange& range) { return range.wire.has_value(); }));
    for (const SpaceRange& range : reading->ranges) {
      if (!range.wire) continue;
      if (in_plaque) { EXPECT_GE(range.wire->inside(), 0.8); }
      else { EXPECT_LE(range.wire->inside(), 0.2); }
    }
  }
}

TEST(Pullback, SaysThatItHasNoDistancesWithoutASpeed) {
  const auto made = InventPullback(OrderOf("open", Grade::kClean, 1, 6, 200));
  PullbackQuestion question = QuestionOf(*made);
  question.mm_per_frame.reset();
  const auto reading = ReadPullback(question, {});
  EXPECT_FALSE(reading->sections[3].z_mm.has_value());
  EXPECT_EQ(reading->remarks.front(), "The speed of the pullback is not known: frames have an order, but no distances.");
}

TEST(Pullback, RefusesMarksOutsideIt) {
  const auto made = InventPullback(OrderOf("open", Grade::kClean, 1, 3, 160));
  PullbackQuestion question = QuestionOf(*made);
  question.corrections.push_back({7, 0.0, 1.0, false});
  EXPECT_EQ(ReadPullback(question, {}).error().what, "a correction lies outside the pullback");
  question.corrections.clear();
  question.clicks.push_back({-1, 0.0, true});
  EXPECT_EQ(ReadPullback(question, {}).error().what, "a wire's mark lies outside the pullback");
}

TEST(Pullback, ReadAgainWithPointsIsTheSameAsReadWithThemAtOnce) {
  const auto made = InventPullback(OrderOf("plaque", Grade::kTypical, 5, 60, 200));
  PullbackQuestion question = QuestionOf(*made);
  const PullbackStudy study = *StudyPullback(question, {});
  const PullbackReading before = *ReadStudied(study, question, {});
  question.corrections.push_back({20, 90.0, 1.7, true});
  question.clicks.push_back({50, 10.0, true});
  const PullbackReading again = *ReadStudied(study, question, {}), at_once = *ReadPullback(question, {});
  EXPECT_TRUE(FramesThatDiffer(again, at_once).empty());
  EXPECT_EQ(again.thinnest, at_once.thinnest);
  const std::vector<int> differ = FramesThatDiffer(before, again);
  EXPECT_TRUE(std::ranges::find(differ, 20) != differ.end());
  EXPECT_TRUE(std::ranges::find(differ, 50) != differ.end());
}

TEST(Pullback, TakesASingleFrameAndAnEmptyOne) {
  const auto made = InventPullback(OrderOf("open", Grade::kClean, 1, 1, 200));
  EXPECT_EQ(ReadPullback(QuestionOf(*made), {})->sections.size(), 1U);
  InventedPullback black = *made;
  std::fill(black.pixels.begin(), black.pixels.end(), std::uint8_t{0});
  EXPECT_TRUE(ReadPullback(QuestionOf(black), {}).ok());
  std::fill(black.pixels.begin(), black.pixels.end(), std::uint8_t{255});
  EXPECT_TRUE(ReadPullback(QuestionOf(black), {}).ok());
}

}  // namespace
}  // namespace fairlead
