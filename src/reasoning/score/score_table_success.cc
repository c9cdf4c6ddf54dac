// SPDX-License-Identifier: Apache-2.0
// Scores that ask whether the case will succeed, by any strategy.
#include "reasoning/score/score_table.h"

namespace fairlead {
namespace {

using namespace words;  // NOLINT(google-build-using-namespace): word lists of this table only
using enum Band;
using enum Checked;

constexpr auto kBluntOne = std::to_array<Level>({{1, In("stump_angio", kBlunt), "blunt or no stump"}});

// PROGRESS-CTO: JACC Cardiovasc Interv 2016;9:1-9. Coefficients as printed; their signs only make sense for failure.
constexpr auto kAmbiguous = std::to_array<Level>({{1, Yes("proximal_cap_ambiguous"), "ambiguous", 0.88}});
constexpr auto kTortuous =
    std::to_array<Level>({{1, In("proximal_tortuosity", kModerateOrSevere), "moderate or severe", 1.18}});
constexpr auto kCircumflex = std::to_array<Level>({{1, In("occluded_vessel", kLcx), "circumflex", 0.99}});
constexpr auto kNoCollateral =
    std::to_array<Level>({{1, No("interventional_collateral"), "no usable collateral", 0.88}});
constexpr auto kProgressItems = std::to_array<ScoreItem>({{"cap", "Proximal cap", kAmbiguous},
                                                          {"tortuosity", "Tortuosity before the cap", kTortuous},
                                                          {"vessel", "Vessel", kCircumflex},
                                                          {"collateral", "Usable collateral", kNoCollateral}});
constexpr auto kProgressGroups =
    std::to_array<ScoreGroup>({{0, 0, "0", kLow}, {1, 1, "1", kMiddle}, {2, 2, "2", kMiddle}, {3, 4, "3-4", kHigh}});
constexpr auto kProgressSources =
    std::to_array<SourceId>({"progress-cto-2016"_source, "progress-external-2016"_source, "plos-2021"_source});
constexpr ScoreDefinition kProgress{
    "progress-cto",
    "PROGRESS-CTO",
    Question::kSuccess,
    "technical failure, any strategy",
    Polarity::kHigherIsHarder,
    ScoreStatus::kPoints,
    "items and coefficients read; intercept and rates not readable, so no percentage",
    0,
    4,
    1,
    kProgressItems,
    kProgressGroups,
    {},
    {ModelKind::kOddsRatio, 0, 0, "odds of technical failure against a total of 0", "781 cases",
     "progress-cto-2016"_source},
    {},
    false,
    false,
    "781 cases, hybrid approach, experienced North American operators, success 92.9 %",
    "not a probability outside experienced hybrid operators",
    "AUC 0.778 derivation, 0.720 validation; 0.647 in 664 US cases (Int J Cardiol 2016;224:50-56); 0.557 and poor "
    "calibration in a registry with learning operators (PLoS One 2021)",
    kProgressSources};

// CASTLE: JACC Cardiovasc Interv 2019;12:335-342.
constexpr auto kBluntOrUnseen = std::to_array<std::string_view>({"blunt", "none", "unseen"});
constexpr auto kSevereOrUnseen = std::to_array<std::string_view>({"severe", "unseen"});
constexpr auto kCabg = std::to_array<Level>({{1, Yes("prior_cabg"), "earlier bypass operation"}});
constexpr auto kAge70 = std::to_array<Level>({{1, AtLeast("age_years", 70), "70 years and more"}});
constexpr auto kCastleStump = std::to_array<Level>({{1, In("stump_angio", kBluntOrUnseen), "blunt, none or not seen"}});
constexpr auto kCastleTort =
    std::to_array<Level>({{1, In("proximal_tortuosity", kSevereOrUnseen), "severe or not seen"}});
constexpr auto kLength20 = std::to_array<Level>({{1, AtLeast("length_angio_mm", 20), "20 mm and more"}});
constexpr auto kSevereCalcium = std::to_array<Level>({{1, In("calcification_angio", kSevere), "severe"}});
constexpr auto kCastleItems = std::to_array<ScoreItem>({{"cabg", "Bypass operation", kCabg},
                                                        {"age", "Age", kAge70},
                                                        {"stump", "Stump", kCastleStump},
                                                        {"tortuosity", "Tortuosity before the cap", kCastleTort},
                                                        {"length", "Length", kLength20},
                                                        {"calcification", "Calcification", kSevereCalcium}});
constexpr auto kCastleGroups =
    std::to_array<ScoreGroup>({{0, 1, "0-1", kLow}, {2, 2, "2", kMiddle}, {3, 3, "3", kMiddle}, {4, 6, ">=4", kHigh}});
// Totals 2 and 3 are not readable: between the two that are.
constexpr auto kCastleRate = std::to_array<Rate>({{0.08, 0.08}, {0.08, 0.35}, {0.08, 0.35}, {0.35, 0.35}});
constexpr auto kCastleRates =
    std::to_array<RateTable>({{"technical failure", "14,882 cases", kCastleRate, kSeen, "castle-2019"_source}});
constexpr auto kCastleSources = std::to_array<SourceId>(
    {"castle-2019"_source, "castle-external-2019"_source, "castle-ct-2022"_source, "plos-2021"_source});
constexpr ScoreDefinition kCastle{
    "castle",
    "CASTLE",
    Question::kSuccess,
    "technical failure, any strategy",
    Polarity::kHigherIsHarder,
    ScoreStatus::kPoints,
    "points read; failure read only for totals 0-1 and 4 or more: bounds between",
    0,
    6,
    1,
    kCastleItems,
    kCastleGroups,
    kCastleRates,
    {},
    {},
    false,
    false,
    "14,882 cases of a European registry, operators with more than 50 a year, 20 % retrograde",
    "what severe tortuosity means there is not readable: the registry rule of another score is used (a setting)",
    "AUC 0.66 derivation, 0.68 validation; 0.676 in 660 cases, 0.588 among the complex (EuroIntervention, "
    "10.4244/EIJ-D-19-00352); 0.633 and good calibration in a registry with learning operators (PLoS One 2021)",
    kCastleSources};

// CL: JACC Cardiovasc Interv 2015;8:1540-1548, points and rates from memory.
constexpr auto kClCabg = std::to_array<Level>({{1.5, Yes("prior_cabg"), "earlier bypass operation"}});
constexpr auto kClMi = std::to_array<Level>({{1, Yes("prior_mi"), "earlier infarction"}});
constexpr auto kClCalcium = std::to_array<Level>({{2, In("calcification_angio", kSevere), "severe"}});
constexpr auto kClLength = std::to_array<Level>({{1.5, AtLeast("length_angio_mm", 20), "20 mm and more"}});
constexpr auto kClVessel = std::to_array<Level>({{1, NotIn("occluded_vessel", kLad), "not the LAD"}});
constexpr auto kClItems = std::to_array<ScoreItem>({{"cabg", "Bypass operation", kClCabg},
                                                    {"mi", "Infarction", kClMi},
                                                    {"calcification", "Calcification", kClCalcium},
                                                    {"length", "Length", kClLength},
                                                    {"vessel", "Vessel", kClVessel},
                                                    {"stump", "Stump", kBluntOne}});
constexpr auto kClGroups = std::to_array<ScoreGroup>(
    {{0, 1, "high", kLow}, {1.5, 2.5, "intermediate", kMiddle}, {3, 4.5, "low", kHigh}, {5, 8, "very low", kHigh}});
constexpr auto kClDerivation = std::to_array<Rate>({{0.849, 0.849}, {0.749, 0.749}, {0.580, 0.580}, {0.319, 0.319}});
constexpr auto kClValidation = std::to_array<Rate>({{0.883, 0.883}, {0.731, 0.731}, {0.594, 0.594}, {0.462, 0.462}});
constexpr auto kClRates = std::to_array<RateTable>(
    {{"success at the first attempt", "derivation, 1,143 cases", kClDerivation, kMemory, "cl-2015"_source},
     {"success at the first attempt", "validation, 514 cases", kClValidation, kMemory, "cl-2015"_source}});
constexpr auto kFirstAttempt = std::to_array<Exclusion>(
    {{AtLeast("previous_failed_attempts", 1), "made from first attempts: an earlier attempt failed", true}});
constexpr auto kClSources =
    std::to_array<SourceId>({"cl-2015"_source, "progress-external-2016"_source, "plos-2021"_source});
constexpr ScoreDefinition kCl{
    "cl",
    "CL",
    Question::kSuccess,
    "success at the first attempt",
    Polarity::kHigherIsHarder,
    ScoreStatus::kCheck,
    "points and both rate rows are from memory",
    0,
    8,
    0.5,
    kClItems,
    kClGroups,
    kClRates,
    {},
    kFirstAttempt,
    false,
    false,
    "1,657 consecutive first attempts of one programme",
    "not after a failed attempt",
    "AUC 0.691 in 664 US cases (Int J Cardiol 2016;224:50-56); 0.652 and good calibration in a registry with learning "
    "operators (PLoS One 2021)",
    kClSources};

// ORA: JACC Cardiovasc Interv 2016;9:911-922.
constexpr auto kOstial = std::to_array<Level>({{1, Yes("ostial"), "ostial"}});
constexpr auto kOraRentrop = std::to_array<Level>({{2, In("rentrop", kBelowTwo), "Rentrop below 2"}});
constexpr auto kAge75 = std::to_array<Level>({{1, AtLeast("age_years", 75), "75 years and more"}});
constexpr auto kOraItems = std::to_array<ScoreItem>(
    {{"ostial", "Ostial", kOstial}, {"rentrop", "Collateral filling", kOraRentrop}, {"age", "Age", kAge75}});
constexpr auto kOraGroups = std::to_array<ScoreGroup>({{0, 0, "easy", kLow},
                                                       {1, 1, "intermediate", kMiddle},
                                                       {2, 2, "difficult", kHigh},
                                                       {3, 4, "very difficult", kHigh}});
constexpr auto kOraSources = std::to_array<SourceId>({"ora-2016"_source});
constexpr ScoreDefinition kOra{
    "ora",
    "ORA",
    Question::kSuccess,
    "technical failure, any strategy",
    Polarity::kHigherIsHarder,
    ScoreStatus::kPoints,
    "items, points and groups read; rates not readable",
    0,
    4,
    1,
    kOraItems,
    kOraGroups,
    {},
    {},
    {},
    false,
    false,
    "1,073 procedures of one operator, 2005-2014",
    "context only: one operator; in 8,788 cases of a registry ostial place was not linked to success (odds ratio 1.03, "
    "0.83-1.29)",
    "AUC 0.728 derivation, 0.772 validation",
    kOraSources};

// RECHARGE: Catheter Cardiovasc Interv 2018;91:192-202, from memory.
constexpr auto kAnyCalcification =
    std::to_array<Level>({{1, In("calcification_angio", kAnyCalcium), "any calcification"}});
constexpr auto kBend45 = std::to_array<Level>({{1, AtLeast("bend_angio_deg", 45), "45 degrees and more"}});
constexpr auto kDiseasedZone = std::to_array<Level>({{1, Yes("distal_landing_zone_diseased"), "diseased"}});
constexpr auto kGraftHere = std::to_array<Level>({{1, Yes("graft_to_occluded_vessel"), "a graft on this vessel"}});
constexpr auto kRechargeItems = std::to_array<ScoreItem>({{"stump", "Stump", kBluntOne},
                                                          {"calcification", "Calcification", kAnyCalcification},
                                                          {"bend", "Bend in the occlusion", kBend45},
                                                          {"length", "Length", kLength20},
                                                          {"landing", "Landing zone", kDiseasedZone},
                                                          {"graft", "Graft to this vessel", kGraftHere}});
constexpr auto kRechargeGroups = std::to_array<ScoreGroup>({{0, 6, "0-6"}});
constexpr auto kRechargeSources = std::to_array<SourceId>({"recharge-2018"_source});
constexpr ScoreDefinition kRecharge{
    "recharge",
    "RECHARGE",
    Question::kSuccess,
    "technical success, any strategy",
    Polarity::kHigherIsHarder,
    ScoreStatus::kCheck,
    "items are from memory; groups and rates not readable",
    0,
    6,
    1,
    kRechargeItems,
    kRechargeGroups,
    {},
    {},
    {},
    false,
    false,
    "1,253 cases, 17 European centres, 2014-2015, success 86 %",
    "the graft item is about this vessel, not about any bypass operation",
    "AUC 0.757 on the angiogram, 0.718 on CT, in 131 occlusions (Korean J Radiol 2021;22:697-705)",
    kRechargeSources};

// B-CTO: Cardiology 2017. 61 + 128 + 106 + 60 = 355 successes of 438 (81.1 %).
constexpr auto kBAge = std::to_array<Level>(
    {{2, AtLeast("age_years", 75), "75 years and more"}, {1, AtLeast("age_years", 60), "60 to 74 years"}});
constexpr auto kBSex = std::to_array<Level>({{2, In("sex", kFemale), "female"}});
constexpr auto kBRca = std::to_array<Level>({{2, In("occluded_vessel", kRca), "right coronary artery"}});
constexpr auto kBStump = std::to_array<Level>({{2, In("stump_angio", kBlunt), "blunt or no stump"}});
constexpr auto kBBend = std::to_array<Level>({{2, Above("bend_angio_deg", 45), "a bend above 45 degrees"}});
constexpr auto kBItems = std::to_array<ScoreItem>({{"age", "Age", kBAge},
                                                   {"length", "Length", kLength20},
                                                   {"sex", "Sex", kBSex},
                                                   {"vessel", "Vessel", kBRca},
                                                   {"stump", "Stump", kBStump},
                                                   {"bend", "Bend in the occlusion", kBBend}});
constexpr auto kBGroups = std::to_array<ScoreGroup>({{0, 1, "easy", kLow},
                                                     {2, 3, "intermediate", kMiddle},
                                                     {4, 5, "difficult", kHigh},
                                                     {6, 11, "very difficult", kHigh}});
constexpr auto kBRate = std::to_array<Rate>({{0.953, 0.953}, {0.865, 0.865}, {0.791, 0.791}, {0.652, 0.652}});
constexpr auto kBRates =
    std::to_array<RateTable>({{"opening of the occlusion", "438 patients", kBRate, kSeen, "b-cto-2017"_source}});
constexpr auto kBSources = std::to_array<SourceId>({"b-cto-2017"_source});
constexpr ScoreDefinition kBCto{
    "b-cto",
    "B-CTO",
    Question::kSuccess,
    "opening of the occlusion, any strategy",
    Polarity::kHigherIsHarder,
    ScoreStatus::kFull,
    "points, groups and rates read in the abstract",
    0,
    11,
    1,
    kBItems,
    kBGroups,
    kBRates,
    {},
    {},
    false,
    false,
    "438 patients of one Korean centre, 1999-2015, success 81.1 %",
    "very long enrolment; no external validation seen",
    "95 % intervals from the counts: 87-98 % of 64, 80-91 % of 148, 72-85 % of 134, 55-74 % of 92",
    kBSources};

constexpr auto kScores = std::to_array<const ScoreDefinition*>({&kCastle, &kCl, &kProgress, &kOra, &kRecharge, &kBCto});

}  // namespace

std::span<const ScoreDefinition* const> SuccessScores() {
  return kScores;
}

}  // namespace fairlead
