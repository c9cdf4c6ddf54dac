// SPDX-License-Identifier: Apache-2.0
// Scores of one collateral channel, and of a retrograde case. All but one have no verified points.
#include "reasoning/score/score_table.h"

namespace fairlead {
namespace {

using namespace words;  // NOLINT(google-build-using-namespace): word lists of this table only

// JR-CTO: JACC Cardiovasc Interv 2024 (PubMed 38703149).
constexpr auto kCalcium =
    std::to_array<Level>({{1, In("calcification_angio", kModerateOrSevere), "moderate or severe"}});
constexpr auto kTortuous = std::to_array<Level>({{1, Yes("collateral_tortuous"), "tortuous"}});
constexpr auto kThread = std::to_array<Level>({{1, In("collateral_cc_grade", kBelowTwo), "CC grade 0 or 1"}});
constexpr auto kNotSeptal = std::to_array<Level>({{1, NotIn("collateral_channel", kSeptal), "not septal"}});
constexpr auto kJrItems = std::to_array<ScoreItem>({{"calcification", "Calcification", kCalcium},
                                                    {"tortuosity", "Tortuosity", kTortuous},
                                                    {"connection", "Connection of the channel", kThread},
                                                    {"channel", "Kind of channel", kNotSeptal}});
constexpr auto kJrGroups = std::to_array<ScoreGroup>({{0, 4, "0-4"}});
constexpr auto kJrSources = std::to_array<SourceId>({"jr-cto-2024"_source});
constexpr ScoreDefinition kJrCto{
    "jr-cto",
    "JR-CTO",
    Question::kChannel,
    "wire failure in a primary retrograde case",
    Polarity::kHigherIsHarder,
    ScoreStatus::kPoints,
    "items and points read; rates of each total not readable",
    0,
    4,
    1,
    kJrItems,
    kJrGroups,
    {},
    {},
    {},
    false,
    true,
    "2,374 primary retrograde cases, Japanese expert registry, 2016-2022",
    "not for a retrograde bail-out after antegrade failure; ranks channels, each one scored by itself",
    "c 0.72 (0.67-0.76) derivation, 0.71 (0.64-0.77) validation; modest elsewhere (J Invasive Cardiol 2024, "
    "10.25270/jic/24.00208)",
    kJrSources};

// J-Channel: EuroIntervention, 10.4244/EIJ-D-18-00993. Points and limits not readable, but with any positive points a
// channel without a single finding is in the easy group.
constexpr auto kSmall = std::to_array<Level>({{0, Yes("small_vessel"), "small vessel"}});
constexpr auto kReverse = std::to_array<Level>({{0, Yes("reverse_bend"), "reverse bend"}});
constexpr auto kContinuous = std::to_array<Level>({{0, Yes("continuous_bends"), "continuous bends (septal)"}});
constexpr auto kCorkscrew = std::to_array<Level>({{0, Yes("corkscrew"), "corkscrew (not septal)"}});
constexpr auto kJChannelItems = std::to_array<ScoreItem>({{"small", "Small vessel", kSmall},
                                                          {"reverse", "Reverse bend", kReverse},
                                                          {"continuous", "Continuous bends, septal only", kContinuous},
                                                          {"corkscrew", "Corkscrew, not septal only", kCorkscrew}});
constexpr auto kJChannelSources = std::to_array<SourceId>({"j-channel-2020"_source});
constexpr ScoreDefinition kJChannel{
    "j-channel",
    "J-Channel",
    Question::kChannel,
    "wire through the channel",
    Polarity::kHigherIsHarder,
    ScoreStatus::kHold,
    "points and limits of the groups not readable",
    0,
    0,
    1,
    kJChannelItems,
    {},
    {},
    {},
    {},
    false,
    true,
    "886 channels of 2016, Japanese expert operators",
    "no total: only bounds that hold for any positive points",
    "AUC above 0.70; modest in 1,689 channels of 31 centres (J Invasive Cardiol 2024;36(5), 10.25270/jic/24.00006)",
    kJChannelSources};

// Size and tortuosity of a channel: item weights not readable.
constexpr auto kSizeAndBends = std::to_array<ScoreItem>(
    {{"connection", "Connection of the channel", kThread}, {"tortuosity", "Tortuosity", kTortuous}});
constexpr auto kCcSources = std::to_array<SourceId>({"channel-score-validation"_source});
constexpr ScoreDefinition kCcScore{
    "cc-score",
    "Channel score by size and tortuosity",
    Question::kChannel,
    "wire through the channel",
    Polarity::kHigherIsHarder,
    ScoreStatus::kHold,
    "item weights not readable",
    0,
    0,
    1,
    kSizeAndBends,
    {},
    {},
    {},
    {},
    false,
    true,
    "329 channels of one programme, 2017-2021",
    "no total",
    "2 and more: sensitivity 81.2 %, specificity 84.0 %, AUC 0.87, in its authors' own validation",
    kCcSources};

// R-ICPS: J Invasive Cardiol 2022;34:E286-E293.
constexpr auto kCc2 = std::to_array<Level>({{0, In("collateral_cc_grade", kTwo), "CC grade 2"}});
constexpr auto kCc0 = std::to_array<Level>({{0, In("collateral_cc_grade", kZero), "CC grade 0"}});
constexpr auto kBendAbove180 = std::to_array<Level>({{0, Above("max_bend_deg", 180), "a bend above 180 degrees"}});
constexpr auto kAcuteExit = std::to_array<Level>({{0, Below("exit_angle_deg", 90), "exit angle below 90 degrees"}});
constexpr auto kRIcpsItems = std::to_array<ScoreItem>({{"cc2", "CC grade 2", kCc2, 0.0, true},
                                                       {"cc0", "CC grade 0", kCc0},
                                                       {"bend", "Bend above 180 degrees", kBendAbove180},
                                                       {"exit", "Acute exit angle", kAcuteExit}});
constexpr auto kRIcpsSources = std::to_array<SourceId>({"r-icps-2022"_source});
constexpr ScoreDefinition kRIcps{"r-icps",
                                 "R-ICPS",
                                 Question::kChannel,
                                 "wire through the channel",
                                 Polarity::kHigherIsHarder,
                                 ScoreStatus::kHold,
                                 "no point values readable",
                                 0,
                                 0,
                                 1,
                                 kRIcpsItems,
                                 {},
                                 {},
                                 {},
                                 {},
                                 false,
                                 true,
                                 "297 channels of 180 patients, crossed in 68.3 %",
                                 "no total; a longer channel is harder too, without a cut-off",
                                 "AUC of its model 0.72",
                                 kRIcpsSources};

// Retrograde ERCTO score: J Invasive Cardiol 2023;35:E294-E296.
constexpr auto kAnyCalcification = std::to_array<Level>({{0, In("calcification_angio", kAnyCalcium), "calcified"}});
constexpr auto kPoorFilling = std::to_array<Level>({{0, In("distal_opacification", kPoor), "poor distal filling"}});
constexpr auto kProximalBends =
    std::to_array<Level>({{0, In("proximal_tortuosity", kModerateOrSevere), "tortuous before the cap"}});
constexpr auto kErctoItems = std::to_array<ScoreItem>({{"calcification", "Calcification", kAnyCalcification},
                                                       {"filling", "Distal opacification", kPoorFilling},
                                                       {"tortuosity", "Tortuosity before the cap", kProximalBends},
                                                       {"connection", "Connection of the channel", kThread}});
constexpr auto kErctoSources = std::to_array<SourceId>({"ercto-retrograde-2023"_source});
constexpr ScoreDefinition kErcto{"ercto-retrograde",
                                 "ERCTO retrograde",
                                 Question::kChannel,
                                 "technical success in a retrograde case",
                                 Polarity::kHigherIsHarder,
                                 ScoreStatus::kHold,
                                 "points not readable; the operator's volume counts too, cut-off unknown",
                                 0,
                                 0,
                                 1,
                                 kErctoItems,
                                 {},
                                 {},
                                 {},
                                 {},
                                 false,
                                 true,
                                 "European registry of retrograde cases",
                                 "no total, no percentage",
                                 "c 0.636 (0.610-0.662) in 2,341 retrograde cases of 35 centres",
                                 kErctoSources};

constexpr auto kScores = std::to_array<const ScoreDefinition*>({&kJrCto, &kJChannel, &kCcScore, &kRIcps, &kErcto});

}  // namespace

std::span<const ScoreDefinition* const> ChannelScores() {
  return kScores;
}

}  // namespace fairlead
