// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "casebook/run_row.h"

namespace fairlead {
namespace {
using enum RunField;
using enum FieldNeed;
using enum SideUse;

constexpr std::string_view kGroup = "looking";

constexpr auto kRhythmsWords = std::to_array<RunWord>({{"sinus", ""}, {"af", ""}, {"brady", "bradycardia"}, {"block", "av-block"}, {"vt", ""}, {"vf", ""}, {"asystole", ""}, {"pea", ""}, {"paced", ""}});
constexpr auto kStWords = std::to_array<RunWord>({{"up", "elevation"}, {"down", "depression"}, {"normal", "back unchanged"}});
constexpr auto kDonorWords = std::to_array<RunWord>({{"ok", "fine"}, {"dissection", ""}, {"thrombus", "clot"}, {"spasm", ""}, {"slow", "slow-flow"}});
constexpr auto kDampedWords = std::to_array<RunWord>({{"damped", ""}, {"cleared", "ok over"}});
constexpr auto kEchoWords = std::to_array<RunWord>({{"none", "dry no-effusion"}, {"trivial", ""}, {"effusion", ""}});
constexpr auto kLoculatedWords = std::to_array<RunWord>({{"loculated", ""}});
constexpr auto kBranchesWords = std::to_array<RunWord>({{"preserved", "kept"}, {"narrowed", ""}, {"lost", ""}});
constexpr auto kBpTakes = std::to_array<VerbField>({
    Bare(Joined(NumberIn(kSystolic, 20, 300, kMust), '/')),
    Bare(NumberIn(kDiastolic, 0, 200))});
constexpr auto kHrTakes = std::to_array<VerbField>({
    Bare(NumberIn(kHeartRate, 15, 300, kMust))});
constexpr auto kSpo2Takes = std::to_array<VerbField>({
    Bare(NumberIn(kSaturation, 30, 100, kMust))});
constexpr auto kRhythmTakes = std::to_array<VerbField>({
    OneOf(kKind, kRhythmsWords, kMust)});
constexpr auto kStTakes = std::to_array<VerbField>({
    OneOf(kState, kStWords, kMust)});
constexpr auto kPainTakes = std::to_array<VerbField>({
    Bare(NumberIn(kPain, 0, 10, kMust))});
constexpr auto kDonorFTakes = std::to_array<VerbField>({
    OneOf(kFinding, kDonorWords, kMust)});
constexpr auto kDampedFTakes = std::to_array<VerbField>({
    OneOf(kState, kDampedWords)});
constexpr auto kEchoFTakes = std::to_array<VerbField>({
    OneOf(kFinding, kEchoWords, kMust),
    NumberIn(kEffusion, 1, 80),
    OneOf(kKind, kLoculatedWords)});
constexpr auto kFlowTakes = std::to_array<VerbField>({
    Bare(NumberIn(kFlow, 0, 3, kMust)),
    NameOf(kBranch)});
constexpr auto kResidualTakes = std::to_array<VerbField>({
    Bare(NumberIn(kResidual, 0, 100, kMust))});
constexpr auto kBranchTakes = std::to_array<VerbField>({
    OneOf(kState, kBranchesWords, kMust),
    NameOf(kBranch, kMust)});

constexpr auto kVerbs = std::to_array<VerbRow>({
    {Verb::kBp, "bp", "pressure", kGroup, kNoSide, kBpTakes, "blood pressure", "bp 128/74", false},
    {Verb::kHr, "hr", "pulse", kGroup, kNoSide, kHrTakes, "heart rate", "hr 72", false},
    {Verb::kSpo2, "spo2", "saturation sat", kGroup, kNoSide, kSpo2Takes, "oxygen saturation by the pulse oximeter, in percent", "spo2 96%", false},
    {Verb::kRhythm, "rhythm", "", kGroup, kNoSide, kRhythmTakes, "rhythm", "rhythm sinus", false},
    {Verb::kSt, "st", "", kGroup, kNoSide, kStTakes, "ST segments", "st up", false},
    {Verb::kPain, "pain", "", kGroup, kNoSide, kPainTakes, "pain, 0 to 10", "pain 3", false},
    {Verb::kDonor, "donor", "", kGroup, kNoSide, kDonorFTakes, "the vessel that gives the collaterals, looked at", "donor ok", false},
    {Verb::kDamped, "damped", "", kGroup, kMaySide, kDampedFTakes, "the pressure in a guide is damped, or no longer", "damped r", false},
    {Verb::kEcho, "echo", "", kGroup, kNoSide, kEchoFTakes, "echo of the pericardium", "echo none", false},
    {Verb::kFlow, "flow", "timi", kGroup, kNoSide, kFlowTakes, "TIMI flow 0 to 3, of the vessel or of a named branch", "flow 3", false},
    {Verb::kResidual, "residual", "", kGroup, kNoSide, kResidualTakes, "diameter stenosis left", "residual 10%", false},
    {Verb::kBranch, "branch", "", kGroup, kNoSide, kBranchTakes, "what became of a branch", "branch lost d2", false}});

}  // namespace

std::span<const VerbRow> LookingVerbs() { return kVerbs; }

}  // namespace fairlead
