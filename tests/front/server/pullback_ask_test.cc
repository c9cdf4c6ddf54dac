// SPDX-License-Identifier: Apache-2.0
#include "front/server/pullback_answer.h"

#include <gtest/gtest.h>

#include <string>

#include "imaging/pullback/invented.h"

namespace fairlead {
namespace {

constexpr std::string_view kAll = R"({"image": "00ff", "pixel_mm": 0.02, "speed_mm_s": 0.5, "near": "plaque", "far": "outside=0.9", "borders": false,
  "corrections": [{"border": "media", "frame": 3, "angle_deg": 90, "distance_mm": 1.9}, {"border": "lumen", "frame": 0, "angle_deg": -5.5, "distance_mm": 0.7}],
  "wires": [{"wire": "second", "frame": 8, "angle_deg": 77}, {"wire": "catheter", "frame": 1, "angle_deg": 10}]})";

TEST(PullbackAsk, TakesEveryMember) {
  const auto ask = ParsePullbackAsk(kAll, true);
  ASSERT_TRUE(ask.ok()) << ask.error().what;
  EXPECT_EQ(ask->image, "00ff");
  EXPECT_DOUBLE_EQ(*ask->pixel_mm, 0.02);
  EXPECT_DOUBLE_EQ(*ask->speed_mm_s, 0.5);
  EXPECT_TRUE(ask->near_wire->by_reader);
  EXPECT_DOUBLE_EQ(ask->far_wire->outside, 0.9);
  EXPECT_FALSE(ask->borders);
  ASSERT_EQ(ask->corrections.size(), 2U);
  EXPECT_TRUE(ask->corrections[0].media);
  EXPECT_DOUBLE_EQ(ask->corrections[1].angle_deg, -5.5);
  ASSERT_EQ(ask->clicks.size(), 2U);
  EXPECT_TRUE(ask->clicks[0].second);
  EXPECT_EQ(ask->clicks[1].frame, 1);
}

TEST(PullbackAsk, TheCommandLineNamesNoImage) {
  EXPECT_TRUE(ParsePullbackAsk("{}", false).ok());
  EXPECT_FALSE(ParsePullbackAsk("{}", true).ok());
}

TEST(PullbackAsk, RefusesWhatItCannotTake) {
  for (const char* wrong : {"[]", "", R"({"pixels": 1})", R"({"pixel_mm": 0})", R"({"pixel_mm": "wide"})", R"({"near": "left"})", R"({"borders": 1})",
                            R"({"corrections": [{"border": "wall", "frame": 1, "angle_deg": 0, "distance_mm": 1}]})",
                            R"({"corrections": [{"border": "lumen", "frame": 1.5, "angle_deg": 0, "distance_mm": 1}]})",
                            R"({"corrections": [{"border": "lumen", "frame": 1, "angle_deg": 0}]})", R"({"wires": {}})",
                            R"({"wires": [{"wire": "second", "frame": -1, "angle_deg": 0}]})"}) {
    const auto ask = ParsePullbackAsk(wrong, false);
    EXPECT_FALSE(ask.ok()) << wrong;
    if (!ask.ok()) { EXPECT_FALSE(ask.error().what.empty()) << wrong; }
  }
}

Run RunOf(const InventedPullback& made) {
  Run run;
  run.kind = RunKind::kUltrasound;
  run.bits = 8;
  run.rows = run.columns = made.order.size;
  run.frames = made.order.frames;
  for (int frame = 0; frame < run.frames; ++frame) run.frame_ms.push_back(frame * made.order.frame_time.milliseconds());
  return run;
}

// The truth is the generator's order: 0.025 mm a pixel, 1 mm/s at 30 frames a second.
TEST(PullbackAnswer, SaysHowItKnowsItsScale) {
  PullbackOrder order;
  order.scene = "open", order.frames = 8, order.size = 240;
  const auto made = InventPullback(order);
  auto run = RunOf(*made);
  EXPECT_EQ(AnswerPullback({}, run, made->pixels, {}).error().what, "the file does not say how large a pixel is");
  PullbackAsk ask;
  ask.pixel_mm = 0.025;
  auto answer = AnswerPullback(ask, run, made->pixels, {});
  ASSERT_TRUE(answer.ok()) << answer.error().what;
  EXPECT_EQ(answer->scale.pixel_from, "typed");
  EXPECT_FALSE(answer->reading.sections[7].z_mm.has_value());
  run.pullback_mm_s = 1.0;
  answer = AnswerPullback(ask, run, made->pixels, {});
  EXPECT_NEAR(*answer->reading.sections[7].z_mm, 7.0 / 30.0, 1e-9);
  EXPECT_FALSE(answer->two_wires);
  EXPECT_NE(PullbackAnswerJson(*answer, true).find("\"joining\":null"), std::string::npos);
  run.kind = RunKind::kAngiogram;
  EXPECT_EQ(AnswerPullback(ask, run, made->pixels, {}).error().what, "this is no ultrasound: X-ray angiogram");
}

