// SPDX-License-Identifier: Apache-2.0
#include "casebook/run/run_apply.h"

namespace fairlead {
namespace {

constexpr double kSameReading = 0.010;  // consoles round: less than this back is no reset (10 mGy); chosen

void Count(Console& console, const Told& told, double said) {
  if (WordOf(told.event, RunField::kExam) == "new") console.before += console.last;
  else if (said < console.last - kSameReading) console.fell = true;
  console.last = said;
  console.sums.push_back(told.As(console.before + said));
}

void Contrast(RunState& run, const Told& told) {
  const double before = run.contrast.empty() ? 0.0 : run.contrast.back().value;
  if (const auto iodine = NumberOf(told.event, RunField::kIodine)) run.iodine_mg_ml = iodine;
  double now = before;
  if (const auto total = NumberOf(told.event, RunField::kTotal)) now = *total;
  else if (const auto add = NumberOf(told.event, RunField::kAdd)) now = before + *add;
  else return;
  if (now < before) run.contrast_fell = run.contrast.back();
  run.contrast.push_back(told.As(now));
}

}  // namespace

void ApplyTotal(RunState& run, const Told& told) {
  const RunEvent& event = told.event;
  if (event.verb == Verb::kContrast) return Contrast(run, told);
  if (event.verb == Verb::kAk) return Count(run.air_kerma, told, NumberOf(event, RunField::kKerma).value_or(0.0));
  if (event.verb == Verb::kDap) return Count(run.kerma_area, told, NumberOf(event, RunField::kArea).value_or(0.0));
  if (event.verb == Verb::kFluoro) return Count(run.fluoro, told, NumberOf(event, RunField::kFluoro).value_or(0.0));
}

}  // namespace fairlead
