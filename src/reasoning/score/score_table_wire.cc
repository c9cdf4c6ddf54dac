// SPDX-License-Identifier: Apache-2.0
// Scores that ask whether an antegrade wire will cross, most of them within 30 minutes.
#include "reasoning/score/score_table.h"

namespace fairlead {
namespace {

using namespace words;  // NOLINT(google-build-using-namespace): word lists of this table only
using enum Band;
using enum Checked;

// J-CTO: JACC Cardiovasc Interv 2011;4:213-221.
constexpr auto kJCtoStump = std::to_array<Level>({{1, In("stump_angio", kBlunt), "blunt or no stump"}});
constexpr auto kJCtoCalcium = std::to_array<Level>({{1, In("calcification_angio", kAnyCalcium), "any calcification"}});
constexpr auto kJCtoBend = std::to_array<Level>({{1, Above("bend_angio_deg", 45), "a bend above 45 degrees"}});
constexpr auto kJCtoLength = std::to_array<Level>(
    {{1, {"length_angio_mm", Compare::kAboveAmbiguous, 20}, "above 20 mm (summary) or 20 mm and more (score sheet)"}});
constexpr auto kRetry =
    std::to_array<Level>({{1, AtLeast("previous_failed_attempts", 1), "an earlier attempt failed"}});
constexpr auto kJCtoItems = std::to_array<ScoreItem>({{"stump", "Stump", kJCtoStump},
                                                      {"calcification", "Calcification", kJCtoCalcium},
                                                      {"bend", "Bend in the occlusion", kJCtoBend},
                                                      {"length", "Length", kJCtoLength},
                                                      {"retry", "Earlier failed attempt", kRetry}});
constexpr auto kFourGroups = std::to_array<ScoreGroup>({{0, 0, "easy", kLow},
                                                        {1, 1, "intermediate", kMiddle},
                                                        {2, 2, "difficult", kHigh},
                                                        {3, 5, "very difficult", kHigh}});
constexpr auto kJCtoDerivation = std::to_array<Rate>({{0.88, 0.88}, {0.67, 0.67}, {0.42, 0.42}, {0.10, 0.10}});
constexpr auto kJCtoValidation = std::to_array<Rate>({{0.923, 0.923}, {0.583, 0.583}, {0.348, 0.348}, {0.222, 0.222}});
constexpr auto kJCtoRates = std::to_array<RateTable>(
    {{"wire across within 30 min", "derivation (rounded as published in summaries)", kJCtoDerivation, kSeen,
      "j-cto-2011"_source},
     {"wire across within 30 min", "validation", kJCtoValidation, kMemory, "j-cto-2011"_source}});
constexpr auto kJCtoNot = std::to_array<Exclusion>(
    {{In("native_or_graft", kGraft), "made for occlusions of native vessels, not of grafts", false}});
constexpr auto kJCtoSources =
    std::to_array<SourceId>({"j-cto-2011"_source, "j-cto-hybrid-2015"_source, "plos-2021"_source});
constexpr ScoreDefinition kJCto{
    "j-cto",
    "J-CTO",
    Question::kWire,
    "antegrade wire across within 30 min",
    Polarity::kHigherIsHarder,
    ScoreStatus::kFull,
    "items, groups and rounded derivation rates read; the validation column is from memory",
    0,
    5,
    1,
    kJCtoItems,
    kFourGroups,
    kJCtoRates,
    {},
    kJCtoNot,
    false,
    false,
    "494 native occlusions, 12 Japanese centres, 2006-2007, experienced operators",
    "not the chance of final success with all strategies; not for occluded grafts; not a reason to refuse a case",
    "AUC 0.705 in 657 lesions of six US hybrid centres (Circ Cardiovasc Interv 2015), 0.696 in 526 of one European "
    "centre "
    "(Cardiol J 2023;30:59-67), 0.628 in 1,342 of a registry with learning operators (PLoS One 2021); at chance among "
    "complex cases (EuroIntervention, 10.4244/EIJ-D-19-00352)",
    kJCtoSources};

// W-CTO: AsiaIntervention 2018;4:18-25. Points as printed: 0.72 would round to 0.5, yet 1 is given and the stated
// maximum of 6.5 needs it.
constexpr auto kWStump = std::to_array<Level>({{2, In("stump_angio", kBlunt), "blunt or no stump"}});
constexpr auto kWLength = std::to_array<Level>({{1.5, Above("length_angio_mm", 20), "above 20 mm"}});
constexpr auto kWTort = std::to_array<Level>({{1, Yes("tortuosity_weighted_score"), "tortuous"}});
constexpr auto kRentropBelowTwo = std::to_array<Level>({{1, In("rentrop", kBelowTwo), "Rentrop below 2"}});
constexpr auto kWItems = std::to_array<ScoreItem>({{"stump", "Stump", kWStump},
                                                   {"length", "Length", kWLength},
                                                   {"calcification", "Calcification", kJCtoCalcium},
                                                   {"tortuosity", "Tortuosity", kWTort},
                                                   {"rentrop", "Collateral filling", kRentropBelowTwo}});
constexpr auto kWGroups =
    std::to_array<ScoreGroup>({{0, 2, "low", kLow}, {2.5, 4, "intermediate", kMiddle}, {4.5, 6.5, "high", kHigh}});
constexpr auto kWDerivation = std::to_array<Rate>({{0.98, 0.98}, {0.742, 0.742}, {0.425, 0.425}});
constexpr auto kWValidation = std::to_array<Rate>({{1.0, 1.0}, {0.824, 0.824}, {0.484, 0.484}});
constexpr auto kWRates = std::to_array<RateTable>(
    {{"antegrade wire crossing", "derivation, 285 lesions", kWDerivation, kSeen, "w-cto-2018"_source},
     {"antegrade wire crossing", "validation, 123 lesions", kWValidation, kSeen, "w-cto-2018"_source}});
constexpr auto kWSources = std::to_array<SourceId>({"w-cto-2018"_source});
constexpr ScoreDefinition kWCto{
    "w-cto",
    "W-CTO (weighted angiographic)",
    Question::kWire,
    "antegrade wire crossing, no time limit",
    Polarity::kHigherIsHarder,
    ScoreStatus::kFull,
    "items, points, groups and rates read in the abstract",
    0,
    6.5,
    0.5,
    kWItems,
    kWGroups,
    kWRates,
    {},
    {},
    false,
    false,
    "408 lesions, one centre, 2009-2015, success 83.6 %",
    "antegrade only: no forecast for a programme with retrograde and dissection; what tortuosity means is not readable",
    "",
    kWSources};

// J-CTO on CT: J Cardiovasc Comput Tomogr 2015, 10.1016/j.jcct.2015.07.005.
constexpr auto kCtStump = std::to_array<Level>({{1, In("stump_ct", kBlunt), "blunt or no stump on CT"}});
constexpr auto kCtBendAbove = std::to_array<Level>({{1, Above("bend_ct_deg", 45), "a bend above 45 degrees on CT"}});
constexpr auto kCtLength20 = std::to_array<Level>({{1, AtLeast("length_ct_mm", 20), "20 mm and more on CT"}});
constexpr auto kCtShareAbove =
    std::to_array<Level>({{1, Above("calcium_ct_share", 0.5), "more than half of a cross-section"}});
constexpr auto kJCtItems = std::to_array<ScoreItem>({{"stump", "Stump", kCtStump},
                                                     {"bend", "Bend in the occlusion", kCtBendAbove},
                                                     {"length", "Length", kCtLength20},
                                                     {"calcium", "Calcium", kCtShareAbove},
                                                     {"retry", "Earlier failed attempt", kRetry}});
constexpr auto kJCtGroups =
    std::to_array<ScoreGroup>({{0, 0, "0", kLow}, {1, 1, "1", kMiddle}, {2, 2, "2", kHigh}, {3, 5, ">=3", kHigh}});
constexpr auto kNeedsCt = std::to_array<Exclusion>({{No("ct_available"), "there is no CT", false}});
constexpr auto kJCtSources = std::to_array<SourceId>({"j-cto-ct-2015"_source});
constexpr ScoreDefinition kJCtoCt{
    "j-cto-ct",
    "J-CTO on CT",
    Question::kWire,
    "recanalisation",
    Polarity::kHigherIsHarder,
    ScoreStatus::kPoints,
    "items read; no rates published readably",
    0,
    5,
    1,
    kJCtItems,
    kJCtGroups,
    {},
    {},
    kNeedsCt,
    false,
    false,
    "159 patients, 171 occlusions, 2011-2014",
    "CT lengths are shorter and calcium needs more than half of a cross-section: not the angiographic score",
    "AUC 0.882; same total as on the angiogram in 71 % of 171",
    kJCtSources};

// CT-RECTOR: JACC Cardiovasc Imaging 2015;8:257-267, from memory.
constexpr auto kMultiple = std::to_array<Level>({{1, AtLeast("occlusion_count_ct", 2), "two or more occlusions"}});
constexpr auto kCtShareAtLeast =
    std::to_array<Level>({{1, AtLeast("calcium_ct_share", 0.5), "half of a cross-section and more"}});
constexpr auto kCtBendAtLeast = std::to_array<Level>({{1, AtLeast("bend_ct_deg", 45), "45 degrees and more on CT"}});
constexpr auto kDuration =
    std::to_array<Level>({{1, {"occlusion_duration_months", Compare::kNotDeterminable}, "cannot be determined"},
                          {1, AtLeast("occlusion_duration_months", 12), "12 months and more"}});
constexpr auto kRectorItems = std::to_array<ScoreItem>({{"multiple", "Multiple occlusions", kMultiple},
                                                        {"stump", "Stump", kCtStump},
                                                        {"calcium", "Calcium", kCtShareAtLeast},
                                                        {"bend", "Bend in the occlusion", kCtBendAtLeast},
                                                        {"duration", "Duration", kDuration},
                                                        {"retry", "Earlier failed attempt", kRetry}});
constexpr auto kRectorGroups = std::to_array<ScoreGroup>({{0, 0, "easy", kLow},
                                                          {1, 1, "intermediate", kMiddle},
                                                          {2, 2, "difficult", kHigh},
                                                          {3, 6, "very difficult", kHigh}});
constexpr auto kRectorRate = std::to_array<Rate>({{0.95, 0.95}, {0.88, 0.88}, {0.57, 0.57}, {0.22, 0.22}});
constexpr auto kRectorRates = std::to_array<RateTable>(
    {{"wire across within 30 min", "240 occlusions", kRectorRate, kMemory, "ct-rector-2015"_source}});
constexpr auto kRectorSources = std::to_array<SourceId>({"ct-rector-2015"_source});
constexpr ScoreDefinition kCtRector{
    "ct-rector",
    "CT-RECTOR",
    Question::kWire,
    "wire across within 30 min",
    Polarity::kHigherIsHarder,
    ScoreStatus::kCheck,
    "items, cut-offs and rates are from memory",
    0,
    6,
    1,
    kRectorItems,
    kRectorGroups,
    kRectorRates,
    {},
    kNeedsCt,
    false,
    false,
    "240 occlusions, four European centres",
    "not without a CT of the occlusion",
    "in 110 occlusions of a hybrid programme no different from J-CTO (J Cardiovasc Dev Dis 2024;11:3)",
    kRectorSources};

// KCCT: Circ Cardiovasc Imaging 2017;10:e005800. One point each is from memory.
constexpr auto kSideBranch = std::to_array<Level>({{1, Yes("side_branch_at_cap"), "a branch at the entry"}});
constexpr auto kCtLength15 = std::to_array<Level>({{1, AtLeast("length_ct_mm", 15), "15 mm and more on CT"}});
constexpr auto kFullLumen = std::to_array<Level>({{1, Yes("calcium_ct_full_lumen"), "calcium across the whole lumen"}});
constexpr auto kKcctItems = std::to_array<ScoreItem>({{"stump", "Stump", kCtStump},
                                                      {"branch", "Side branch", kSideBranch},
                                                      {"bend", "Bend in the occlusion", kCtBendAbove},
                                                      {"length", "Length", kCtLength15},
                                                      {"calcium", "Severe calcium", kCtShareAtLeast},
                                                      {"full", "Calcium of the whole lumen", kFullLumen},
                                                      {"retry", "Earlier failed attempt", kRetry},
                                                      {"duration", "Duration", kDuration}});
constexpr auto kKcctGroups = std::to_array<ScoreGroup>({{0, 3, "<4", kLow}, {4, 8, ">=4", kHigh}});
constexpr auto kKcctSources = std::to_array<SourceId>({"kcct-2017"_source});
constexpr ScoreDefinition kKcct{
    "kcct",
    "KCCT",
    Question::kWire,
    "wire across within 30 min",
    Polarity::kHigherIsHarder,
    ScoreStatus::kCheck,
    "items read; one point each and two CT definitions are from memory",
    0,
    8,
    1,
    kKcctItems,
    kKcctGroups,
    {},
    {},
    kNeedsCt,
    false,
    false,
    "684 occlusions, four centres; wire across within 30 min in 50 %",
    "not without a CT of the occlusion",
    "c 0.78; a total below 4: sensitivity 70 %, specificity 68 %, positive predictive value 72 %, negative 73 %",
    kKcctSources};

constexpr auto kScores = std::to_array<const ScoreDefinition*>({&kJCto, &kWCto, &kJCtoCt, &kCtRector, &kKcct});

}  // namespace

std::span<const ScoreDefinition* const> WireScores() {
  return kScores;
}

}  // namespace fairlead