TEST(PullbackAnswer, APersonsMarkWins) {
  PullbackOrder order;
  order.scene = "plaque", order.grade = Grade::kClean, order.frames = 20, order.size = 300, order.seed = 2;
  const auto made = InventPullback(order);
  PullbackAsk ask;
  ask.pixel_mm = 0.025;
  ask.far_wire = *ParseSpace("outside");
  const auto answer = AnswerPullback(ask, RunOf(*made), made->pixels, {});
  ASSERT_TRUE(answer.ok());
  EXPECT_EQ(answer->joining.title, "near wire in plaque, far wire outside");
}

// A reading that the asker has: only sections that a point changed come again, and the rest stands.
TEST(PullbackAsk, AnswersAPointWithTheFramesThatItChanged) {
  PullbackOrder order;
  order.scene = "open", order.grade = Grade::kClean, order.seed = 4, order.frames = 60, order.size = 200;
  const auto made = InventPullback(order);
  const auto run = RunOf(*made);
  PullbackAsk ask;
  ask.pixel_mm = order.pixel.millimetres();
  std::shared_ptr<const PullbackStudy> study;
  const auto first = AnswerPullback(ask, run, made->pixels, {}, nullptr, study);
  ASSERT_TRUE(first.ok());
  ASSERT_NE(study, nullptr);
  ask.corrections.push_back({30, 90.0, 2.2, true});
  const auto second = AnswerPullback(ask, run, {}, {}, nullptr, study);   // without the pictures
  ASSERT_TRUE(second.ok());
  EXPECT_NE(second->number, first->number);
  const std::string some = PullbackAnswerJson(*second, true, &*first), all = PullbackAnswerJson(*second, true);
  EXPECT_NE(some.find("\"after\":" + std::to_string(first->number)), std::string::npos);
  EXPECT_NE(some.find("\"frame\":30,"), std::string::npos);
  EXPECT_EQ(some.find("\"frame\":59,"), std::string::npos);
  EXPECT_NE(all.find("\"after\":null"), std::string::npos);
  EXPECT_NE(all.find("\"frame\":59,"), std::string::npos);
}

TEST(PullbackMarks, AreWrittenAsTheyAreRead) {
  const auto body = ParsePullbackMarks(R"({"after": 3, "by": "AB", "marks": {"pixel_mm": 0.02, "corrections": [{"border": "media", "frame": 3, "angle_deg": 90, "distance_mm": 1.9}, {"border": "stent", "frame": 4, "angle_deg": 10, "distance_mm": 1.2}],
    "wires": [{"wire": "second", "frame": 8, "angle_deg": 77}], "pairs": [{"frame": 5, "along_mm": 31.5, "name": "first diagonal"}], "vessel": "01J"}})");
  ASSERT_TRUE(body.ok()) << body.error().what;
  EXPECT_EQ(body->after, 3);
  EXPECT_EQ(PullbackMarksJson(body->marks),
            R"({"pixel_mm":0.02,"speed_mm_s":null,"corrections":[{"border":"media","frame":3,"angle_deg":90,"distance_mm":1.9},{"border":"stent","frame":4,"angle_deg":10,"distance_mm":1.2}],"wires":[{"wire":"second","frame":8,"angle_deg":77}],"pairs":[{"frame":5,"along_mm":31.5,"name":"first diagonal"}],"vessel":"01J"})");
  for (const char* wrong : {"{}", R"({"after": -1, "by": "AB", "marks": {}})", R"({"after": 0, "marks": {}})", R"({"after": 0, "by": "AB"})", R"({"after": 0, "by": "AB", "marks": {"images": 3}})"}) {
    EXPECT_FALSE(ParsePullbackMarks(wrong).ok()) << wrong;
  }
}

// What is visible first counts frames as the whole does, and lies where the whole reading lies.
TEST(PullbackAnswer, FramesNearOneAreReadByThemselves) {
  PullbackOrder order;
  order.scene = "open", order.grade = Grade::kClean, order.frames = 60, order.size = 200;
  const auto made = InventPullback(order);
  const auto run = RunOf(*made);
  PullbackAsk ask;
  ask.pixel_mm = order.pixel.millimetres(), ask.speed_mm_s = 1.0;
  const FrameSpan span = FramesNear(run, 55);
  EXPECT_EQ(span.first, 35);
  EXPECT_EQ(span.last, 59);
  EXPECT_EQ(FramesNear(run, 9999).last, 59);
  const std::size_t size = made->pixels.size() / 60;
  const auto near_by = PullbackNearJson(ask, run, std::span(made->pixels).subspan(35 * size), span, {});
  ASSERT_TRUE(near_by.ok()) << near_by.error().what;
  EXPECT_NE(near_by->find("\"first\":35,\"last\":59,\"frames\":60"), std::string::npos);
  EXPECT_NE(near_by->find("\"sections\":[{\"frame\":35,\"z_mm\":1.167"), std::string::npos) << near_by->substr(0, 300);
  EXPECT_EQ(PullbackNearJson(ask, run, std::span(made->pixels).subspan(50 * size), span, {}).error().what, "the frames are cut off");
}

}  // namespace
}  // namespace fairlead
