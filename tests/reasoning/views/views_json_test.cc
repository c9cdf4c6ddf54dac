// SPDX-License-Identifier: Apache-2.0
#include "reasoning/views/views_json.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

TEST(ViewsJson, ReadsATreeInEachForm) {
  const auto tree = ParseTree(R"({"measured": true, "vessels": [
    {"name": "LAD", "points": [[0,0,0],[0,0,10],[0,0,40]], "diameter_mm": 3},
    {"name": "D1", "points": [{"x_mm": 9, "y_mm": 0, "z_mm": 0, "radius_mm": 0.8}, {"x_mm": 9, "y_mm": 5, "z_mm": 0}]}],
    "target": {"vessel": "LAD", "from_mm": 5, "to_mm": 25}, "collateral": "D1"})");
  ASSERT_TRUE(tree.ok()) << Sentence(tree.error());
  EXPECT_TRUE(tree->measured);
  EXPECT_NEAR(LengthOf(tree->target), 20.0, 1e-12);
  EXPECT_EQ(tree->target.front().z, 5.0);
  EXPECT_EQ(tree->target.back().z, 25.0);
  EXPECT_EQ(tree->target_radius.front(), 1.5);
  EXPECT_EQ(tree->collateral.size(), 2U);
  EXPECT_EQ(tree->target_name, "LAD, 5 to 25 mm");
  EXPECT_TRUE(ParseTree(R"({"target": [[0,0,0],[1,2,3]]})").ok());
  EXPECT_TRUE(ParseTree(R"({"model": {"vessel": "RCA", "from": 0.2, "to": 0.5}})").ok());
}

TEST(ViewsJson, NamesWhatIsWrong) {
  const auto sentence = [](std::string_view json) {
    const auto tree = ParseTree(json);
    return tree.ok() ? std::string("ok") : Sentence(tree.error());
  };
  EXPECT_EQ(sentence("{"), "this is not JSON (tree): see docs/methods-views.md");
  EXPECT_EQ(sentence("{}"), "there is no target (tree: target): see docs/methods-views.md");
  EXPECT_EQ(sentence(R"({"vessels": [{"points": [[0,0,0],[1,2]]}]})"), "a point is not three numbers within 500 mm of the isocentre (vessels[0]): see docs/methods-views.md");
  EXPECT_EQ(sentence(R"({"vessels": [{"points": [[0,0,0],[1,2,1e9]]}]})"), "a point is not three numbers within 500 mm of the isocentre (vessels[0]): see docs/methods-views.md");
  EXPECT_EQ(sentence(R"({"target": "LAD"})"), "the target names no vessel of the tree (target: LAD): see docs/methods-views.md");
  EXPECT_EQ(sentence(R"({"target": [[1,1,1],[1,1,1]]})"), "the target has no length (target): see docs/methods-views.md");
  EXPECT_NE(sentence(std::string(50, '[')).find("8 levels"), std::string::npos);
}

TEST(ViewsJson, GivesEveryFigureOfTheAdvice) {
  auto tree = ModelTree("RCA", 0.3, 0.45);
  ViewQuestion question;
  question.tree = *tree;
  question.grid = {-60, -40, 10, 13, 9};
  const ViewAdvice advice = Advise(question, 1);
  const std::string json = AdviceJson(question, advice, std::nullopt, 1);
  for (const char* name : {"\"best\":[", "\"barrel\":", "\"second\":", "\"foreshortening_pct\":", "\"overlap_pct\":", "\"reach\":", "\"considered\":[", "\"notes\":["}) {
    EXPECT_NE(json.find(name), std::string::npos) << name;
  }
}

}  // namespace
}  // namespace fairlead
