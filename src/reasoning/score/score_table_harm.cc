// SPDX-License-Identifier: Apache-2.0
// Scores of complications. In the scores of 2022 and 2023 the crossing strategy is one item with three levels: the
// published odds ratios and maxima give the published minima only if dissection and retrograde exclude each other.
#include "reasoning/score/score_table.h"

namespace fairlead {
namespace {

using namespace words;  // NOLINT(google-build-using-namespace): word lists of this table only
using enum Checked;

// Complications, 2016: J Am Heart Assoc 2016;5:e004272.
constexpr auto k16Age = std::to_array<Level>({{3, Above("age_years", 65), "above 65 years"}});
constexpr auto k16Length = std::to_array<Level>({{2, AtLeast("length_angio_mm", 23), "23 mm and more"}});
constexpr auto k16Retro = std::to_array<Level>({{1, In("strategy_category", kRetrograde), "retrograde"}});
constexpr auto k16Items = std::to_array<ScoreItem>(
    {{"age", "Age", k16Age}, {"length", "Length", k16Length}, {"strategy", "Strategy", k16Retro}});
constexpr auto k16Groups = std::to_array<ScoreGroup>(
    {{0, 2, "low", Band::kLow}, {3, 4, "intermediate", Band::kMiddle}, {5, 6, "high", Band::kHigh}});
constexpr auto k16Derivation = std::to_array<Rate>({{0.004, 0.004}, {0.018, 0.018}, {0.065, 0.065}});
constexpr auto k16Validation = std::to_array<Rate>({{0.0, 0.0}, {0.025, 0.025}, {0.068, 0.068}});
constexpr auto k16Rates = std::to_array<RateTable>(
    {{"in-hospital complication", "derivation", k16Derivation, kSeen, "complications-2016"_source},
     {"in-hospital complication", "validation", k16Validation, kSeen, "complications-2016"_source}});
constexpr auto k16Sources = std::to_array<SourceId>({"complications-2016"_source});
constexpr ScoreDefinition k2016{"complications-2016",
                                "PROGRESS-CTO complications 2016",
                                Question::kHarm,
                                "in-hospital complication",
                                Polarity::kHigherIsRiskier,
                                ScoreStatus::kFull,
                                "points, groups and rates read in the abstract",
                                0,
                                6,
                                1,
                                k16Items,
                                k16Groups,
                                k16Rates,
                                {},
                                {},
                                true,
                                false,
                                "1,569 cases, 44 complications",
                                "44 events: wide intervals; the scores of 2022 supersede it",
                                "AUC 0.758 derivation, 0.793 validation",
                                k16Sources};

// The four scores of 2022: JACC Cardiovasc Interv 2022;15:1413-1422 and its conference abstracts. Betas are natural
// logarithms of the published odds ratios.
constexpr auto kMaceAge = std::to_array<Level>({{1, AtLeast("age_years", 65), "65 years and more", 0.4511}});
constexpr auto kMaceSex = std::to_array<Level>({{2, In("sex", kFemale), "female", 0.9002}});
constexpr auto kMaceCalcium =
    std::to_array<Level>({{1, In("calcification_angio", kModerateOrSevere), "moderate or severe", 0.5365}});
constexpr auto kMaceStump = std::to_array<Level>({{1, In("stump_angio", kBlunt), "blunt or no stump", 0.4886}});
constexpr auto kMaceStrategy = std::to_array<Level>({{2, In("strategy_category", kRetrograde), "retrograde", 1.0508},
                                                     {1, In("strategy_category", kDissection), "dissection", 0.7930}});
constexpr auto kMaceItems = std::to_array<ScoreItem>({{"age", "Age", kMaceAge},
                                                      {"sex", "Sex", kMaceSex},
                                                      {"calcification", "Calcification", kMaceCalcium},
                                                      {"stump", "Stump", kMaceStump},
                                                      {"strategy", "Strategy", kMaceStrategy}});
constexpr auto kMaceGroups =
    std::to_array<ScoreGroup>({{0, 1, "0-1"}, {2, 2, "2"}, {3, 3, "3"}, {4, 4, "4"}, {5, 5, "5"}, {6, 7, "6-7"}});
constexpr auto kMaceRate = std::to_array<Rate>(
    {{0.007, 0.007}, {0.015, 0.015}, {0.022, 0.022}, {0.038, 0.038}, {0.049, 0.049}, {0.058, 0.058}});
constexpr auto kMaceRates =
    std::to_array<RateTable>({{"in-hospital MACE", "independent cohort, 4,569 patients, 102 events", kMaceRate, kSeen,
                               "complications-2022-pooled"_source}});
constexpr auto kMaceSources = std::to_array<SourceId>(
    {"complications-2022"_source, "complications-2022-mace"_source, "complications-2022-pooled"_source});
constexpr ScoreDefinition kMace{
    "mace-2022",
    "PROGRESS-CTO MACE 2022",
    Question::kHarm,
    "in-hospital MACE",
    Polarity::kHigherIsRiskier,
    ScoreStatus::kFull,
    "points and odds ratios read; the reconstructed model gives a range: its two published ends "
    "cannot both hold",
    0,
    7,
    1,
    kMaceItems,
    kMaceGroups,
    kMaceRates,
    {ModelKind::kLogistic, -5.693, -5.517, "in-hospital MACE, reconstructed from the odds ratios", "10,480 cases",
     "complications-2022-mace"_source},
    {},
    true,
    false,
    "10,480 cases, 40 centres, 2012-2022, 215 events",
    "observed MACE was twice as high in 1,000 cases of 12 US centres (Catheter Cardiovasc Interv 2023;101:536-542): "
    "calibrate locally",
    "bootstrap c 0.72 (0.68-0.76); published risk 0.4 to 9.4 %",
    kMaceSources};

constexpr auto kDeathAge = std::to_array<Level>({{1, AtLeast("age_years", 65), "65 years and more", 1.0403}});
constexpr auto kDeathLvef = std::to_array<Level>({{1, AtMost("lvef_pct", 45), "45 % and less", 0.7561}});
constexpr auto kDeathCalcium =
    std::to_array<Level>({{1, In("calcification_angio", kModerateOrSevere), "moderate or severe", 0.8961}});
constexpr auto kDeathStrategy = std::to_array<Level>({{1, In("strategy_category", kRetrograde), "retrograde", 1.2556},
                                                      {1, In("strategy_category", kDissection), "dissection", 1.0332}});
constexpr auto kDeathItems = std::to_array<ScoreItem>({{"age", "Age", kDeathAge},
                                                       {"lvef", "Ejection fraction", kDeathLvef},
                                                       {"calcification", "Calcification", kDeathCalcium},
                                                       {"strategy", "Strategy", kDeathStrategy}});
constexpr auto kDeathGroups = std::to_array<ScoreGroup>({{0, 4, "0-4"}});
constexpr auto kDeathSources = std::to_array<SourceId>(
    {"complications-2022"_source, "complications-2022-death"_source, "complications-2022-pooled"_source});
constexpr ScoreDefinition kDeath{
    "death-2022",
    "PROGRESS-CTO mortality 2022",
    Question::kHarm,
    "in-hospital death",
    Polarity::kHigherIsRiskier,
    ScoreStatus::kFull,
    "points and odds ratios read; the intercept is reconstructed from the published maximum",
    0,
    4,
    1,
    kDeathItems,
    kDeathGroups,
    {},
    {ModelKind::kLogistic, -7.645, -7.645, "in-hospital death, reconstructed from the odds ratios", "10,480 cases",
     "complications-2022-death"_source},
    {},
    true,
    false,
    "10,480 cases, 40 centres, 2012-2022, 47 events",
    "47 events; a patient's frailty is not in it: a general model reached AUC 0.96 for death in 1,157 cases",
    "bootstrap c 0.71 (0.63-0.81); published risk 0.05 to 2.42 %",
    kDeathSources};

constexpr auto kPeriAge = std::to_array<Level>({{1, AtLeast("age_years", 65), "65 years and more", 0.7419}});
constexpr auto kPeriSex = std::to_array<Level>({{1, In("sex", kFemale), "female", 0.8109}});
constexpr auto kPeriCalcium =
    std::to_array<Level>({{1, In("calcification_angio", kModerateOrSevere), "moderate or severe", 1.1878}});
constexpr auto kPeriStrategy = std::to_array<Level>({{2, In("strategy_category", kRetrograde), "retrograde", 1.2528},
                                                     {1, In("strategy_category", kDissection), "dissection", 1.0403}});
constexpr auto kPeriItems = std::to_array<ScoreItem>({{"age", "Age", kPeriAge},
                                                      {"sex", "Sex", kPeriSex},
                                                      {"calcification", "Calcification", kPeriCalcium},
                                                      {"strategy", "Strategy", kPeriStrategy}});
constexpr auto kPeriGroups = std::to_array<ScoreGroup>({{0, 5, "0-5"}});
constexpr auto kNoCabg = std::to_array<Exclusion>({{Yes("prior_cabg"),
                                                    "modelled without previous bypass operations; adhesions change "
                                                    "tamponade (loculated, may need surgery): no number "
                                                    "is not a low risk",
                                                    true}});
constexpr auto kPeriSources = std::to_array<SourceId>(
    {"complications-2022"_source, "complications-2022-pericardiocentesis"_source, "complications-2022-pooled"_source});
constexpr ScoreDefinition kPeri{
    "pericardiocentesis-2022",
    "PROGRESS-CTO pericardiocentesis 2022",
    Question::kHarm,
    "pericardiocentesis",
    Polarity::kHigherIsRiskier,
    ScoreStatus::kFull,
    "points and odds ratios read; the intercept is reconstructed from the published maximum",
    0,
    5,
    1,
    kPeriItems,
    kPeriGroups,
    {},
    {ModelKind::kLogistic, -6.3393, -6.3393, "pericardiocentesis, reconstructed from the odds ratios", "7,672 cases",
     "complications-2022-pericardiocentesis"_source},
    kNoCabg,
    true,
    false,
    "7,672 cases without previous bypass operation, 83 events",
    "not after a bypass operation",
    "bootstrap c 0.78 (0.72-0.83); published risk 0.18 to 8.74 %",
    kPeriSources};

constexpr auto kMiCabg = std::to_array<Level>({{1, Yes("prior_cabg"), "earlier bypass operation"}});
constexpr auto kMiAf = std::to_array<Level>({{1, Yes("atrial_fibrillation"), "atrial fibrillation"}});
constexpr auto kMiStump = std::to_array<Level>({{1, In("stump_angio", kBlunt), "blunt or no stump"}});
constexpr auto kMiItems = std::to_array<ScoreItem>(
    {{"cabg", "Bypass operation", kMiCabg}, {"af", "Atrial fibrillation", kMiAf}, {"stump", "Stump", kMiStump}});
constexpr auto kMiGroups = std::to_array<ScoreGroup>({{0, 3, "0-3"}});
constexpr auto kMiSources = std::to_array<SourceId>({"complications-2022"_source});
constexpr ScoreDefinition kMi{
    "mi-2022",
    "PROGRESS-CTO acute infarction 2022",
    Question::kHarm,
    "in-hospital acute myocardial infarction",
    Polarity::kHigherIsRiskier,
    ScoreStatus::kCheck,
    "points are from memory; rates not readable",
    0,
    3,
    1,
    kMiItems,
    kMiGroups,
    {},
    {},
    {},
    false,
    false,
    "10,480 cases, 40 centres, 2012-2022, 66 events",
    "how infarction is looked for changes its rate: 4.1 times as many in a study that drew biomarkers from everyone",
    "bootstrap c 0.72 (from memory)",
    kMiSources};

// Perforation, 2023: EuroIntervention 2023;18:1022-1030.
constexpr auto kPerfAge = std::to_array<Level>({{1, AtLeast("age_years", 65), "65 years and more"}});
constexpr auto kPerfCalcium =
    std::to_array<Level>({{1, In("calcification_angio", kModerateOrSevere), "moderate or severe"}});
constexpr auto kPerfStump = std::to_array<Level>({{1, In("stump_angio", kBlunt), "blunt or no stump"}});
constexpr auto kPerfStrategy = std::to_array<Level>(
    {{2, In("strategy_category", kRetrograde), "retrograde"}, {1, In("strategy_category", kDissection), "dissection"}});
constexpr auto kPerfItems = std::to_array<ScoreItem>({{"age", "Age", kPerfAge},
                                                      {"calcification", "Calcification", kPerfCalcium},
                                                      {"stump", "Stump", kPerfStump},
                                                      {"strategy", "Strategy", kPerfStrategy}});
constexpr auto kPerfGroups = std::to_array<ScoreGroup>({{0, 5, "0-5"}});
constexpr auto kPerfSources = std::to_array<SourceId>({"perforation-2023"_source});
constexpr ScoreDefinition kPerforation{
    "perforation-2023",
    "PROGRESS-CTO perforation 2023",
    Question::kHarm,
    "perforation that needed treatment",
    Polarity::kHigherIsRiskier,
    ScoreStatus::kPoints,
    "points and odds ratios read; rates of each total not readable",
    0,
    5,
    1,
    kPerfItems,
    kPerfGroups,
    {},
    {},
    {},
    true,
    false,
    "9,618 cases, 367 treated perforations (3.8 %)",
    "whether dissection and retrograde add is not stated: retrograde alone is counted when both were used",
    "AUC 0.741 (0.712-0.773); 0.76 in 4,566 patients of 25 centres (Catheter Cardiovasc Interv 2023, "
    "10.1002/ccd.30551)",
    kPerfSources};

// OPEN-CLEAN: Catheter Cardiovasc Interv 2022;99:280-285. Cut points of length and age from memory.
constexpr auto kOpenLength = std::to_array<Level>(
    {{2, AtLeast("length_angio_mm", 60), "60 mm and more"}, {1, AtLeast("length_angio_mm", 20), "20 to below 60 mm"}});
constexpr auto kOpenLvef = std::to_array<Level>({{1, Below("lvef_pct", 50), "below 50 %"}});
constexpr auto kOpenAge = std::to_array<Level>(
    {{2, AtLeast("age_years", 70), "70 years and more"}, {1, AtLeast("age_years", 50), "50 to 69 years"}});
constexpr auto kOpenCalcium = std::to_array<Level>({{1, In("calcification_angio", kSevere), "severe"}});
constexpr auto kOpenItems = std::to_array<ScoreItem>({{"cabg", "Bypass operation", kMiCabg},
                                                      {"length", "Length", kOpenLength},
                                                      {"lvef", "Ejection fraction", kOpenLvef},
                                                      {"age", "Age", kOpenAge},
                                                      {"calcification", "Calcification", kOpenCalcium}});
constexpr auto kOpenRate = std::to_array<Rate>(
    {{0.035, 0.035}, {0.031, 0.031}, {0.053, 0.053}, {0.071, 0.071}, {0.115, 0.115}, {0.198, 0.198}});
constexpr auto kOpenRates =
    std::to_array<RateTable>({{"perforation seen on the angiogram", "independent cohort, 2,270 patients, 150 events",
                               kOpenRate, kSeen, "open-clean-external-2023"_source}});
constexpr auto kOpenSources = std::to_array<SourceId>({"open-clean-2022"_source, "open-clean-external-2023"_source});
constexpr ScoreDefinition kOpenClean{
    "open-clean",
    "OPEN-CLEAN",
    Question::kHarm,
    "perforation seen on the angiogram",
    Polarity::kHigherIsRiskier,
    ScoreStatus::kCheck,
    "cut points of length and age are from memory",
    0,
    7,
    1,
    kOpenItems,
    kMaceGroups,
    kOpenRates,
    {},
    {},
    false,
    false,
    "1,000 consecutive cases, 12 US centres, 89 perforations (8.9 %)",
    "any perforation seen, not only those treated: not comparable with the perforation score of 2023",
    "AUC 0.74 (0.68-0.79) in 2,270 patients of 7 centres; needs only facts known before the first wire",
    kOpenSources};

constexpr auto kScores =
    std::to_array<const ScoreDefinition*>({&kMace, &kDeath, &kPeri, &kMi, &kPerforation, &kOpenClean, &k2016});

}  // namespace

std::span<const ScoreDefinition* const> HarmScores() {
  return kScores;
}

}  // namespace fairlead
