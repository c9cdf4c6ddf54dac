// SPDX-License-Identifier: Apache-2.0
#include "casebook/run/run_apply.h"

namespace fairlead {
namespace {

constexpr double kOffScale_s = 999.0;  // what an analyser shows beyond its range

void Act(RunState& run, const Told& told) {
  const std::string_view state = WordOf(told.event, RunField::kState);
  if (state == "sent") {
    run.act_sent = told.As(0.0);
    return;
  }
  const auto seconds = NumberOf(told.event, RunField::kAct);
  const bool high = state == "high";
  if (!seconds && !high) return;
  run.acts.push_back(told.As(ActReading{seconds.value_or(kOffScale_s), high, std::string(WordOf(told.event, RunField::kAnalyser))}));
}

void Heparin(RunState& run, const Told& told) {
  const std::string_view route = WordOf(told.event, RunField::kRoute);
  if (const auto hourly = NumberOf(told.event, RunField::kUnitsPerHour)) run.heparin.push_back(told.As(HeparinDose{*hourly, "drip"}));
  if (const auto units = NumberOf(told.event, RunField::kUnits))
    run.heparin.push_back(told.As(HeparinDose{*units, route.empty() || route == "drip" ? "bolus" : std::string(route)}));
}

}  // namespace

void ApplyBlood(RunState& run, const Told& told) {
  if (told.event.verb == Verb::kAct) return Act(run, told);
  if (told.event.verb == Verb::kHep) return Heparin(run, told);
  if (told.event.verb == Verb::kProtamine) {
    run.protamine.push_back(told.As(NumberOf(told.event, RunField::kDose).value_or(0.0)));
    return;
  }
  if (told.event.verb == Verb::kDrug) {
    run.drugs.push_back(told.As(told.event));
    return;
  }
  if (told.event.verb == Verb::kFluid) {
    run.fluids.push_back(told.As(told.event));
    return;
  }
  if (told.event.verb == Verb::kLab) {
    run.labs.push_back(told.As(told.event));
    return;
  }
}

}  // namespace fairlead
