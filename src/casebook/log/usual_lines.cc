// SPDX-License-Identifier: Apache-2.0
#include "casebook/log/usual_lines.h"

#include <array>

namespace fairlead {
namespace {

using enum Verb;

constexpr auto kLines = std::to_array<UsualLine>({
    {kTimeout, "timeout"},
    {kAccess, "access femoral right 7F"}, {kAccess, "access femoral right 8F 45cm"}, {kAccess, "access radial right 6F"}, {kAccess, "access radial left 6F"}, {kAccess, "access femoral left 7F"},
    {kSheath, "sheath out femoral right"}, {kSheath, "sheath out radial left"}, {kSheath, "sheath out radial right"},
    {kClosure, "closure device femoral right dry"}, {kClosure, "closure band radial left dry"}, {kClosure, "closure band radial right dry"},
    {kEnd, "end"},
    {kResult, "result success"}, {kResult, "result partial"}, {kResult, "result prepared"}, {kResult, "result failed"},
    {kBreak, "break begin"}, {kBreak, "break over"},
    {kStart, "start AW"}, {kStart, "start ADR"}, {kStart, "start RW"}, {kStart, "start RDR"},
    {kSwitch, "switch ADR outside-plaque"}, {kSwitch, "switch ADR cap-hard"}, {kSwitch, "switch RW cap-unclear"}, {kSwitch, "switch RW outside-plaque"}, {kSwitch, "switch RDR not-joined"}, {kSwitch, "switch AW channel-wire"},
    {kStopped, "stopped limit"}, {kStopped, "stopped planned"}, {kStopped, "stopped complication"}, {kStopped, "stopped patient"},
    {kPhase, "phase cap"}, {kPhase, "phase body"}, {kPhase, "phase lumen"}, {kPhase, "phase tracking"}, {kPhase, "phase reentry"}, {kPhase, "phase channel"}, {kPhase, "phase catheter"}, {kPhase, "phase farcap"}, {kPhase, "phase joining"}, {kPhase, "phase home"},
    {kCrossed, "crossed lesion"}, {kCrossed, "crossed cap"}, {kCrossed, "crossed collateral"}, {kCrossed, "crossed collateral catheter"},
    {kDistal, "distal proven ultrasound"}, {kDistal, "distal proven views"}, {kDistal, "distal proven branch"},
    {kDecide, "decide go-on"}, {kDecide, "decide prepare"}, {kDecide, "decide stop"}, {kDecide, "decide finish"}, {kDecide, "decide closed AW"}, {kDecide, "decide closed ADR"}, {kDecide, "decide closed RW"}, {kDecide, "decide open ADR"}, {kDecide, "decide open RW"},
    {kGuide, "guide a in 7F 90cm"}, {kGuide, "guide a in 8F 90cm"}, {kGuide, "guide a in 7F 100cm"}, {kGuide, "guide r in 7F 90cm"}, {kGuide, "guide r in 6F 90cm"}, {kGuide, "guide a out"}, {kGuide, "guide r out"},
    {kExtension, "extension a in 7F"}, {kExtension, "extension a in 6F"}, {kExtension, "extension a out"},
    {kWire, "wire a in soft 0.8g 190cm"}, {kWire, "wire a in polymer 0.8g 190cm"}, {kWire, "wire a in intermediate 3g 190cm"}, {kWire, "wire a in penetrating 12g 190cm"}, {kWire, "wire r in soft 0.4g 190cm"},
    {kWire, "wire r in polymer 0.8g 190cm"}, {kWire, "wire r in intermediate 3g 190cm"}, {kWire, "wire r in 330cm"}, {kWire, "wire a out"}, {kWire, "wire r out"},
    {kMc, "mc a in 135cm"}, {kMc, "mc r in 150cm"}, {kMc, "mc a in dual 140cm"}, {kMc, "mc a out"}, {kMc, "mc r out"},
    {kAnchor, "anchor a branch 2mm"}, {kAnchor, "anchor out"},
    {kTrap, "trap a 2.5mm"}, {kTrap, "trap a 3mm"}, {kTrap, "trap out"},
    {kSnare, "snare a three-loop 27mm aorta"}, {kSnare, "snare a three-loop 27mm aorta shaft"}, {kSnare, "snare out"},
    {kTipIn, "tip-in"},
    {kExternalise, "externalise 330cm snared"}, {kExternalise, "externalise 330cm"}, {kExternalise, "externalise 300cm"},
    {kAorta, "aorta views"},
    {kBalloon, "balloon a 2.0x20 12atm"}, {kBalloon, "balloon a 2.5x15 12atm 20s"}, {kBalloon, "balloon a 1.5x15 14atm"}, {kBalloon, "balloon a 3.0x15 14atm"}, {kBalloon, "balloon a 3.5x15 18atm 12s"},
    {kCut, "cut a 2.5x10 10atm"}, {kCut, "cut a 3.0x10 10atm"},
    {kDebulk, "debulk a rotational 1.25mm"}, {kDebulk, "debulk a rotational 1.5mm"}, {kDebulk, "debulk a lithotripsy 3mm"},
    {kStent, "stent 3.0x38 14atm"}, {kStent, "stent 2.5x38 14atm"}, {kStent, "stent 3.5x28 14atm"}, {kStent, "stent 3.0x28 14atm"}, {kStent, "stent 2.75x38 14atm"},
    {kCover, "cover 3.0x16 14atm"}, {kCover, "cover 3.5x19 14atm"},
    {kCoil, "coil coil distal 1"}, {kCoil, "coil fat distal"}, {kCoil, "coil coil collateral 1"},
    {kKnuckle, "knuckle a"}, {kKnuckle, "knuckle r"},
    {kReenter, "reenter a device ok"}, {kReenter, "reenter a device failed"}, {kReenter, "reenter a wire ok"}, {kReenter, "reenter a wire failed"},
    {kJoin, "join conventional 2.5mm"}, {kJoin, "join directed 2.5mm"}, {kJoin, "join extended 2.5mm"}, {kJoin, "join assisted 2.5mm"}, {kJoin, "join cart 2.5mm"},
    {kCollateral, "collateral c1 septal entered"}, {kCollateral, "collateral c1 wired"}, {kCollateral, "collateral c1 catheter"}, {kCollateral, "collateral c1 epicardial entered"}, {kCollateral, "collateral c1 injured"}, {kCollateral, "collateral c1 spared"},
    {kSpace, "space a intraplaque views"}, {kSpace, "space a extraplaque views"}, {kSpace, "space a true views"}, {kSpace, "space a true ultrasound"}, {kSpace, "space a branch views"}, {kSpace, "space r intraplaque ultrasound"}, {kSpace, "space r true views"}, {kSpace, "space a unknown none"},
    {kEem, "eem a 3.0x3.4"}, {kEem, "eem a 2.6x3.0"}, {kEem, "eem a 3.4x3.8"},
    {kIvus, "ivus a in"}, {kIvus, "ivus a pull"}, {kIvus, "ivus a out"}, {kIvus, "ivus r in"},
    {kView, "view LAO45"}, {kView, "view LAO45 CRA25"}, {kView, "view RAO30"}, {kView, "view RAO30 CAU25"}, {kView, "view RAO10 CRA40"},
    {kInject, "inject both"}, {kInject, "inject a guide"}, {kInject, "inject r guide"},
    {kContrast, "contrast +8"}, {kContrast, "contrast +10"}, {kContrast, "contrast +12"}, {kContrast, "contrast +15"}, {kContrast, "contrast +20"}, {kContrast, "contrast +5"},
    {kAct, "act sent"}, {kAct, "act 250"}, {kAct, "act 280"}, {kAct, "act 300"}, {kAct, "act 320"}, {kAct, "act 350"}, {kAct, "act 400"}, {kAct, "act high"},
    {kHep, "hep 2000"}, {kHep, "hep 3000"}, {kHep, "hep 5000"}, {kHep, "hep 8000"}, {kHep, "hep 10000"},
    {kProtamine, "protamine 10mg"}, {kProtamine, "protamine 25mg"}, {kProtamine, "protamine 50mg"},
    {kDrug, "drug nitrate 0.2mg"}, {kDrug, "drug adenosine 0.06mg"}, {kDrug, "drug atropine 0.5mg"}, {kDrug, "drug midazolam 1mg"}, {kDrug, "drug fentanyl 0.05mg"},
    {kFluid, "fluid 250mL"}, {kFluid, "fluid 500mL"},
    {kBp, "bp 120/70"}, {kBp, "bp 140/80"}, {kBp, "bp 100/60"}, {kBp, "bp 90/50"}, {kBp, "bp 80/50"},
    {kHr, "hr 60"}, {kHr, "hr 70"}, {kHr, "hr 80"}, {kHr, "hr 100"}, {kHr, "hr 45"},
    {kSpo2, "spo2 98%"}, {kSpo2, "spo2 96%"}, {kSpo2, "spo2 94%"}, {kSpo2, "spo2 90%"},
    {kRhythm, "rhythm sinus"}, {kRhythm, "rhythm af"}, {kRhythm, "rhythm brady"}, {kRhythm, "rhythm vt"}, {kRhythm, "rhythm vf"},
    {kSt, "st normal"}, {kSt, "st up"}, {kSt, "st down"},
    {kPain, "pain 0"}, {kPain, "pain 3"}, {kPain, "pain 6"}, {kPain, "pain 9"},
    {kDonor, "donor ok"}, {kDonor, "donor slow"}, {kDonor, "donor spasm"}, {kDonor, "donor dissection"}, {kDonor, "donor thrombus"},
    {kDamped, "damped a"}, {kDamped, "damped r"}, {kDamped, "damped a cleared"}, {kDamped, "damped r cleared"},
    {kEcho, "echo none"}, {kEcho, "echo trivial"}, {kEcho, "echo effusion 5mm"}, {kEcho, "echo effusion 10mm"}, {kEcho, "echo effusion 5mm loculated"},
    {kFlow, "flow 3"}, {kFlow, "flow 2"}, {kFlow, "flow 1"}, {kFlow, "flow 0"},
    {kResidual, "residual 0%"}, {kResidual, "residual 10%"}, {kResidual, "residual 20%"}, {kResidual, "residual 30%"},
    {kBranch, "branch preserved d1"}, {kBranch, "branch narrowed d1"}, {kBranch, "branch lost d1"},
    {kTrouble, "trouble hypotension"}, {kTrouble, "trouble perforation"}, {kTrouble, "trouble anaphylaxis"}, {kTrouble, "trouble bleed"}, {kTrouble, "trouble hypotension over"},
    {kPerforation, "perforation distal wire"}, {kPerforation, "perforation septal"}, {kPerforation, "perforation main"}, {kPerforation, "perforation epicardial"}, {kPerforation, "perforation sealed"},
    {kTamponade, "tamponade"}, {kTamponade, "tamponade over"},
    {kDissection, "dissection target"}, {kDissection, "dissection donor"}, {kDissection, "dissection leftmain"}, {kDissection, "dissection aorta"},
    {kThrombus, "thrombus donor"}, {kThrombus, "thrombus guide"}, {kThrombus, "thrombus target"},
    {kStuck, "stuck wire"}, {kStuck, "stuck catheter"}, {kStuck, "stuck balloon"}, {kStuck, "stuck freed"},
    {kDrain, "drain 50mL"}, {kDrain, "drain 100mL"}, {kDrain, "drain 250mL"},
    {kCall, "call surgeon"}, {kCall, "call anaesthesia"}, {kCall, "call echo"}, {kCall, "call second"}, {kCall, "call blood"},
    {kCpr, "cpr begin"}, {kCpr, "cpr over"},
});

}  // namespace

std::span<const UsualLine> UsualLines() { return kLines; }

}  // namespace fairlead
