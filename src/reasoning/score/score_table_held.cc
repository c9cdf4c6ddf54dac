// SPDX-License-Identifier: Apache-2.0
// Difficulty scores whose points could not be read: only the findings that count, no total.
#include "reasoning/score/score_table.h"

namespace fairlead {
namespace {

using namespace words;  // NOLINT(google-build-using-namespace): word lists of this table only

// CTo-aBCDE: Rev Port Cardiol 2020;39:575-582. The one score that rises with ease.
constexpr auto kTaperedStump = std::to_array<Level>({{0, In("stump_angio", kTapered), "tapered stump"}});
constexpr auto kBluntStump = std::to_array<Level>({{0, In("stump_angio", kBlunt), "blunt or no stump"}});
constexpr auto kTortuous = std::to_array<Level>({{0, In("proximal_tortuosity", kModerateOrSevere), "tortuous"}});
constexpr auto kBranch = std::to_array<Level>({{0, Yes("side_branch_at_cap"), "bifurcation at the cap"}});
constexpr auto kCalcium = std::to_array<Level>({{0, In("calcification_angio", kAnyCalcium), "calcified"}});
constexpr auto kLadVessel = std::to_array<Level>({{0, In("occluded_vessel", kLad), "LAD"}});
constexpr auto kLength = std::to_array<Level>({{0, AtLeast("length_angio_mm", 20), "20 mm and more"}});
constexpr auto kAbcdeItems = std::to_array<ScoreItem>({{"tapered", "Tapered stump", kTaperedStump, 0.0, true},
                                                       {"blunt", "Blunt or no stump", kBluntStump},
                                                       {"tortuosity", "Tortuosity", kTortuous},
                                                       {"bifurcation", "Bifurcation at the cap", kBranch},
                                                       {"calcification", "Calcification", kCalcium},
                                                       {"lad", "LAD", kLadVessel, 0.0, true},
                                                       {"length", "20 mm and more", kLength}});
constexpr auto kAbcdeSources = std::to_array<SourceId>({"ctoabcde-2020"_source});
constexpr ScoreDefinition kAbcde{"cto-abcde",
                                 "CTo-aBCDE",
                                 Question::kSuccess,
                                 "technical success, any strategy",
                                 Polarity::kHigherIsEasier,
                                 ScoreStatus::kHold,
                                 "points of the items not readable",
                                 0,
                                 0,
                                 1,
                                 kAbcdeItems,
                                 {},
                                 {},
                                 {},
                                 {},
                                 false,
                                 false,
                                 "377 procedures of one centre, success 60 %",
                                 "no total; this score rises with ease, all others with difficulty",
                                 "AUC 0.831; published: below 3 15 %, 3 to 8 55 %, above 8 95 %",
                                 kAbcdeSources};

constexpr auto kOperatorSources = std::to_array<SourceId>({"operator-cto-2021"_source});
constexpr ScoreDefinition kOperator{
    "operator-cto",
    "Operator-CTO",
    Question::kSuccess,
    "technical success, any strategy",
    Polarity::kHigherIsHarder,
    ScoreStatus::kHold,
    "items not readable",
    0,
    0,
    1,
    {},
    {},
    {},
    {},
    {},
    false,
    false,
    "144 lesions, 10 operators",
    "no total; the operator's own experience is part of it",
    "AUC 0.901 (0.821-0.982); published: 2 and less 99.0 %, 3 87.5 %, 4 53.8 %, 5 and more 25.0 %",
    kOperatorSources};

constexpr auto kExperienceSources = std::to_array<SourceId>({"experience-2023"_source});
constexpr ScoreDefinition kExperience{"experience",
                                      "Experience score",
                                      Question::kSuccess,
                                      "technical success, any strategy",
                                      Polarity::kHigherIsHarder,
                                      ScoreStatus::kHold,
                                      "items not readable; anatomy and the number of earlier cases",
                                      0,
                                      0,
                                      1,
                                      {},
                                      {},
                                      {},
                                      {},
                                      {},
                                      false,
                                      false,
                                      "540 procedures of 457 patients, 2007-2021",
                                      "no total",
                                      "",
                                      kExperienceSources};

constexpr auto kSurvivalSources = std::to_array<SourceId>({"survival-benefit-2020"_source});
constexpr ScoreDefinition kSurvival{"survival-benefit",
                                    "Survival-benefit score",
                                    Question::kSuccess,
                                    "survival after success",
                                    Polarity::kHigherIsEasier,
                                    ScoreStatus::kHold,
                                    "content not readable",
                                    0,
                                    0,
                                    1,
                                    {},
                                    {},
                                    {},
                                    {},
                                    {},
                                    false,
                                    false,
                                    "not readable",
                                    "no total; not a score of difficulty",
                                    "",
                                    kSurvivalSources};

constexpr auto kScores = std::to_array<const ScoreDefinition*>({&kAbcde, &kOperator, &kExperience, &kSurvival});

}  // namespace

std::span<const ScoreDefinition* const> HeldScores() {
  return kScores;
}

}  // namespace fairlead
