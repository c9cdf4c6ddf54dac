// SPDX-License-Identifier: Apache-2.0
#include "casebook/run/run_apply.h"

namespace fairlead {

void ApplyLook(RunState& run, const Told& told) {
  const RunEvent& event = told.event;
  const auto number = [&](Field field) { return NumberOf(event, field).value_or(0.0); };
  const auto word = [&](Field field) { return std::string(WordOf(event, field)); };
  if (event.verb == Verb::kBp) {
    run.pressures.push_back(told.As(BloodPressure{number(Field::kSystolic), NumberOf(event, Field::kDiastolic)}));
    return;
  }
  if (event.verb == Verb::kHr) {
    run.heart_rates.push_back(told.As(number(Field::kHeartRate)));
    return;
  }
  if (event.verb == Verb::kRhythm) {
    run.rhythm = told.As(word(Field::kKind));
    return;
  }
  if (event.verb == Verb::kSt) {
    run.st = told.As(word(Field::kState));
    return;
  }
  if (event.verb == Verb::kPain) {
    run.pain = told.As(number(Field::kPain));
    return;
  }
  if (event.verb == Verb::kDonor) {
    run.donor = told.As(word(Field::kFinding));
    return;
  }
  if (event.verb == Verb::kDamped) {
    run.damped[event.side] = told.As(WordOf(event, Field::kState) != "cleared");
    return;
  }
  if (event.verb == Verb::kEcho) {
    run.echoes.push_back(told.As(Echo{word(Field::kFinding), NumberOf(event, Field::kEffusion), !WordOf(event, Field::kKind).empty()}));
    return;
  }
  if (event.verb == Verb::kFlow) {
    run.flows[word(Field::kBranch)] = told.As(number(Field::kFlow));
    return;
  }
  if (event.verb == Verb::kResidual) {
    run.residual = told.As(number(Field::kResidual));
    return;
  }
  if (event.verb == Verb::kBranch) {
    run.branches[word(Field::kBranch)] = told.As(word(Field::kState));
    return;
  }
}

}  // namespace fairlead
