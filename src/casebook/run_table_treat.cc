// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "casebook/run_row.h"

namespace fairlead {
namespace {
using enum RunField;
using enum FieldNeed;
using enum SideUse;

constexpr std::string_view kGroup = "treating";

constexpr auto kPlacesWords = std::to_array<RunWord>({{"lesion", "cto"}, {"collateral", "channel"}, {"donor", ""}, {"branch", ""}, {"distal", ""}, {"guide", ""}});
constexpr auto kCuttersWords = std::to_array<RunWord>({{"rotational", "rota"}, {"orbital", ""}, {"laser", ""}, {"lithotripsy", "ivl"}});
constexpr auto kPlugsWords = std::to_array<RunWord>({{"coil", "coils"}, {"fat", ""}, {"thrombin", ""}, {"gel", ""}});
constexpr auto kComplianceWords = std::to_array<RunWord>({{"nc", "non-compliant"}, {"sc", "semi-compliant"}});
constexpr auto kBalloonTakes = std::to_array<VerbField>({
    Joined(NumberIn(kDiameter, 0.75, 8), 'x'),
    NumberIn(kLength, 4, 60),
    NumberIn(kPressure, 0.5, 45),
    NumberIn(kFor, 1, 3600),
    OneOf(kKind, kComplianceWords),
    OneOf(kWhere, kPlacesWords),
    TagOf(kChannel, "c"),
    NameOf(kKit, kMay, true),
    NameOf(kSegment, kMay, true)});
constexpr auto kCutTakes = std::to_array<VerbField>({
    Joined(NumberIn(kDiameter, 0.75, 8), 'x'),
    NumberIn(kLength, 4, 60),
    NumberIn(kPressure, 0.5, 45),
    NumberIn(kFor, 1, 3600),
    NameOf(kKit, kMay, true),
    NameOf(kSegment, kMay, true)});
constexpr auto kDebulkTakes = std::to_array<VerbField>({
    OneOf(kKind, kCuttersWords, kMust),
    Bare(NumberIn(kDiameter, 0.7, 3)),
    TagOf(kTag, "w"),
    NameOf(kSegment, kMay, true)});
constexpr auto kStentTakes = std::to_array<VerbField>({
    Joined(NumberIn(kDiameter, 1.5, 8, kMust), 'x'),
    NumberIn(kLength, 6, 100),
    NumberIn(kPressure, 0.5, 45),
    NameOf(kKit, kMay, true),
    NameOf(kUdi, kMay, true),
    NameOf(kSegment, kMay, true)});
constexpr auto kCoverTakes = std::to_array<VerbField>({
    Joined(NumberIn(kDiameter, 1.5, 8), 'x'),
    NumberIn(kLength, 6, 60),
    NumberIn(kPressure, 0.5, 45),
    NameOf(kKit, kMay, true),
    NameOf(kUdi, kMay, true),
    NameOf(kSegment, kMay, true)});
constexpr auto kCoilTakes = std::to_array<VerbField>({
    OneOf(kKind, kPlugsWords),
    OneOf(kWhere, kPlacesWords),
    Bare(NumberIn(kCount, 1, 30))});

constexpr auto kVerbs = std::to_array<VerbRow>({
    {Verb::kBalloon, "balloon", "poba", kGroup, kMaySide, kBalloonTakes, "a balloon: size, pressure, how long, where", "balloon a 2.5x15 12atm 20s", false},
    {Verb::kCut, "cut", "cutting scoring", kGroup, kMaySide, kCutTakes, "a cutting or scoring balloon", "cut a 2.5x10 10atm", false},
    {Verb::kDebulk, "debulk", "atherectomy", kGroup, kMaySide, kDebulkTakes, "atherectomy, laser or lithotripsy", "debulk a rotational 1.25mm", false},
    {Verb::kStent, "stent", "", kGroup, kMaySide, kStentTakes, "a stent: diameter x length, pressure", "stent a 3.0x28 14atm", false},
    {Verb::kCover, "cover", "covered", kGroup, kMaySide, kCoverTakes, "a covered stent", "cover a 3.0x16", false},
    {Verb::kCoil, "coil", "embolise", kGroup, kMaySide, kCoilTakes, "something left to close a hole", "coil a fat distal", false}});

}  // namespace

std::span<const VerbRow> TreatingVerbs() { return kVerbs; }

}  // namespace fairlead
