// SPDX-License-Identifier: Apache-2.0
#include "casebook/run/run_apply.h"

#include <algorithm>
#include <utility>

namespace fairlead {
namespace {

bool OpensSession(const RunEvent& event) {
  if (event.verb == Verb::kTimeout || event.verb == Verb::kAccess || event.verb == Verb::kStart) return true;
  if (event.verb == Verb::kGuide) return WordOf(event, RunField::kMove) != "out";
  return false;
}

// What is said between visits, and opens none.
bool StandsAlone(Verb verb) {
  return verb == Verb::kPrior || verb == Verb::kLab || verb == Verb::kFollowUp || verb == Verb::kTick || verb == Verb::kResult;
}

void OpenSession(RunState& run, const Told& told) {
  RunState next;
  next.sessions = std::move(run.sessions);
  next.earlier = std::move(run.earlier);
  next.follow_ups = std::move(run.follow_ups);
  next.labs = std::move(run.labs);
  next.channels = std::move(run.channels);
  if (next.sessions.empty()) {
    next.ticks = std::move(run.ticks);  // the list of *before* is looked at before the first entry of the visit
  } else {
    const double contrast = run.contrast.empty() ? 0.0 : run.contrast.back().value;
    const double kerma = run.air_kerma.sums.empty() ? 0.0 : run.air_kerma.sums.back().value;
    if (contrast > 0.0 || kerma > 0.0) next.earlier.push_back({next.sessions.back().start, contrast, kerma, next.sessions.back().entry});
  }
  next.sessions.push_back({told.at, std::nullopt, std::nullopt, std::nullopt, std::nullopt, told.entry});
  run = std::move(next);
}

void Dispatch(RunState& run, const Told& told) {
  switch (told.event.verb) {
    case Verb::kStart: case Verb::kSwitch: case Verb::kStopped: case Verb::kPhase: case Verb::kCrossed: case Verb::kDistal:
    case Verb::kCollateral: return ApplyAttempt(run, told);
    case Verb::kSheath: case Verb::kGuide: case Verb::kExtension: case Verb::kWire: case Verb::kMc: case Verb::kAnchor: case Verb::kTrap:
    case Verb::kSnare: case Verb::kTipIn: case Verb::kExternalise: case Verb::kAorta: case Verb::kIvus: case Verb::kSpace:
      return ApplyDevice(run, told);
    case Verb::kBalloon: case Verb::kCut: case Verb::kDebulk: case Verb::kStent: case Verb::kCover: case Verb::kCoil: case Verb::kKnuckle:
    case Verb::kReenter: case Verb::kJoin: case Verb::kEem: case Verb::kView: case Verb::kInject: return ApplyTreatment(run, told);
    case Verb::kContrast: case Verb::kAk: case Verb::kDap: case Verb::kFluoro: return ApplyTotal(run, told);
    case Verb::kAct: case Verb::kHep: case Verb::kProtamine: case Verb::kDrug: case Verb::kFluid: case Verb::kLab: return ApplyBlood(run, told);
    case Verb::kBp: case Verb::kHr: case Verb::kSpo2: case Verb::kRhythm: case Verb::kSt: case Verb::kPain: case Verb::kDonor: case Verb::kDamped: case Verb::kEcho:
    case Verb::kFlow: case Verb::kResidual: case Verb::kBranch: return ApplyLook(run, told);
    case Verb::kTrouble: case Verb::kPerforation: case Verb::kTamponade: case Verb::kDissection: case Verb::kThrombus: case Verb::kStuck:
    case Verb::kDrain: case Verb::kCall: case Verb::kCpr: return ApplyTrouble(run, told);
    case Verb::kTimeout: case Verb::kAccess: case Verb::kClosure: case Verb::kEnd: case Verb::kResult: case Verb::kBreak: case Verb::kPrior:
    case Verb::kDecide: case Verb::kTick: case Verb::kAccept: case Verb::kFollowUp: return ApplySession(run, told);
  }
}

}  // namespace

void Apply(RunState& run, const Entry& entry) {
  const auto* event = std::get_if<RunEvent>(&entry.data);
  if (event == nullptr) return;
  const Told told{*event, entry.at, entry.id};
  const bool none = run.sessions.empty() && !StandsAlone(event->verb);
  if (none || (Over(run) && OpensSession(*event))) OpenSession(run, told);
  Dispatch(run, told);
  run.last_entry = entry.id;
  run.last_at = entry.at;
}

}  // namespace fairlead
