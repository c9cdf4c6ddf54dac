// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/model_json.h"

#include <gtest/gtest.h>

namespace fairlead {
namespace {

constexpr const char* kThree = R"({"strategies": [
 {"id": "AW", "can": 0.6, "law": "exponential", "mean_min": 12, "complication_per_min": 0.0003, "contrast_ml_per_min": 2, "kerma_mgy_per_min": 25},
 {"id": "ADR", "can": 0.65, "mean_min": 15, "complication_per_min": 0.0006, "contrast_ml_per_min": 1.5, "kerma_mgy_per_min": 30, "setup_min": 8, "setup_contrast_ml": 10, "setup_kerma_mgy": 150},
 {"id": "RG", "can": 0.75, "mean_min": 25, "complication_per_min": 0.001, "contrast_ml_per_min": 2.5, "kerma_mgy_per_min": 35, "setup_min": 15, "setup_contrast_ml": 25, "setup_kerma_mgy": 300}],
 "setup_complication_per_min": 0.0002, "budget": {"minutes": 90}, "objective": {"complication_weight": 1, "minute_cost": 0.001}})";

TEST(LadderModelJson, ReadsAndAnswers) {
  const auto model = ParseLadderModel(kThree);
  ASSERT_TRUE(model.ok()) << Sentence(model.error());
  const std::string answer = SolutionJson(*model, Solve(*model));
  // The plan and its value: enumeration outside (case3.h).
  EXPECT_NE(answer.find(R"("plan":[{"id":"AW","minutes":20},{"id":"ADR","minutes":22},{"id":"RG","minutes":25}])"), std::string::npos) << answer;
  EXPECT_NE(answer.find(R"("utility":0.8079979692)"), std::string::npos) << answer;
  EXPECT_NE(answer.find(R"("proven":true)"), std::string::npos) << answer;
}

TEST(LadderModelJson, ReadsLawsAndClasses) {
  const auto model = ParseLadderModel(R"({"strategies": [{"id": "A", "can": 0.5, "law": "weibull", "shape": 1.5, "scale_min": 20},
    {"id": "B", "can": 0.7, "law": "gamma_mixed", "shape": 2, "scale_min": 24}],
    "classes": [{"weight": 0.55, "can": {"A": 0.8}}, {"weight": 0.45, "can": {"A": 0.2, "B": 0.3}}]})");
  ASSERT_TRUE(model.ok()) << Sentence(model.error());
  EXPECT_EQ(model->strategies[0].can, (std::vector<double>{0.8, 0.2}));
  EXPECT_EQ(model->strategies[1].can, (std::vector<double>{0.7, 0.3}));
  EXPECT_EQ(model->strategies[1].law.kind, LawKind::kGammaMixed);
}

TEST(LadderModelJson, SaysWhatIsWrongAndWhere) {
  const struct { const char* text; const char* sentence; } kBad[] = {
      {"[", "the text is not JSON"},
      {R"({"strategies": [{"id": "A", "can": 1.2, "mean_min": 3}]})", "can is not between 0 and 1 (strategy A)"},
      {R"({"strategies": [{"id": "A", "can": 0.2, "mean_min": 0}]})", "the time scale is not above 0"},
      {R"({"strategies": [{"id": "A", "can": 0.2}]})", "mean_min is missing (strategy A)"},
      {R"({"strategies": [{"id": "A", "can": 0.2, "mean_min": 3}, {"id": "A", "can": 0.2, "mean_min": 3}]})", "same id"},
      {R"({"strategies": [], "bugdet": {}})", "no such member as \"bugdet\""},
      {R"({"strategies": [{"id": "A", "can": 0.2, "law": "lognormal"}]})", "no such law"},
      {R"({"strategies": [], "budget": {"minutes": -1}})", "a limit is below 0 (budget)"},
      {R"({"strategies": [{"id": "A", "can": 0.2, "mean_min": 3}], "classes": [{"weight": 0.4}]})", "do not add up to 1"},
      {R"({"strategies": [{"id": "A", "can": "x", "mean_min": 3}]})", "can is not a finite number"},
      {R"({"strategies": [{"id": "A", "can": 0.2, "mean_min": 3}], "classes": [{"weight": 1, "can": {"B": 0.1}}]})", "no strategy is called"},
      {R"([[[[[[[[[[1]]]]]]]]]])", "nested too deep"}};
  for (const auto& [text, sentence] : kBad) {
    const auto model = ParseLadderModel(text);
    ASSERT_FALSE(model.ok()) << text;
    EXPECT_NE(Sentence(model.error()).find(sentence), std::string::npos) << Sentence(model.error());
  }
}

}  // namespace
}  // namespace fairlead
