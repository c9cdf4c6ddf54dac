// SPDX-License-Identifier: Apache-2.0
// The line of a measurement in two views, back into what the engine measures from. Expected members: docs/wire.md.
#include "front/server/pair_note.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "front/server/pair_body.h"

namespace fairlead {
namespace {

const std::string kA(64, 'a'), kB(64, 'b');
std::string Note(const std::string& rest) { return "Two views | A " + kA + " frame 36 | B " + kB + " frame 35 shift 1,0,-2.5 mm | table still" + rest; }

TEST(PairNote, GivesEveryClickWhereItWas) {
  const auto points = PointsOfNote(Note(" | near cap A 61.9,259.6 B 144.1,260.7 | far cap A 80,300 B 150,301.25 | vessel before A 1,2 3,4 B 5,6 7,8 | inside A 9,9 | point 1 A 10,20 B 30,40"
                                        " | point 2 B 1,1 | vessel A 1,1 2,2 B 3,3 4,4 | channel A 5,5 6,6 B 7,7 8,8"));
  ASSERT_TRUE(points);
  const auto expected = nlohmann::json::parse(R"({"frames": {"a": {"image": ")" + kA + R"(", "frame": 35}, "b": {"image": ")" + kB + R"(", "frame": 34, "shift_mm": [1, 0, -2.5]}},
    "table": "still", "marks": [{"name": "point 1", "at": {"a": [10, 20], "b": [30, 40]}}, {"name": "point 2", "at": {"b": [1, 1]}}],
    "paths": [{"name": "vessel", "kind": "vessel", "at": {"a": [[1, 1], [2, 2]], "b": [[3, 3], [4, 4]]}},
              {"name": "channel", "kind": "collateral", "at": {"a": [[5, 5], [6, 6]], "b": [[7, 7], [8, 8]]}}],
    "occlusion": {"near_cap": {"a": [61.9, 259.6], "b": [144.1, 260.7]}, "far_cap": {"a": [80, 300], "b": [150, 301.25]},
                  "before": {"a": [[1, 2], [3, 4]], "b": [[5, 6], [7, 8]]}, "course": {"a": [[9, 9]]}}})");
  EXPECT_EQ(nlohmann::json::parse(*points), expected) << *points;
  EXPECT_TRUE(ParsePairPoints(*points, "image").ok());
}

FactStated OfTwoViews() {
  FactStated fact;
  fact.origin.views = {{kA, 35, "", "", {}, {{"near cap", {{61.9, 259.6}}}, {"far cap", {{80, 300}}}, {"vessel before", {{1, 2}, {3, 4}}}, {"point 1", {{10, 20}}}, {"channel", {{5, 5}, {6, 6}}}}},
                       {kB, 34, "trace 5", "moved", {1, 0, -2.5}, {{"near cap", {{144.1, 260.7}}}, {"far cap", {{150, 301.25}}}, {"vessel before", {{5, 6}, {7, 8}}}, {"point 1", {{30, 40}}}, {"point 2", {{1, 1}}}, {"channel", {{7, 7}, {8, 8}}}}}};
  return fact;
}

TEST(PairNote, ThePicturesOfAFactGiveTheSameAsItsLineOnceDid) {
  FactStated now = OfTwoViews(), then;
  then.note = Note(" | near cap A 61.9,259.6 B 144.1,260.7 | far cap A 80,300 B 150,301.25 | vessel before A 1,2 3,4 B 5,6 7,8 | point 1 A 10,20 B 30,40 | point 2 B 1,1 | channel A 5,5 6,6 B 7,7 8,8");
  then.note.replace(then.note.find("table still"), 11, "table unknown");
  const auto points = PointsOfFact(now), line = PointsOfFact(then);
  ASSERT_TRUE(points);
  ASSERT_TRUE(line);
  EXPECT_EQ(nlohmann::json::parse(*points), nlohmann::json::parse(*line));
  EXPECT_TRUE(ParsePairPoints(*points, "image").ok());
  now.origin.views[1].table = "still", now.origin.views[1].shift_mm.clear();
  EXPECT_EQ(nlohmann::json::parse(*PointsOfFact(now))["table"], "still");
}

TEST(PairNote, PicturesOfCapsAreNoTwoViews) {
  FactStated fact = OfTwoViews();
  fact.origin.views[1].table.clear();
  EXPECT_FALSE(PointsOfFact(fact));
  fact.origin.views.pop_back();
  EXPECT_FALSE(PointsOfFact(fact));
  EXPECT_FALSE(PointsOfFact(FactStated{}));
}

TEST(PairNote, IsNothingWhereTheLineIsAnotherOrBroken) {
  for (const std::string& note : {std::string(), std::string("caps measured by hand"), std::string("Two views"), Note(" | near cap A 61.9"), Note(" | near cap A nan,1"), Note(" | near cap"),
                                  Note(" | Near cap A 1,2"), Note(" | near \"cap A 1,2"), Note(" | near cap A 1,2,3"), std::string("Two views | A xyz frame 1 | B xyz frame 1 | table still"),
                                  "Two views | A " + kA + " frame 0 | B " + kB + " frame 1 | table still", "Two views | A " + kA + " frame 1 | B " + kB + " frame 1 shift 1,2 mm | table still",
                                  "Two views | A " + kA + " frame 1 | B " + kB + " frame 1 | table moved"}) {
    EXPECT_FALSE(PointsOfNote(note)) << note;
  }
  std::string many = Note("");
  for (int i = 0; i < 300; ++i) many += " | point " + std::to_string(i) + " A 1,1";
  EXPECT_FALSE(PointsOfNote(many));
}

TEST(PairNote, EveryCutOfALineIsTakenOrLeftWithoutHarm) {
  const std::string note = Note(" | near cap A 61.9,259.6 B 144.1,260.7 | far cap A 80,300 B 150,301.25");
  for (std::size_t cut = 0; cut < note.size(); ++cut) {
    const auto points = PointsOfNote(note.substr(0, cut));
    if (points) {
      EXPECT_FALSE(nlohmann::json::parse(*points, nullptr, false).is_discarded()) << *points;
    }
  }
}

}  // namespace
}  // namespace fairlead
