// SPDX-License-Identifier: Apache-2.0
// Random fact files against an evaluator in another language that shares no code and no table with the engine.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>

#include "casebook/derive.h"
#include "casebook/fact_json.h"
#include "reasoning/score/score.h"

namespace fairlead {
namespace {

constexpr int kCases = 150;

nlohmann::json IndependentAnswers(int seed, int cases) {
  const std::string command = "python3 " FAIRLEAD_TESTS_DIR "/reasoning/score/independent_evaluator.py " +
                              std::to_string(seed) + " " + std::to_string(cases);
  const std::unique_ptr<FILE, int (*)(FILE*)> pipe(popen(command.c_str(), "r"),
                                                   pclose);  // NOLINT(cert-env33-c): own script
  std::string text;
  std::vector<char> buffer(1U << 16U);
  while (const auto n = std::fread(buffer.data(), 1, buffer.size(), pipe.get())) text.append(buffer.data(), n);
  return nlohmann::json::parse(text, nullptr, false);
}

void CheckFigure(const ScoreResult& result, const nlohmann::json& figure) {
  // The model if there is one, but for MACE the table of rates, which is its main number.
  const auto& outcome = result.definition->id == "mace-2022" ? result.outcome.front() : result.outcome.back();
  const auto& shown = result.definition->rates.empty() ? outcome : result.outcome.front();
  ASSERT_TRUE(shown.low && shown.high);
  // Published odds ratios have three digits and the intercepts four: the two ways of writing them agree to 1 in 1000.
  const double tolerance = result.definition->model.kind == ModelKind::kLogistic && result.definition->rates.empty()
                               ? 1e-3 * figure[1].get<double>()
                               : 1e-9 * std::max(1.0, figure[1].get<double>());
  EXPECT_NEAR(*shown.low, figure[0].get<double>(), tolerance);
  EXPECT_NEAR(*shown.high, figure[1].get<double>(), tolerance);
}

void CheckAnswer(const ScoreResult& result, const nlohmann::json& answer) {
  ASSERT_TRUE(result.applies);
  EXPECT_EQ(result.low, answer["low"].get<double>());
  EXPECT_EQ(result.high, answer["high"].get<double>());
  EXPECT_EQ(result.reachable, answer["reachable"].get<std::vector<double>>());
  auto missing = result.missing;
  std::ranges::sort(missing);
  EXPECT_EQ(missing, answer["missing"].get<std::vector<std::string>>());
  ASSERT_EQ(result.totals.has_value(), answer.contains("totals"));
  if (result.totals) {
    double sum = 0.0;
    for (const auto& [total, probability] : *result.totals) {
      char name[16];
      std::snprintf(name, sizeof name, "%g", total);
      ASSERT_TRUE(answer["totals"].contains(name)) << name;
      EXPECT_NEAR(probability, answer["totals"][name].get<double>(), 1e-9);  // 60,000 products of rounded cells
      sum += probability;
    }
    EXPECT_EQ(result.totals->size(), answer["totals"].size());
    EXPECT_NEAR(sum, 1.0, 1e-7);  // totals below 1e-9 are left out
  }
  if (answer.contains("figure")) CheckFigure(result, answer["figure"]);
}

TEST(Evaluate, AgreesWithAnIndependentEvaluatorOnRandomFactFiles) {
  const auto told = IndependentAnswers(20260801, kCases);
  ASSERT_FALSE(told.is_discarded()) << "python3 with its standard library is needed";
  int compared = 0;
  for (const auto& one : told["cases"]) {
    const auto facts = ParseFacts(one["facts"].dump());
    ASSERT_TRUE(facts.ok()) << Sentence(facts.error()) << one["facts"];
    for (const auto& [id, answer] : one["answers"].items()) {
      if (answer.is_null()) continue;  // more combinations than brute force can visit
      SCOPED_TRACE(id + " on " + one["facts"].dump());
      const auto result = Evaluate(*FindScore(id), WithDerived(*facts));
      if (answer.is_string()) {
        EXPECT_FALSE(result.applies);
      } else {
        CheckAnswer(result, answer);
      }
      ++compared;
      if (::testing::Test::HasFailure()) return;  // one whole case is enough to read
    }
  }
  EXPECT_EQ(compared + told["left_out"].get<int>(), kCases * 20);
  EXPECT_GT(compared, kCases * 18);
}

}  // namespace
}  // namespace fairlead
