// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "casebook/run_row.h"

namespace fairlead {
namespace {
using enum RunField;
using enum FieldNeed;
using enum SideUse;

constexpr std::string_view kGroup = "kit";

constexpr auto kMovesWords = std::to_array<RunWord>({{"in", ""}, {"out", ""}});
constexpr auto kHolesWords = std::to_array<RunWord>({{"holes", "side-holes"}});
constexpr auto kClassesWords = std::to_array<RunWord>({{"soft", ""}, {"polymer", "jacket"}, {"intermediate", "mid"}, {"penetrating", "tapered stiff"}});
constexpr auto kLumensWords = std::to_array<RunWord>({{"single", ""}, {"dual", "double-lumen"}});
constexpr auto kLoopsWords = std::to_array<RunWord>({{"three-loop", "triple"}, {"single-loop", "loop"}});
constexpr auto kPlacesWords = std::to_array<RunWord>({{"aorta", ""}, {"ostium", ""}, {"guide", ""}});
constexpr auto kPartsWords = std::to_array<RunWord>({{"shaft", ""}, {"tip", ""}});
constexpr auto kSnaredWords = std::to_array<RunWord>({{"snared", ""}});
constexpr auto kProofsWords = std::to_array<RunWord>({{"views", "two-views"}, {"ultrasound", "ivus us"}});
constexpr auto kSitesWords = std::to_array<RunWord>({{"branch", ""}, {"guide", ""}, {"distal", ""}});
constexpr auto kShapesWords = std::to_array<RunWord>({{"extra-backup", "backup"}, {"standard-curve", "standard"}, {"hockey-stick", ""}, {"multipurpose", ""}, {"mammary", ""}});
constexpr auto kGuideTakes = std::to_array<VerbField>({
    OneOf(kMove, kMovesWords),
    TagOf(kTag, "g"),
    OneOf(kKind, kShapesWords),
    NumberIn(kFrench, 4, 9),
    NumberIn(kWireLength, 60, 140),
    OneOf(kState, kHolesWords),
    Keyed(NumberIn(kDepth, 0, 160)),
    NameOf(kKit, kMay, true)});
constexpr auto kExtensionTakes = std::to_array<VerbField>({
    OneOf(kMove, kMovesWords),
    TagOf(kTag, "e"),
    NumberIn(kFrench, 4, 9),
    NumberIn(kWireLength, 60, 180),
    Keyed(NumberIn(kDepth, 0, 180)),
    NameOf(kKit, kMay, true)});
constexpr auto kWireTakes = std::to_array<VerbField>({
    OneOf(kMove, kMovesWords),
    TagOf(kTag, "w"),
    OneOf(kClass, kClassesWords),
    NumberIn(kTipLoad, 0.1, 100),
    NumberIn(kWireLength, 90, 400),
    Keyed(NumberIn(kDepth, 0, 400)),
    NameOf(kKit, kMay, true),
    NameOf(kSegment, kMay, true)});
constexpr auto kMcTakes = std::to_array<VerbField>({
    OneOf(kMove, kMovesWords),
    TagOf(kTag, "m"),
    OneOf(kKind, kLumensWords),
    Bare(NumberIn(kWireLength, 90, 200)),
    Keyed(NumberIn(kDepth, 0, 200)),
    NameOf(kKit, kMay, true),
    NameOf(kSegment, kMay, true)});
constexpr auto kAnchorTakes = std::to_array<VerbField>({
    OneOf(kWhere, kSitesWords),
    Bare(NumberIn(kDiameter, 0.75, 5)),
    OneOf(kMove, kMovesWords)});
constexpr auto kTrapTakes = std::to_array<VerbField>({
    Bare(NumberIn(kDiameter, 1, 5)),
    OneOf(kMove, kMovesWords)});
constexpr auto kSnareTakes = std::to_array<VerbField>({
    OneOf(kKind, kLoopsWords),
    Bare(NumberIn(kDiameter, 2, 60)),
    OneOf(kWhere, kPlacesWords),
    TagOf(kTag, "w"),
    OneOf(kPart, kPartsWords),
    OneOf(kMove, kMovesWords)});
constexpr auto kTipInTakes = std::to_array<VerbField>({
    TagOf(kTag, "w m")});
constexpr auto kExternaliseTakes = std::to_array<VerbField>({
    Bare(NumberIn(kWireLength, 90, 400)),
    TagOf(kTag, "w"),
    OneOf(kState, kSnaredWords)});
constexpr auto kAortaTakes = std::to_array<VerbField>({
    TagOf(kTag, "w"),
    OneOf(kProof, kProofsWords)});

constexpr auto kVerbs = std::to_array<VerbRow>({
    {Verb::kGuide, "guide", "", kGroup, kMustSide, kGuideTakes, "a guide catheter in or out", "guide a in 7F 90cm", false},
    {Verb::kExtension, "extension", "ext", kGroup, kMustSide, kExtensionTakes, "a guide extension in or out", "extension a in 6F", false},
    {Verb::kWire, "wire", "", kGroup, kMustSide, kWireTakes, "a wire in or out; the log numbers it", "wire a in polymer 0.8g 190cm", false},
    {Verb::kMc, "mc", "microcatheter", kGroup, kMustSide, kMcTakes, "a microcatheter in or out; the log numbers it", "mc a in 135cm", false},
    {Verb::kAnchor, "anchor", "", kGroup, kMaySide, kAnchorTakes, "an anchoring balloon", "anchor a branch 2mm", false},
    {Verb::kTrap, "trap", "", kGroup, kMaySide, kTrapTakes, "a trapping balloon in the guide", "trap a 2.5mm", false},
    {Verb::kSnare, "snare", "", kGroup, kMaySide, kSnareTakes, "a snare, where, and what it holds", "snare a three-loop 27mm aorta w2 shaft", false},
    {Verb::kTipIn, "tip-in", "tipin rendezvous", kGroup, kMaySide, kTipInTakes, "one side's wire into the other side's catheter", "tip-in w2", false},
    {Verb::kExternalise, "externalise", "externalize", kGroup, kMaySide, kExternaliseTakes, "the retrograde wire comes out of the antegrade guide", "externalise w3 330cm", false},
    {Verb::kAorta, "aorta", "", kGroup, kMaySide, kAortaTakes, "the retrograde wire is in the aorta beside the guide", "aorta w2", false}});

}  // namespace

std::span<const VerbRow> KitVerbs() { return kVerbs; }

}  // namespace fairlead
