// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "casebook/run_row.h"

namespace fairlead {
namespace {
using enum RunField;
using enum FieldNeed;
using enum SideUse;

constexpr std::string_view kGroup = "session";

constexpr auto kSitesWords = std::to_array<RunWord>({{"femoral", ""}, {"radial", ""}, {"distal-radial", "snuffbox"}, {"brachial", ""}, {"ulnar", ""}});
constexpr auto kBodyWords = std::to_array<RunWord>({{"left", ""}, {"right", ""}});
constexpr auto kGuidedWords = std::to_array<RunWord>({{"ultrasound", "us"}});
constexpr auto kMovesWords = std::to_array<RunWord>({{"in", ""}, {"out", ""}});
constexpr auto kClosersWords = std::to_array<RunWord>({{"device", "plug"}, {"manual", "pressure"}, {"band", ""}, {"suture", ""}});
constexpr auto kHeldWords = std::to_array<RunWord>({{"dry", "ok"}, {"bleed", "bleeding"}, {"haematoma", "hematoma"}});
constexpr auto kResultsWords = std::to_array<RunWord>({{"success", "done"}, {"partial", ""}, {"prepared", "invested"}, {"failed", "fail"}});
constexpr auto kReasonsWords = std::to_array<RunWord>({{"cap-hard", "f01"}, {"cap-unclear", "f02"}, {"side-branch", "f03"}, {"outside-plaque", "f04"}, {"haematoma", "f05 hematoma"}, {"catheter-stops", "f06"}, {"uncrossable", "f07"}, {"undilatable", "f08"}, {"support", "f09"}, {"channel-wire", "f10"}, {"channel-catheter", "f11"}, {"far-cap", "f12"}, {"not-joined", "f13"}, {"no-flow", "f14"}, {"complication", "f15"}, {"limit", "f16"}, {"kit-or-skill", "f17"}, {"patient", "f18"}, {"planned", "plan"}});
constexpr auto kNextWords = std::to_array<RunWord>({{"again", "second-look"}, {"refer", ""}, {"medical", "drugs"}, {"surgery", ""}});
constexpr auto kEndsWords = std::to_array<RunWord>({{"begin", "start"}, {"over", "stop"}});
constexpr auto kTimeoutTakes = std::to_array<VerbField>({
    Keyed(NumberIn(kPlan, 1, 999))});
constexpr auto kAccessTakes = std::to_array<VerbField>({
    OneOf(kSite, kSitesWords, kMust),
    OneOf(kBodySide, kBodyWords),
    NumberIn(kFrench, 4, 14),
    NumberIn(kWireLength, 5, 110),
    OneOf(kBy, kGuidedWords)});
constexpr auto kSheathTakes = std::to_array<VerbField>({
    OneOf(kMove, kMovesWords, kMust),
    OneOf(kSite, kSitesWords),
    OneOf(kBodySide, kBodyWords)});
constexpr auto kClosureTakes = std::to_array<VerbField>({
    OneOf(kKind, kClosersWords, kMust),
    OneOf(kSite, kSitesWords),
    OneOf(kBodySide, kBodyWords),
    OneOf(kOutcome, kHeldWords)});
constexpr auto kResultTakes = std::to_array<VerbField>({
    OneOf(kOutcome, kResultsWords, kMust),
    OneOf(kReason, kReasonsWords),
    OneOf(kDecision, kNextWords)});
constexpr auto kBreakTakes = std::to_array<VerbField>({
    OneOf(kState, kEndsWords)});
constexpr auto kPriorTakes = std::to_array<VerbField>({
    NumberIn(kVolume, 1, 1500),
    NumberIn(kKerma, 0.001, 30),
    NumberIn(kDays, 0, 400, kMust)});

constexpr auto kVerbs = std::to_array<VerbRow>({
    {Verb::kTimeout, "timeout", "time-out", kGroup, kNoSide, kTimeoutTakes, "time-out held; freezes the version of the plan", "timeout", false},
    {Verb::kAccess, "access", "puncture", kGroup, kMaySide, kAccessTakes, "an arterial puncture", "access femoral right 7F 45cm ultrasound", false},
    {Verb::kSheath, "sheath", "", kGroup, kMaySide, kSheathTakes, "a sheath in or out", "sheath out femoral right", false},
    {Verb::kClosure, "closure", "close", kGroup, kNoSide, kClosureTakes, "how a puncture was closed", "closure device femoral right dry", false},
    {Verb::kEnd, "end", "", kGroup, kNoSide, {}, "last guide out: the session ends", "end", false},
    {Verb::kResult, "result", "", kGroup, kNoSide, kResultTakes, "what came of it; of a failed case why, and what next", "result failed far-cap again", false},
    {Verb::kBreak, "break", "pause", kGroup, kNoSide, kBreakTakes, "a pause begins or is over", "break begin", false},
    {Verb::kPrior, "prior", "earlier", kGroup, kNoSide, kPriorTakes, "contrast or air kerma of an earlier visit, and how many days ago", "prior 120mL 3d", false}});

}  // namespace

std::span<const VerbRow> SessionVerbs() { return kVerbs; }

}  // namespace fairlead
