// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "casebook/run_row.h"

namespace fairlead {
namespace {
using enum RunField;
using enum FieldNeed;
using enum SideUse;

constexpr std::string_view kGroup = "trouble and gates";

constexpr auto kTroublesWords = std::to_array<RunWord>({{"perforation", "hole"}, {"tamponade", ""}, {"donor", "donor-injury"}, {"stuck", ""}, {"hypotension", "low-pressure"}, {"anaphylaxis", "allergy"}, {"arrest", ""}, {"stroke", ""}, {"bleed", "access-bleed"}, {"dissection", "aortic"}});
constexpr auto kOverWords = std::to_array<RunWord>({{"over", "solved"}});
constexpr auto kGradesWords = std::to_array<RunWord>({{"I", "1"}, {"II", "2"}, {"III", "3"}, {"cavity", "iii-cs"}});
constexpr auto kHolesWords = std::to_array<RunWord>({{"main", "main-vessel"}, {"distal", ""}, {"septal", ""}, {"epicardial", ""}, {"graft", ""}, {"aorta", ""}});
constexpr auto kCausesWords = std::to_array<RunWord>({{"wire", ""}, {"catheter", "mc"}, {"balloon", ""}, {"stent", ""}, {"guide", ""}, {"debulk", ""}});
constexpr auto kSealedWords = std::to_array<RunWord>({{"sealed", "closed"}, {"leaking", ""}});
constexpr auto kTornWords = std::to_array<RunWord>({{"donor", ""}, {"target", ""}, {"leftmain", "left-main lm"}, {"aorta", ""}});
constexpr auto kClotsWords = std::to_array<RunWord>({{"donor", ""}, {"target", ""}, {"guide", "catheter"}});
constexpr auto kStuckWords = std::to_array<RunWord>({{"wire", ""}, {"catheter", "mc"}, {"balloon", ""}, {"stent", ""}, {"snare", ""}, {"ultrasound", "ivus"}});
constexpr auto kFreedWords = std::to_array<RunWord>({{"freed", "free"}, {"lost", "broken"}});
constexpr auto kWhoWords = std::to_array<RunWord>({{"surgeon", "surgery"}, {"anaesthesia", "anesthesia"}, {"echo", ""}, {"second", "second-operator"}, {"blood", "blood-bank"}, {"support", ""}, {"stroke-team", ""}});
constexpr auto kEndsWords = std::to_array<RunWord>({{"begin", "start"}, {"over", "stop"}});
constexpr auto kGatesWords = std::to_array<RunWord>({{"before", ""}, {"time-out", "timeout"}, {"last-wire", "lastwire exit"}, {"close", ""}, {"externalise", "externalize"}, {"drill", ""}});
constexpr auto kTicksWords = std::to_array<RunWord>({{"done", "yes ok"}, {"not", "no"}, {"na", "n/a"}});
constexpr auto kKindsWords = std::to_array<RunWord>({{"visit", "call"}, {"skin", ""}, {"creatinine", ""}});
constexpr auto kDueWords = std::to_array<RunWord>({{"due", ""}, {"done", ""}});
constexpr auto kOutcomesWords = std::to_array<RunWord>({{"well", ""}, {"angina", ""}, {"mi", "infarction"}, {"repeat", "repeat-pci"}, {"stroke", ""}, {"bleeding", ""}, {"skin-injury", ""}, {"death", "died"}});
constexpr auto kTroubleTakes = std::to_array<VerbField>({
    OneOf(kKind, kTroublesWords, kAsked),
    OneOf(kState, kOverWords)});
constexpr auto kPerforationTakes = std::to_array<VerbField>({
    OneOf(kClass, kGradesWords, kAsked),
    OneOf(kSite, kHolesWords, kAsked),
    OneOf(kCause, kCausesWords),
    OneOf(kState, kSealedWords)});
constexpr auto kTamponadeTakes = std::to_array<VerbField>({
    OneOf(kState, kOverWords)});
constexpr auto kDissectionTakes = std::to_array<VerbField>({
    OneOf(kSite, kTornWords, kAsked)});
constexpr auto kThrombusTakes = std::to_array<VerbField>({
    OneOf(kSite, kClotsWords, kAsked)});
constexpr auto kStuckFTakes = std::to_array<VerbField>({
    OneOf(kKind, kStuckWords, kAsked),
    OneOf(kState, kFreedWords)});
constexpr auto kDrainTakes = std::to_array<VerbField>({
    Bare(NumberIn(kVolume, 1, 5000))});
constexpr auto kCallTakes = std::to_array<VerbField>({
    OneOf(kWho, kWhoWords, kMust)});
constexpr auto kCprTakes = std::to_array<VerbField>({
    OneOf(kState, kEndsWords)});
constexpr auto kTickTakes = std::to_array<VerbField>({
    OneOf(kGate, kGatesWords, kMust),
    OneOf(kState, kTicksWords),
    NameOf(kItem, kMust)});
constexpr auto kAcceptTakes = std::to_array<VerbField>({
    TagOf(kRule, "s-", kMust)});
constexpr auto kFollowUpTakes = std::to_array<VerbField>({
    OneOf(kKind, kKindsWords),
    OneOf(kState, kDueWords),
    Bare(NumberIn(kDays, 0, 4000, kMust)),
    OneOf(kOutcome, kOutcomesWords)});

constexpr auto kVerbs = std::to_array<VerbRow>({
    {Verb::kTrouble, "trouble", "alarm", kGroup, kNoSide, kTroubleTakes, "trouble begins: stamps the time, then asks which", "trouble hypotension", false},
    {Verb::kPerforation, "perforation", "perf", kGroup, kNoSide, kPerforationTakes, "a hole: class, site, cause", "perforation II distal wire", false},
    {Verb::kTamponade, "tamponade", "", kGroup, kNoSide, kTamponadeTakes, "tamponade", "tamponade", false},
    {Verb::kDissection, "dissection", "", kGroup, kNoSide, kDissectionTakes, "a dissection that was not wanted", "dissection donor", false},
    {Verb::kThrombus, "thrombus", "clot", kGroup, kNoSide, kThrombusTakes, "a clot", "thrombus donor", false},
    {Verb::kStuck, "stuck", "", kGroup, kNoSide, kStuckFTakes, "something will not come out", "stuck balloon", false},
    {Verb::kDrain, "drain", "", kGroup, kNoSide, kDrainTakes, "the pericardium is drained", "drain 250mL", false},
    {Verb::kCall, "call", "", kGroup, kNoSide, kCallTakes, "somebody was called", "call surgeon", false},
    {Verb::kCpr, "cpr", "", kGroup, kNoSide, kCprTakes, "resuscitation begins or is over", "cpr begin", false},
    {Verb::kTick, "tick", "check", kGroup, kNoSide, kTickTakes, "an item of a gate or drill: done, not, or does not apply", "tick before consent done", false},
    {Verb::kAccept, "accept", "ack", kGroup, kNoSide, kAcceptTakes, "a caution is seen and accepted; say why after ;", "accept S-12 ; gear stays, hole sealed first", false},
    {Verb::kFollowUp, "followup", "follow-up", kGroup, kNoSide, kFollowUpTakes, "after the session: what is due or was found, in days after it", "followup skin due 28d", false}});

}  // namespace

std::span<const VerbRow> TroubleVerbs() { return kVerbs; }

}  // namespace fairlead
