// SPDX-License-Identifier: Apache-2.0
#include "front/server/spaces_json.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace fairlead {
namespace {

TEST(SpacesJson, AnswersFiveTypedValues) {
  auto question = ParseJoining(R"({"near": "plaque", "far": "outside", "eem_min_mm": 3.1, "eem_max_mm": 3.6, "calcium_arc_deg": 200})");
  ASSERT_TRUE(question.ok());
  const std::string json = JoiningJson(*question, *HowToJoin(*question));
  EXPECT_NE(json.find("\"title\":\"near wire in plaque, far wire outside\""), std::string::npos) << json;
  EXPECT_NE(json.find("\"largest_mm\":2.5"), std::string::npos);
  EXPECT_NE(json.find("\"sizes_the_rule_allows\""), std::string::npos);
}

TEST(SpacesJson, TakesTheFarWireFromItsSigns) {
  auto question = ParseJoining(R"({"near": "plaque=0.9", "same_side": "no", "in_ring": "no"})");
  ASSERT_TRUE(question.ok());
  EXPECT_DOUBLE_EQ(question->far_wire.outside, 0.9);  // no surer than the catheter's own space
  EXPECT_FALSE(question->signs_disagree);
  EXPECT_TRUE(ParseJoining(R"({"near": "plaque", "same_side": "yes", "in_ring": "no"})")->signs_disagree);
}

TEST(SpacesJson, TakesReadingsWithTheirSd) {
  auto question = ParseJoining(R"({"near": "plaque", "far": "outside", "eem_min_mm": {"value": 3.1, "sd": 0.1}, "eem_max_mm": {"value": 3.6}})");
  ASSERT_TRUE(question.ok());
  EXPECT_DOUBLE_EQ(question->vessel->eem_min.sd->millimetres(), 0.1);
  EXPECT_FALSE(question->vessel->eem_max.sd.has_value());
}

TEST(SpacesJson, RefusesWhatItDoesNotKnow) {
  EXPECT_EQ(ParseJoining(R"({"nearr": "plaque"})").error().to_do, "did you mean \"near\"?");
  EXPECT_FALSE(ParseJoining(R"({"near": 3})").ok());
  EXPECT_FALSE(ParseJoining(R"({"near": "plaque", "far": "outside", "eem_min_mm": "3.1", "eem_max_mm": 3.6})").ok());
  EXPECT_EQ(ParseJoining(R"({"near": "plaque", "eem_min_mm": 3.1})").error().what, "only one of the vessel's two sizes is given");
  EXPECT_FALSE(ParseJoining(R"({"near": "plaque", "cycles": 1.5})").ok());
  EXPECT_FALSE(ParseJoining("[]").ok());
}

}  // namespace
}  // namespace fairlead
