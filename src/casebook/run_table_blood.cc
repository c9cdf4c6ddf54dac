// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "casebook/run_row.h"

namespace fairlead {
namespace {
using enum RunField;
using enum FieldNeed;
using enum SideUse;

constexpr std::string_view kGroup = "blood and drugs";

constexpr auto kActsWords = std::to_array<RunWord>({{"sent", ""}, {"high", "off-scale"}});
constexpr auto kAnalysersWords = std::to_array<RunWord>({{"H", "hi high-reading"}, {"L", "lo low-reading"}});
constexpr auto kRoutesWords = std::to_array<RunWord>({{"bolus", ""}, {"drip", "infusion"}, {"flush", ""}, {"earlier", "before-arrival"}});
constexpr auto kDrugsWords = std::to_array<RunWord>({{"adenosine", ""}, {"adrenaline", ""}, {"amiodarone", ""}, {"aspirin", ""}, {"atropine", ""}, {"bivalirudin", ""}, {"cangrelor", ""}, {"clopidogrel", ""}, {"ephedrine", ""}, {"fentanyl", ""}, {"gp-blocker", "gpi iib-iiia"}, {"hydrocortisone", ""}, {"antihistamine", ""}, {"metoprolol", ""}, {"midazolam", ""}, {"morphine", ""}, {"nitrate", "gtn ntg"}, {"noradrenaline", ""}, {"phenylephrine", ""}, {"prasugrel", ""}, {"propofol", ""}, {"ticagrelor", ""}, {"verapamil", ""}, {"dobutamine", ""}, {"other", ""}});
constexpr auto kActTakes = std::to_array<VerbField>({
    Bare(NumberIn(kAct, 60, 1000)),
    OneOf(kState, kActsWords),
    OneOf(kAnalyser, kAnalysersWords)});
constexpr auto kHepTakes = std::to_array<VerbField>({
    Bare(NumberIn(kUnits, 50, 25000)),
    NumberIn(kUnitsPerHour, 0, 10000),
    OneOf(kRoute, kRoutesWords)});
constexpr auto kProtamineTakes = std::to_array<VerbField>({
    Bare(NumberIn(kDose, 1, 200, kMust))});
constexpr auto kDrugTakes = std::to_array<VerbField>({
    OneOf(kDrug, kDrugsWords, kMust),
    NumberIn(kDose, 0.001, 5000),
    NumberIn(kVolume, 0.1, 1000)});
constexpr auto kFluidTakes = std::to_array<VerbField>({
    Bare(NumberIn(kVolume, 10, 6000, kMust))});
constexpr auto kLabTakes = std::to_array<VerbField>({
    NumberIn(kCreatinine, 0.1, 25),
    NumberIn(kHaemoglobin, 2, 25),
    NumberIn(kTroponin, 0, 100000),
    NumberIn(kCkMb, 0, 10000)});

constexpr auto kVerbs = std::to_array<VerbRow>({
    {Verb::kAct, "act", "", kGroup, kNoSide, kActTakes, "activated clotting time; sent starts the wait, @ is the time of the sample", "act 285 @10:40", true},
    {Verb::kHep, "hep", "heparin", kGroup, kNoSide, kHepTakes, "heparin in IU: bolus, drip or flush", "hep 3000", true},
    {Verb::kProtamine, "protamine", "", kGroup, kNoSide, kProtamineTakes, "protamine in mg", "protamine 30mg", false},
    {Verb::kDrug, "drug", "med", kGroup, kNoSide, kDrugTakes, "any other drug", "drug nitrate 0.2mg", false},
    {Verb::kFluid, "fluid", "fluids", kGroup, kNoSide, kFluidTakes, "fluid given, in mL", "fluid 250mL", false},
    {Verb::kLab, "lab", "labs", kGroup, kNoSide, kLabTakes, "a blood result", "lab 1.2mg/dL", true}});

}  // namespace

std::span<const VerbRow> BloodVerbs() { return kVerbs; }

}  // namespace fairlead
