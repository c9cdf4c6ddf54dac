// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "casebook/run_row.h"

namespace fairlead {
namespace {
using enum RunField;
using enum FieldNeed;
using enum SideUse;

constexpr std::string_view kGroup = "finding out";

constexpr auto kChannelsWords = std::to_array<RunWord>({{"septal", ""}, {"epicardial", ""}, {"graft", "svg lima"}, {"ipsilateral", "same-side"}, {"atrial", ""}});
constexpr auto kReenterersWords = std::to_array<RunWord>({{"wire", ""}, {"device", ""}, {"ultrasound", "ivus us"}});
constexpr auto kWentWords = std::to_array<RunWord>({{"ok", "done"}, {"failed", "fail"}});
constexpr auto kJoinsWords = std::to_array<RunWord>({{"directed", ""}, {"conventional", ""}, {"extended", ""}, {"assisted", "guide-ext extension-assisted"}, {"cart", ""}, {"kissing", ""}});
constexpr auto kChannelledWords = std::to_array<RunWord>({{"entered", ""}, {"wired", ""}, {"catheter", "mc"}, {"injured", ""}, {"spared", "unhurt"}});
constexpr auto kSpacesWords = std::to_array<RunWord>({{"true", "lumen"}, {"intraplaque", "plaque"}, {"extraplaque", "subintimal outside-plaque"}, {"branch", ""}, {"outside", "extravascular"}, {"unknown", "?"}});
constexpr auto kProofsWords = std::to_array<RunWord>({{"views", "two-views"}, {"ultrasound", "ivus us"}, {"none", "unproven"}});
constexpr auto kMovesWords = std::to_array<RunWord>({{"in", ""}, {"out", ""}, {"pull", "pullback"}});
constexpr auto kInjectorsWords = std::to_array<RunWord>({{"guide", ""}, {"catheter", "mc"}});
constexpr auto kBothWords = std::to_array<RunWord>({{"both", "dual"}});
constexpr auto kKnuckleTakes = std::to_array<VerbField>({
    TagOf(kTag, "w")});
constexpr auto kReenterTakes = std::to_array<VerbField>({
    OneOf(kBy, kReenterersWords),
    OneOf(kOutcome, kWentWords),
    TagOf(kTag, "w")});
constexpr auto kJoinTakes = std::to_array<VerbField>({
    OneOf(kKind, kJoinsWords, kMust),
    Bare(NumberIn(kDiameter, 1, 5)),
    NameOf(kSegment, kMay, true)});
constexpr auto kCollateralTakes = std::to_array<VerbField>({
    TagOf(kChannel, "c"),
    OneOf(kKind, kChannelsWords),
    OneOf(kState, kChannelledWords, kMust)});
constexpr auto kSpaceTakes = std::to_array<VerbField>({
    TagOf(kTag, "w"),
    OneOf(kSpace, kSpacesWords, kMust),
    OneOf(kProof, kProofsWords, kAsked),
    NameOf(kSegment, kMay, true)});
constexpr auto kEemTakes = std::to_array<VerbField>({
    Bare(Joined(NumberIn(kEemMin, 0.8, 9, kMust), 'x')),
    Bare(NumberIn(kEemMax, 0.8, 9)),
    NumberIn(kArc, 0, 360),
    NameOf(kSegment, kMay, true)});
constexpr auto kIvusTakes = std::to_array<VerbField>({
    OneOf(kMove, kMovesWords),
    TagOf(kTag, "w"),
    NameOf(kSegment, kMay, true)});
constexpr auto kViewTakes = std::to_array<VerbField>({
    Turned(NumberIn(kPrimary, -180, 180, kMust), "lao", "rao"),
    Turned(NumberIn(kSecondary, -90, 90), "cra", "cau")});
constexpr auto kInjectTakes = std::to_array<VerbField>({
    OneOf(kBy, kInjectorsWords),
    OneOf(kState, kBothWords)});

constexpr auto kVerbs = std::to_array<VerbRow>({
    {Verb::kKnuckle, "knuckle", "", kGroup, kMustSide, kKnuckleTakes, "a looped wire is pushed", "knuckle a w3", false},
    {Verb::kReenter, "reenter", "re-enter", kGroup, kMaySide, kReenterTakes, "re-entry tried, and how it went", "reenter a device ok", false},
    {Verb::kJoin, "join", "connect", kGroup, kNoSide, kJoinTakes, "the two sides are joined by a balloon", "join conventional 2.5mm seg:7", false},
    {Verb::kCollateral, "collateral", "channel col", kGroup, kNoSide, kCollateralTakes, "what became of a collateral channel", "collateral c1 septal wired", false},
    {Verb::kSpace, "space", "", kGroup, kMustSide, kSpaceTakes, "where a wire is, and how that is known", "space a w3 extraplaque views", false},
    {Verb::kEem, "eem", "vessel", kGroup, kMaySide, kEemTakes, "the vessel on ultrasound: least x greatest diameter", "eem a 3.1x3.6 seg:7", false},
    {Verb::kIvus, "ivus", "ultrasound", kGroup, kMustSide, kIvusTakes, "an ultrasound catheter in, out or pulled back", "ivus a pull", false},
    {Verb::kView, "view", "angle", kGroup, kNoSide, kViewTakes, "the gantry's angles", "view LAO45 CRA25", false},
    {Verb::kInject, "inject", "injection", kGroup, kMaySide, kInjectTakes, "contrast by hand: a, r or both, and through what", "inject both", false}});

}  // namespace

std::span<const VerbRow> FindingVerbs() { return kVerbs; }

}  // namespace fairlead
