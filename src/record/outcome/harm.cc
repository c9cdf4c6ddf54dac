// SPDX-License-Identifier: Apache-2.0
// Bleeding, infarction and kidney injury as published schemes grade them.
#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "record/outcome/answer.h"

namespace fairlead {
namespace {

// Blood results are given to a hundredth: 2.3 - 2.0 is 0.30, not 0.29999999999999982.
double Hundredths(double value) { return std::round(value * 100.0) / 100.0; }

constexpr std::string_view kBarc =
    "3a: overt with a fall of haemoglobin of 3 to below 5 g/dL, or transfusion; 3b: a fall of 5 or more, tamponade, surgery or "
    "vasoactive drugs for it; 1 or 2 by the action taken";

std::string FallText(const ResultFindings& found, std::optional<double> fall) {
  if (!fall) return "haemoglobin before and after not both recorded";
  std::string text = fmt::format("haemoglobin {:g} to {:g} g/dL", *found.haemoglobin_before_g_dl, *found.haemoglobin_least_g_dl);
  if (found.units_transfused && *found.units_transfused > 0.0) text += fmt::format(", {:g} units given: a fall of {:g}", *found.units_transfused, *fall);
  if (!found.units_transfused) text += ", transfusion not recorded";
  return text;
}

std::optional<double> FallOf(const ResultFindings& found) {
  if (!found.haemoglobin_before_g_dl || !found.haemoglobin_least_g_dl) return std::nullopt;
  // one gram for each unit given back (from memory)
  return Hundredths(*found.haemoglobin_before_g_dl - *found.haemoglobin_least_g_dl + found.units_transfused.value_or(0.0));
}

struct Evidence {
  LabelAnswer any;       // of the universal definition
  LabelAnswer arc;       // new Q, flow-limiting complication, new wall motion loss
  LabelAnswer q_waves;
};

Evidence EvidenceOf(const ResultFindings& found) {
  const LabelAnswer q = Held(found.new_q_or_bundle_block), torn = Held(found.angiographic_complication), wall = Held(found.new_wall_motion_loss);
  return {AnyOf({Held(found.ischaemic_ecg), q, wall, torn}), AnyOf({q, torn, wall}), q};
}

std::string TroponinText(const ResultFindings& found) {
  return found.troponin_times_url ? fmt::format("peak troponin {:g} times the limit; baseline taken as normal", *found.troponin_times_url) : "troponin after the procedure not recorded";
}

LabelAnswer ByMarker(const ResultFindings& found, LabelAnswer q_waves) {
  if (found.ck_mb_times_uln) {
    if (*found.ck_mb_times_uln >= 10.0) return LabelAnswer::kYes;
    return *found.ck_mb_times_uln >= 5.0 ? q_waves : LabelAnswer::kNo;
  }
  if (!found.troponin_times_url) return LabelAnswer::kUnknown;
  if (*found.troponin_times_url >= 70.0) return LabelAnswer::kYes;
  return *found.troponin_times_url >= 35.0 ? q_waves : LabelAnswer::kNo;
}

struct Rises {
  std::optional<double> in_48h, in_7d;  // highest, mg/dL
};

Rises RisesOf(const ResultFindings& found) {
  Rises rises;
  for (const LaterCreatinine& later : found.creatinine_after) {
    if (later.hours < 0.0 || later.hours > 168.0) continue;
    rises.in_7d = std::max(rises.in_7d.value_or(0.0), later.mg_dl);
    if (later.hours <= 48.0) rises.in_48h = std::max(rises.in_48h.value_or(0.0), later.mg_dl);
  }
  return rises;
}

int StageOf(double before, const Rises& rises, bool dialysis) {
  const double highest = *rises.in_7d, times = Hundredths(highest / before);
  const bool first = times >= 1.5 || (rises.in_48h && Hundredths(*rises.in_48h - before) >= 0.3);
  if (dialysis || times >= 3.0 || (first && highest >= 4.0)) return 3;
  if (times >= 2.0) return 2;
  return first ? 1 : 0;
}

}  // namespace

ResultLabel BleedingLabel(const ResultFindings& found) {
  ResultLabel label{"bleeding-barc", "Bleeding, research consortium type", kBarc, "barc-2011"_source, LabelAnswer::kUnknown, "", ""};
  const auto fall = FallOf(found);
  const bool third = found.tamponade.value_or(false) || found.surgery_for_bleeding.value_or(false) || (found.overt_bleeding.value_or(false) && found.vasoactive_drugs.value_or(false));
  label.because = found.tamponade.value_or(false) ? "tamponade" : FallText(found, fall);
  if (third) return label.answer = LabelAnswer::kYes, label.grade = "3b", label;
  if (!found.overt_bleeding) return label.because = "whether blood was seen to be lost is not recorded", label;
  if (!*found.overt_bleeding) return label.answer = LabelAnswer::kNo, label.because = "no overt bleeding recorded", label;
  label.answer = LabelAnswer::kYes;
  const bool transfused = found.units_transfused.value_or(0.0) > 0.0;
  if (fall && *fall >= 5.0) label.grade = "3b";
  else if ((fall && *fall >= 3.0) || transfused) label.grade = "3a";
  else label.grade = fall ? "1 or 2" : "1 to 3b";
  return label;
}

std::vector<ResultLabel> InfarctionLabels(const ResultFindings& found) {
  const Evidence evidence = EvidenceOf(found);
  const auto& troponin = found.troponin_times_url;
  const auto above = [&](double limit, bool itself, LabelAnswer with) {
    if (!troponin) return LabelAnswer::kUnknown;
    return *troponin > limit || (itself && *troponin == limit) ? with : LabelAnswer::kNo;
  };
  const std::string because = TroponinText(found);
  const std::string marker = found.ck_mb_times_uln ? fmt::format("peak CK-MB {:g} times the limit", *found.ck_mb_times_uln) : because;
  std::vector<ResultLabel> labels = {
      {"injury-universal", "Procedural injury, universal definition", "troponin above the limit after a normal baseline", "mi-definition-2021"_source,
       above(1.0, false, LabelAnswer::kYes), "", because},
      {"infarction-4a", "Infarction type 4a, universal definition",
       "troponin above 5 times the limit with new ischaemia on ECG or imaging, new Q waves, or an angiographic complication", "mi-definition-2021"_source,
       above(5.0, false, evidence.any), "", because},
      {"infarction-arc2", "Infarction, academic research consortium 2",
       "troponin 35 times the limit or more with new Q waves, a flow-limiting complication or new loss of wall motion; 70 times alone is significant injury",
       "arc2-2018"_source, above(35.0, true, evidence.arc), "", because},
      {"infarction-relevant", "Clinically relevant infarction, 2013",
       "CK-MB 10 times the limit, or 5 with new Q waves or bundle block; without CK-MB troponin 70 times, or 35 with them", "relevant-mi-2013"_source,
       ByMarker(found, evidence.q_waves), "", marker},
  };
  for (ResultLabel& label : labels)
    if (label.answer == LabelAnswer::kUnknown && (troponin || found.ck_mb_times_uln)) label.because += "; ECG, imaging or angiographic evidence not recorded";
  if (troponin && *troponin >= 70.0 && labels[2].answer != LabelAnswer::kYes) labels[2].grade = "significant injury";
  return labels;
}

std::vector<ResultLabel> KidneyLabels(const ResultFindings& found) {
  ResultLabel now{"kidney-present", "Kidney injury, present definition",
                  "creatinine up by 0.3 mg/dL within 48 h or to 1.5 times within 7 days; stage 2 from 2 times, 3 from 3 times, 4 mg/dL or dialysis",
                  "kdigo-2012"_source, LabelAnswer::kUnknown, "", ""};
  ResultLabel old{"kidney-2004", "Kidney injury, definition of the 2004 score", "creatinine up by 25 % or by 0.5 mg/dL at 48 h", "aki-2004"_source,
                  LabelAnswer::kUnknown, "", ""};
  const Rises rises = RisesOf(found);
  if (!found.creatinine_before_mg_dl || *found.creatinine_before_mg_dl <= 0.0 || !rises.in_7d) {
    now.because = old.because = found.creatinine_before_mg_dl ? "no creatinine after contrast recorded" : "creatinine before contrast not recorded";
    return {now, old};
  }
  const double before = *found.creatinine_before_mg_dl;
  const int stage = StageOf(before, rises, found.new_dialysis.value_or(false));
  now.answer = Held(stage > 0);
  if (stage > 0) now.grade = fmt::format("stage {}", stage);
  now.because = fmt::format("creatinine {:g}, then at most {:g} mg/dL within 7 days", before, *rises.in_7d);
  if (!rises.in_48h) {
    old.because = "no creatinine within 48 h recorded";
    return {now, old};
  }
  const double rise = Hundredths(*rises.in_48h - before);
  old.answer = Held(rise >= 0.5 || Hundredths(100.0 * (*rises.in_48h / before - 1.0)) >= 25.0);
  old.because = fmt::format("creatinine {:g}, then at most {:g} mg/dL within 48 h", before, *rises.in_48h);
  return {now, old};
}

}  // namespace fairlead
