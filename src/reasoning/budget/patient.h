// SPDX-License-Identifier: Apache-2.0
// What the run needs to know of the patient, from facts and blood results. Unknown stays unknown.
#pragma once

#include <optional>
#include <string>

#include "casebook/fact.h"
#include "casebook/fold.h"
#include "casebook/run/run_state.h"
#include "reasoning/budget/kidney.h"

namespace fairlead {

struct RunPatient {
  std::optional<double> weight_kg, height_cm, age_years, creatinine_mg_dl;
  std::optional<Instant> creatinine_at;
  std::optional<Sex> sex;
  std::optional<double> egfr, clearance;        // stated, or from creatinine, age and sex
  std::optional<WeightRule> by_weight;
  std::optional<bool> dialysis, diabetes, heart_failure, prior_cabg, heparin_allergy, contrast_allergy, protamine_risk;
  std::optional<bool> interventional_collateral, sole_supply;  // the second of the channel in use, where one is named
  std::optional<double> j_cto;                  // expected total, where nothing is missing
};

// `facts` with derived ones added; `state` dates the creatinine. A creatinine of the run's own blood results before any
// contrast counts where it is newer.
RunPatient PatientOf(const State& state, const Facts& facts, const RunState& run);

// Dialysis, or kidney function below 15: ratios say nothing.
bool NoRatio(const RunPatient& patient);
// The lower of eGFR and clearance: in a small body they part by half, and the smaller is the warier one.
std::optional<double> KidneyFunction(const RunPatient& patient);

}  // namespace fairlead
