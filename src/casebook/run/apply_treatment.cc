// SPDX-License-Identifier: Apache-2.0
#include "casebook/run/run_apply.h"

namespace fairlead {

void ApplyTreatment(RunState& run, const Told& told) {
  const RunEvent& event = told.event;
  if (event.verb == Verb::kBalloon || event.verb == Verb::kCut) {
    run.balloons.push_back(told.As(BalloonUse{event, event.verb == Verb::kCut}));
    return;
  }
  if (event.verb == Verb::kDebulk) {
    run.debulks.push_back(told.As(event));
    return;
  }
  if (event.verb == Verb::kStent) {
    run.stents.push_back(told.As(event));
    return;
  }
  if (event.verb == Verb::kCover) {
    run.covered_stents.push_back(told.As(event));
    return;
  }
  if (event.verb == Verb::kCoil) {
    run.plugs.push_back(told.As(event));
    return;
  }
  if (event.verb == Verb::kKnuckle) {
    run.knuckles.push_back(told.As(event));
    return;
  }
  if (event.verb == Verb::kReenter) {
    run.reentries.push_back(told.As(event));
    if (WordOf(event, RunField::kOutcome) == "ok") Progress(run, told, "");
    return;
  }
  if (event.verb == Verb::kJoin) {
    run.joins.push_back(told.As(event));
    return;
  }
  if (event.verb == Verb::kEem) {
    run.vessel_sizes.push_back(told.As(event));
    return;
  }
  if (event.verb == Verb::kView) {
    run.views.push_back(told.As(event));
    return;
  }
  if (event.verb == Verb::kInject) {
    run.injections.push_back(told.As(event));
    return;
  }
}

}  // namespace fairlead
