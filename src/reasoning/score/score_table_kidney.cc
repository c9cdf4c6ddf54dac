// SPDX-License-Identifier: Apache-2.0
// Scores of kidney injury after contrast.
#include "reasoning/score/score_table.h"

namespace fairlead {
namespace {

using namespace words;  // NOLINT(google-build-using-namespace): word lists of this table only
using enum Checked;

constexpr auto kAcute = std::to_array<std::string_view>({"nstemi", "stemi"});
constexpr auto kDiabetic = std::to_array<std::string_view>({"non_insulin", "insulin", "unspecified"});

// J Am Coll Cardiol 2004;44:1393-1399.
constexpr auto kHypotension = std::to_array<Level>({{5, Yes("hypotension"), "hypotension"}});
constexpr auto kPump = std::to_array<Level>({{5, Yes("balloon_pump"), "balloon pump"}});
constexpr auto kFailure = std::to_array<Level>({{5, Yes("heart_failure"), "heart failure"}});
constexpr auto kAge = std::to_array<Level>({{4, Above("age_years", 75), "above 75 years"}});
constexpr auto kAnaemia = std::to_array<Level>({{3, Yes("anaemia"), "anaemia"}});
constexpr auto kDiabetes = std::to_array<Level>({{3, In("diabetes", kDiabetic), "diabetes"}});
constexpr auto kContrast = std::to_array<Level>({{1, AtLeast("contrast_ml", 100), "for each full 100 mL"}});
constexpr auto kEgfr = std::to_array<Level>({{6, Below("egfr", 20), "below 20"},
                                             {4, Below("egfr", 40), "20 to below 40"},
                                             {2, Below("egfr", 60), "40 to below 60"}});
constexpr auto kItems = std::to_array<ScoreItem>({{"hypotension", "Hypotension", kHypotension},
                                                  {"pump", "Balloon pump", kPump},
                                                  {"failure", "Heart failure", kFailure},
                                                  {"age", "Age", kAge},
                                                  {"anaemia", "Anaemia", kAnaemia},
                                                  {"diabetes", "Diabetes", kDiabetes},
                                                  {"contrast", "Contrast", kContrast, 100.0},
                                                  {"egfr", "eGFR", kEgfr}});
// A total of exactly 16 is "very high" in the abstract and "high" in the widely copied table.
constexpr auto kGroups = std::to_array<ScoreGroup>({{0, 5, "low", Band::kLow},
                                                    {6, 10, "moderate", Band::kMiddle},
                                                    {11, 15, "high", Band::kHigh},
                                                    {16, 16, "high-or-very high", Band::kHigh},
                                                    {17, 99, "very high", Band::kHigh}});
constexpr auto kInjury =
    std::to_array<Rate>({{0.075, 0.075}, {0.14, 0.14}, {0.261, 0.261}, {0.261, 0.573}, {0.573, 0.573}});
constexpr auto kRates = std::to_array<RateTable>({{"creatinine up by 25 % or 0.5 mg/dL within 48 h",
                                                   "development, 5,571 patients; end groups "
                                                   "read, middle rates from memory",
                                                   kInjury, kMemory, "aki-2004"_source}});
constexpr auto kNotAcute =
    std::to_array<Exclusion>({{In("presentation", kAcute), "made without patients in acute infarction", false}});
constexpr auto kSources = std::to_array<SourceId>({"aki-2004"_source});
constexpr ScoreDefinition k2004{
    "ca-aki-2004",
    "CA-AKI 2004",
    Question::kKidney,
    "creatinine up by 25 % or 0.5 mg/dL within 48 h",
    Polarity::kHigherIsRiskier,
    ScoreStatus::kCheck,
    "points and end groups read; sub-definitions, rounding of contrast, eGFR edges and middle rates from memory",
    0,
    46,
    1,
    kItems,
    kGroups,
    kRates,
    {},
    kNotAcute,
    false,
    false,
    "8,357 patients after coronary intervention",
    "old population and old definition: predicts too much today; not beside a rate of the AKIN definition",
    "c 0.67 in validation",
    kSources};

// Lancet 2021;398:1974-1983: point table not verified.
constexpr auto kLowEgfr = std::to_array<Level>({
    {0, Below("egfr", 30), "eGFR below 30"},
});
constexpr auto kMidEgfr = std::to_array<Level>({{0, Below("egfr", 60), "eGFR below 60"}});
constexpr auto kLvef = std::to_array<Level>({{0, Below("lvef_pct", 40), "ejection fraction below 40 %"}});
constexpr auto kInsulinWord = std::to_array<std::string_view>({"insulin"});
constexpr auto kInsulin = std::to_array<Level>({{0, In("diabetes", kInsulinWord), "insulin"}});
constexpr auto kHaemoglobin = std::to_array<Level>({{0, Below("haemoglobin", 11), "haemoglobin below 11 g/dL"}});
constexpr auto kGlucose = std::to_array<Level>({{0, AtLeast("glucose", 150), "glucose 150 mg/dL and more"}});
constexpr auto kNotStableWords = std::to_array<std::string_view>({"unstable_angina", "nstemi", "stemi"});
constexpr auto kNotStable = std::to_array<Level>({{0, In("presentation", kNotStableWords), "not stable"}});
constexpr auto kContrast100 = std::to_array<Level>({{0, AtLeast("contrast_ml", 100), "100 mL and more"}});
constexpr auto kBleeding = std::to_array<Level>({{0, Yes("periprocedural_bleeding"), "bleeding"}});
constexpr auto kSlowFlow = std::to_array<Level>({{0, Yes("slow_flow"), "slow or no flow"}});
constexpr auto kComplex = std::to_array<Level>({{0, Yes("complex_anatomy"), "complex anatomy"}});
constexpr auto k2021Items = std::to_array<ScoreItem>({{"presentation", "Not a stable presentation", kNotStable},
                                                      {"egfr60", "eGFR below 60", kMidEgfr},
                                                      {"egfr30", "eGFR below 30", kLowEgfr},
                                                      {"lvef", "Ejection fraction below 40 %", kLvef},
                                                      {"diabetes", "Diabetes", kDiabetes},
                                                      {"insulin", "Insulin", kInsulin},
                                                      {"haemoglobin", "Haemoglobin below 11 g/dL", kHaemoglobin},
                                                      {"glucose", "Glucose 150 mg/dL and more", kGlucose},
                                                      {"failure", "Heart failure", kFailure},
                                                      {"age", "Above 75 years", kAge},
                                                      {"contrast", "Contrast 100 mL and more", kContrast100},
                                                      {"bleeding", "Bleeding", kBleeding},
                                                      {"flow", "Slow or no flow", kSlowFlow},
                                                      {"anatomy", "Complex anatomy", kComplex}});
constexpr auto kNoDialysis = std::to_array<Exclusion>({{Yes("dialysis"), "made without patients on dialysis", false}});
constexpr auto k2021Sources = std::to_array<SourceId>({"aki-2021"_source});
constexpr ScoreDefinition k2021{"ca-aki-2021",
                                "CA-AKI 2021",
                                Question::kKidney,
                                "kidney injury by the AKIN definition within 48 h",
                                Polarity::kHigherIsRiskier,
                                ScoreStatus::kHold,
                                "point table, cut-offs and limits of the groups not verified",
                                0,
                                0,
                                1,
                                k2021Items,
                                {},
                                {},
                                {},
                                kNoDialysis,
                                false,
                                false,
                                "14,616 patients of one large centre, 2012-2017",
                                "no total; not beside a rate of the older definition",
                                "c from memory: 0.72 to 0.86",
                                k2021Sources};

constexpr auto kScores = std::to_array<const ScoreDefinition*>({&k2004, &k2021});

}  // namespace

std::span<const ScoreDefinition* const> KidneyScores() {
  return kScores;
}

}  // namespace fairlead
