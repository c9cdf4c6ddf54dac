// SPDX-License-Identifier: Apache-2.0
// What happens in the lab, as entries of kind "run": a verb, perhaps a side, and the values that the verb takes. One
// table (run_table.h) says which; the journal's JSON, the log bar, its help and the page are all made from it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fairlead {

// From which end of the occlusion. `a` and `r` in the log bar.
enum class RunSide : std::uint8_t { kNone, kAntegrade, kRetrograde };
std::string_view SideName(RunSide side);  // "", "antegrade", "retrograde"

// In the order of the table; run_table_test proves it.
enum class Verb : std::uint8_t {
  kTimeout, kAccess, kSheath, kClosure, kEnd, kResult, kBreak, kPrior,                                    // session
  kStart, kSwitch, kStopped, kPhase, kCrossed, kDistal, kDecide,                                          // attempts
  kGuide, kExtension, kWire, kMc, kAnchor, kTrap, kSnare, kTipIn, kExternalise, kAorta,                   // kit
  kBalloon, kCut, kDebulk, kStent, kCover, kCoil,                                                         // treating
  kKnuckle, kReenter, kJoin, kCollateral, kSpace, kEem, kIvus, kView, kInject,                            // finding out
  kContrast, kAk, kDap, kFluoro,                                                                          // totals
  kAct, kHep, kProtamine, kDrug, kFluid, kLab,                                                            // blood
  kBp, kHr, kSpo2, kRhythm, kSt, kPain, kDonor, kDamped, kEcho, kFlow, kResidual, kBranch,                // looking
  kTrouble, kPerforation, kTamponade, kDissection, kThrombus, kStuck, kDrain, kCall, kCpr,                // trouble
  kTick, kAccept, kFollowUp,
};

// Every member that the data of a run entry may have beside verb, side and remark. The unit ends the member's name.
enum class RunField : std::uint8_t {
  kAct, kAdd, kTotal, kIodine, kUnits, kUnitsPerHour, kDose, kVolume, kKerma, kArea, kFluoro, kDiameter, kLength,
  kWireLength, kFrench, kTipLoad, kPressure, kFor, kDepth, kEemMin, kEemMax, kSystolic, kDiastolic, kHeartRate, kSaturation,
  kPain,
  kFlow, kResidual, kEffusion, kPrimary, kSecondary, kPlan, kDays, kCount, kArc, kCreatinine, kHaemoglobin, kTroponin,
  kCkMb,
  kStrategy, kReason, kPhase, kObject, kBy, kSpace, kProof, kWhere, kSite, kClass, kMove, kState, kKind, kWho, kDrug,
  kFinding, kCause, kOutcome, kAnalyser, kRoute, kBodySide, kExam, kDecision, kPart, kGate,
  kTag, kChannel, kRule, kItem, kKit, kUdi, kSegment, kBranch,
};

struct RunValue {
  RunField field;
  double number = 0.0;  // of a number, in the unit that ends the member's name
  std::string text;     // of anything else
  friend bool operator==(const RunValue&, const RunValue&) = default;
};

struct RunEvent {
  Verb verb{};
  RunSide side = RunSide::kNone;
  std::vector<RunValue> values;  // in the order of the verb's fields; none twice
  std::string remark;            // in the writer's words
  friend bool operator==(const RunEvent&, const RunEvent&) = default;
};

// Null or empty where the event does not say.
const RunValue* ValueOf(const RunEvent& event, RunField field);
std::optional<double> NumberOf(const RunEvent& event, RunField field);
std::string_view WordOf(const RunEvent& event, RunField field);

// Puts a value where the table wants it; one of the same field is replaced.
void Put(RunEvent& event, RunValue value);

}  // namespace fairlead
