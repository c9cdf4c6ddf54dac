// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "casebook/run_row.h"

namespace fairlead {
namespace {
using enum RunField;
using enum FieldNeed;
using enum SideUse;

constexpr std::string_view kGroup = "attempts";

constexpr auto kStrategiesWords = std::to_array<RunWord>({{"AW", "awe antegrade-wiring"}, {"ADR", "dissection"}, {"RW", "rwe retrograde-wiring"}, {"RDR", "rcart"}});
constexpr auto kChannelsWords = std::to_array<RunWord>({{"septal", ""}, {"epicardial", ""}, {"graft", "svg lima"}, {"ipsilateral", "same-side"}, {"atrial", ""}});
constexpr auto kReasonsWords = std::to_array<RunWord>({{"cap-hard", "f01"}, {"cap-unclear", "f02"}, {"side-branch", "f03"}, {"outside-plaque", "f04"}, {"haematoma", "f05 hematoma"}, {"catheter-stops", "f06"}, {"uncrossable", "f07"}, {"undilatable", "f08"}, {"support", "f09"}, {"channel-wire", "f10"}, {"channel-catheter", "f11"}, {"far-cap", "f12"}, {"not-joined", "f13"}, {"no-flow", "f14"}, {"complication", "f15"}, {"limit", "f16"}, {"kit-or-skill", "f17"}, {"patient", "f18"}, {"planned", "plan"}});
constexpr auto kPhasesWords = std::to_array<RunWord>({{"cap", "proximal-cap"}, {"body", ""}, {"lumen", "distal-lumen"}, {"entry", ""}, {"tracking", ""}, {"reentry", "re-entry"}, {"channel", ""}, {"catheter", "mc-through"}, {"farcap", "far-cap"}, {"joining", "joined"}, {"home", "wire-home"}});
constexpr auto kObjectsWords = std::to_array<RunWord>({{"collateral", "channel"}, {"cap", ""}, {"lesion", "cto"}});
constexpr auto kCrossersWords = std::to_array<RunWord>({{"wire", ""}, {"catheter", "mc"}});
constexpr auto kProvenWords = std::to_array<RunWord>({{"proven", "confirmed"}});
constexpr auto kProofsWords = std::to_array<RunWord>({{"views", "two-views"}, {"ultrasound", "ivus us"}, {"branch", "branches"}});
constexpr auto kDecisionsWords = std::to_array<RunWord>({{"go-on", "goon continue"}, {"prepare", "invest"}, {"stop", ""}, {"finish", "near-end"}, {"closed", "no-way"}, {"open", "open-again"}, {"try", "tried"}});
// What is commonly tried when a way will not go; practice of the trade, no single source.
constexpr auto kStepsWords = std::to_array<RunWord>({{"second-view", "contact"}, {"extension", "guide-extension"}, {"anchor", "anchor-balloon"}, {"stiffer", "stiffer-wire"}, {"micro-injection", ""}, {"beside-cap", ""}, {"other-side", ""}, {"ct", ""}, {"ultrasound", "ivus us"}, {"dual-lumen", ""}, {"move-cap", ""}, {"block-branch", ""}, {"tip-angle", ""}, {"marker", "leave-it"}, {"parallel", "parallel-wire"}, {"re-enter", ""}, {"no-injection", ""}, {"draw-blood", ""}, {"turn", "another-tip"}, {"small-balloon", ""}, {"crush", ""}, {"burr", "atherectomy"}, {"laser", ""}, {"burst", "rupture"}, {"threaded", ""}, {"high-pressure", "non-compliant"}, {"cutting", "scoring"}, {"lithotripsy", ""}, {"bigger-guide", ""}, {"other-access", ""}, {"tip-injection", ""}, {"other-septal", ""}, {"other-channel", ""}, {"from-front", ""}, {"trap", ""}, {"closer", ""}, {"knuckle", ""}, {"meet", ""}, {"overlap", ""}, {"larger-balloon", ""}, {"prove-landing", ""}, {"open-and-leave", "investment"}, {"proctor", "refer"}, {"anaesthesia", "anesthesia"}});
constexpr auto kStartTakes = std::to_array<VerbField>({
    OneOf(kStrategy, kStrategiesWords, kMust),
    TagOf(kChannel, "c"),
    OneOf(kKind, kChannelsWords)});
constexpr auto kSwitchTakes = std::to_array<VerbField>({
    OneOf(kStrategy, kStrategiesWords, kMust),
    OneOf(kReason, kReasonsWords, kAsked),
    TagOf(kChannel, "c"),
    OneOf(kKind, kChannelsWords)});
constexpr auto kStoppedTakes = std::to_array<VerbField>({
    OneOf(kReason, kReasonsWords, kAsked)});
constexpr auto kPhaseTakes = std::to_array<VerbField>({
    OneOf(kPhase, kPhasesWords, kMust)});
constexpr auto kCrossedTakes = std::to_array<VerbField>({
    OneOf(kObject, kObjectsWords, kMust),
    OneOf(kBy, kCrossersWords),
    TagOf(kTag, "w m"),
    TagOf(kChannel, "c")});
constexpr auto kDistalTakes = std::to_array<VerbField>({
    OneOf(kState, kProvenWords, kMust),
    OneOf(kBy, kProofsWords, kMust),
    TagOf(kTag, "w")});
constexpr auto kDecideTakes = std::to_array<VerbField>({
    OneOf(kDecision, kDecisionsWords, kMust),
    OneOf(kStrategy, kStrategiesWords),
    OneOf(kReason, kReasonsWords),
    OneOf(kKind, kStepsWords),
    TagOf(kChannel, "c")});

constexpr auto kVerbs = std::to_array<VerbRow>({
    {Verb::kStart, "start", "", kGroup, kNoSide, kStartTakes, "an attempt begins with a strategy", "start AW", false},
    {Verb::kSwitch, "switch", "change", kGroup, kNoSide, kSwitchTakes, "the attempt ends and another strategy begins; asks why", "switch ADR cap-hard", false},
    {Verb::kStopped, "stopped", "stop", kGroup, kNoSide, kStoppedTakes, "the attempt ends without another; asks why", "stopped limit", false},
    {Verb::kPhase, "phase", "", kGroup, kNoSide, kPhaseTakes, "a phase begins, its clock with it", "phase tracking", false},
    {Verb::kCrossed, "crossed", "through", kGroup, kNoSide, kCrossedTakes, "something was crossed: a collateral, a cap or the lesion; ends no attempt", "crossed collateral c1", false},
    {Verb::kDistal, "distal", "", kGroup, kNoSide, kDistalTakes, "the far true lumen is proven, and how; this ends the crossing", "distal proven views", false},
    {Verb::kDecide, "decide", "decision", kGroup, kNoSide, kDecideTakes, "a stop-or-go decision, said aloud; that a way is closed, or open again; or what is tried against a failure", "decide go-on", false}});

}  // namespace

std::span<const VerbRow> AttemptVerbs() { return kVerbs; }

}  // namespace fairlead
