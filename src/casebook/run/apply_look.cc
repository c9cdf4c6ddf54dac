// SPDX-License-Identifier: Apache-2.0
#include "casebook/run/run_apply.h"

namespace fairlead {

void ApplyLook(RunState& run, const Told& told) {
  const RunEvent& event = told.event;
  const auto number = [&](RunField field) { return NumberOf(event, field).value_or(0.0); };
  const auto word = [&](RunField field) { return std::string(WordOf(event, field)); };
  if (event.verb == Verb::kBp) {
    run.pressures.push_back(told.As(BloodPressure{number(RunField::kSystolic), NumberOf(event, RunField::kDiastolic)}));
    return;
  }
  if (event.verb == Verb::kHr) {
    run.heart_rates.push_back(told.As(number(RunField::kHeartRate)));
    return;
  }
  if (event.verb == Verb::kSpo2) {
    run.saturations.push_back(told.As(number(RunField::kSaturation)));
    return;
  }
  if (event.verb == Verb::kRhythm) {
    run.rhythm = told.As(word(RunField::kKind));
    return;
  }
  if (event.verb == Verb::kSt) {
    run.st = told.As(word(RunField::kState));
    return;
  }
  if (event.verb == Verb::kPain) {
    run.pain = told.As(number(RunField::kPain));
    return;
  }
  if (event.verb == Verb::kDonor) {
    run.donor = told.As(word(RunField::kFinding));
    return;
  }
  if (event.verb == Verb::kDamped) {
    if (WordOf(event, RunField::kState) != "cleared") run.damped[event.side] = told.As(true);
    else if (event.side == RunSide::kNone) run.damped.clear();  // no guide is damped any longer
    else run.damped.erase(event.side), run.damped.erase(RunSide::kNone);
    return;
  }
  if (event.verb == Verb::kEcho) {
    run.echoes.push_back(told.As(Echo{word(RunField::kFinding), NumberOf(event, RunField::kEffusion), !WordOf(event, RunField::kKind).empty()}));
    return;
  }
  if (event.verb == Verb::kFlow) {
    run.flows[word(RunField::kBranch)] = told.As(number(RunField::kFlow));
    return;
  }
  if (event.verb == Verb::kResidual) {
    run.residual = told.As(number(RunField::kResidual));
    return;
  }
  if (event.verb == Verb::kBranch) {
    run.branches[word(RunField::kBranch)] = told.As(word(RunField::kState));
    return;
  }
}

}  // namespace fairlead
