// SPDX-License-Identifier: Apache-2.0
// All scores on one case: goal below 1 ms. Facts known with their spread, half of them missing, and none known.
#include <benchmark/benchmark.h>

#include <cstdlib>

#include "casebook/fact_json.h"
#include "reasoning/assess/assess.h"
#include "reasoning/assess/assess_json.h"

namespace fairlead {
namespace {

constexpr const char* kWhole = R"({"age_years": 71, "sex": "male", "prior_cabg": false, "prior_mi": true,
  "atrial_fibrillation": false, "heart_failure": false, "diabetes": "insulin", "anaemia": 0.2,
  "graft_to_occluded_vessel": false, "lvef_pct": {"value": 46, "sd": 5}, "egfr": {"value": 58, "sd": 4},
  "occluded_vessel": "RCA", "ostial": false, "proximal_cap_ambiguous": 0.4, "side_branch_at_cap": true,
  "stump_angio": {"blunt": 0.7, "tapered": 0.3}, "stump_ct": "blunt", "calcium_ct_full_lumen": 0.1,
  "calcification_angio": {"mild": 0.3, "moderate": 0.5, "severe": 0.2}, "calcium_ct_share": {"value": 0.5, "sd": 0.1},
  "length_angio_mm": {"value": 19, "sd": 3}, "length_ct_mm": {"value": 16, "sd": 2},
  "bend_angio_deg": {"value": 48, "sd": 6}, "bend_ct_deg": {"value": 44, "sd": 7}, "rentrop": {"1": 0.3, "2": 0.7},
  "proximal_tortuosity": {"mild": 0.6, "moderate": 0.4}, "tortuosity_weighted_score": 0.5,
  "previous_failed_attempts": 0, "interventional_collateral": true, "distal_landing_zone_diseased": 0.3,
  "occlusion_count_ct": 1, "occlusion_duration_months": "not determinable", "hypotension": false,
  "balloon_pump": false, "contrast_ml": {"value": 210, "sd": 15}, "strategy_category": "antegrade",
  "channels": {"c1": {"collateral_channel": "septal", "collateral_cc_grade": {"1": 0.5, "2": 0.5},
                      "collateral_tortuous": 0.3},
               "c2": {"collateral_channel": "epicardial", "collateral_cc_grade": "2", "collateral_tortuous": true}}})";
constexpr const char* kHalf = R"({"age_years": 71, "sex": "male", "stump_angio": "blunt", "occluded_vessel": "RCA",
  "length_angio_mm": {"value": 19, "sd": 3}, "calcification_angio": {"mild": 0.3, "moderate": 0.7}})";

Facts File(const char* json) {
  auto facts = ParseFacts(json);
  if (!facts.ok()) std::abort();
  return *facts;
}

void AllScoresOn(benchmark::State& state, const char* json) {
  const auto facts = File(json);
  for (auto _ : state) benchmark::DoNotOptimize(Assess(facts));
}
BENCHMARK_CAPTURE(AllScoresOn, a_whole_case, kWhole)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(AllScoresOn, half_a_case, kHalf)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(AllScoresOn, an_empty_case, "{}")->Unit(benchmark::kMicrosecond);

void AsJson(benchmark::State& state) {
  const auto assessment = Assess(File(kWhole));
  for (auto _ : state) benchmark::DoNotOptimize(AssessmentJson(assessment));
}
BENCHMARK(AsJson)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace fairlead
