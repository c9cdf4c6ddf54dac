// SPDX-License-Identifier: Apache-2.0
// What published definitions call a result: each label from the raw values, with its definition and source beside it.
// Definitions differ and their rates do not compare; all of them are given and none is preferred. What nobody recorded
// is unknown, never "no".
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "measure/source.h"

namespace fairlead {

// One creatinine after contrast.
struct LaterCreatinine {
  double hours = 0.0;  // after the first contrast
  double mg_dl = 0.0;
};

// Raw values as recorded. Absent: nobody said.
struct ResultFindings {
  std::optional<double> residual_pct;  // diameter stenosis left in the treated segment
  std::optional<int> flow;             // TIMI, antegrade, 0 to 3
  std::optional<bool> branch_lost;     // an important side branch
  // Until discharge.
  std::optional<bool> death, infarction, stroke, urgent_repeat, tamponade_treated;
  // Infarction: peaks after the procedure, in multiples of the assay's own limit.
  std::optional<double> troponin_times_url, ck_mb_times_uln;
  std::optional<bool> angiographic_complication;  // branch or vessel shut or torn, lost collateral flow, embolus
  std::optional<bool> ischaemic_ecg, new_q_or_bundle_block, new_wall_motion_loss;
  // Bleeding.
  std::optional<bool> overt_bleeding;
  std::optional<double> haemoglobin_before_g_dl, haemoglobin_least_g_dl;
  std::optional<double> units_transfused;
  std::optional<bool> surgery_for_bleeding, vasoactive_drugs;
  std::optional<bool> tamponade;
  // Kidney.
  std::optional<double> creatinine_before_mg_dl;
  std::vector<LaterCreatinine> creatinine_after;
  std::optional<bool> new_dialysis;
};

enum class LabelAnswer { kNo, kYes, kUnknown };
std::string_view LabelAnswerWord(LabelAnswer answer);  // "no", "yes", "not known"

struct ResultLabel {
  std::string_view id;          // "technical-registry"
  std::string_view name;        // "technical success, registry form"
  std::string_view definition;  // one sentence
  SourceId source;
  LabelAnswer answer = LabelAnswer::kUnknown;
  std::string grade;            // "3a", "stage 2"; empty where yes or no is all
  std::string because;          // "residual 30 % is not below 30 %"; or what is missing
};

// Technical success in two forms, major events in hospital, procedural success in both forms.
std::vector<ResultLabel> SuccessLabels(const ResultFindings& found);
// Bleeding type of the academic research consortium.
ResultLabel BleedingLabel(const ResultFindings& found);
// Procedural injury and infarction by three schemes. The baseline is taken as normal, and the label says so.
std::vector<ResultLabel> InfarctionLabels(const ResultFindings& found);
// Kidney injury by the present definition and by the older one of the 2004 score.
std::vector<ResultLabel> KidneyLabels(const ResultFindings& found);

// All of them, in that order.
std::vector<ResultLabel> LabelsOf(const ResultFindings& found);

}  // namespace fairlead
