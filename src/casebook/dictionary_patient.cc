// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "casebook/dictionary.h"

namespace fairlead {
namespace {

constexpr auto kSex = std::to_array<std::string_view>({"female", "male"});
constexpr auto kDiabetes = std::to_array<std::string_view>({"none", "non_insulin", "insulin", "unspecified"});
constexpr auto kPresentation = std::to_array<std::string_view>({"stable", "unstable_angina", "nstemi", "stemi"});
constexpr FactGroup kGroup = FactGroup::kPatient;

constexpr auto kRows = std::to_array<FactRow>({
    Unit(CountRow("age_years", kGroup, "Age", {0, 120}, "practice"_source,
                  "completed years on the day of the procedure"),
         "years"),
    GradeRow("sex", kGroup, "Sex", kSex, "practice"_source, "as recorded at birth, as the published scores used it"),
    FlagRow("prior_cabg", kGroup, "Earlier bypass operation", "cl-2015"_source,
            "any earlier coronary bypass operation, whichever vessel"),
    FlagRow("graft_to_occluded_vessel", kGroup, "Graft to this vessel", "recharge-2018"_source,
            "a bypass graft was placed on the occluded vessel itself, open or not"),
    FlagRow("prior_mi", kGroup, "Earlier infarction", "cl-2015"_source, "any earlier myocardial infarction"),
    FlagRow("atrial_fibrillation", kGroup, "Atrial fibrillation", "complications-2022"_source, "history of it"),
    FlagRow("heart_failure", kGroup, "Heart failure", "aki-2004"_source,
            "NYHA class III or IV, or pulmonary oedema in the past"),
    Spread(ReadingRow("lvef_pct", kGroup, "Left ventricular ejection fraction", "%", {5, 90}, "practice"_source,
                      "latest value before the procedure"),
           0, 5),
    GradeRow("diabetes", kGroup, "Diabetes", kDiabetes, "aki-2021"_source,
             "by its treatment; yes without more is \"unspecified\""),
    FlagRow("anaemia", kGroup, "Anaemia", "aki-2004"_source,
            "haematocrit below 39 % in men, below 36 % in women (limits from memory)"),
    ReadingRow("egfr", kGroup, "Estimated glomerular filtration rate", "mL/min/1.73 m²", {1, 200},
               "ckd-epi-2021"_source, "from creatinine, age and sex, before contrast"),
    ReadingRow("creatinine", kGroup, "Creatinine", "mg/dL", {0.1, 25}, "aki-2004"_source,
               "serum, before contrast; 1 mg/dL is 88.4 µmol/L"),
    ReadingRow("haemoglobin", kGroup, "Haemoglobin", "g/dL", {2, 25}, "aki-2021"_source, "before the procedure"),
    ReadingRow("haematocrit", kGroup, "Haematocrit", "%", {5, 75}, "aki-2004"_source, "before the procedure"),
    ReadingRow("glucose", kGroup, "Glucose", "mg/dL", {20, 1500}, "aki-2021"_source,
               "before the procedure; 1 mmol/L is 18 mg/dL"),
    GradeRow("presentation", kGroup, "Presentation", kPresentation, "aki-2021"_source, "why the patient came"),
    FlagRow("dialysis", kGroup, "On dialysis", "aki-2021"_source, "regular dialysis before the procedure"),
    FlagRow("smoker", kGroup, "Smoker", "ctoabcde-2020"_source, "smokes now"),
    ReadingRow("weight_kg", kGroup, "Weight", "kg", {25, 350}, "practice"_source, "weighed, or as the patient says"),
    ReadingRow("height_cm", kGroup, "Height", "cm", {100, 250}, "practice"_source, "measured, or as the patient says"),
    FlagRow("heparin_allergy", kGroup, "Heparin not tolerated", "practice"_source,
            "thrombocytopenia under heparin, or an allergy to it, now or earlier"),
    FlagRow("contrast_allergy", kGroup, "Contrast allergy", "practice"_source, "an earlier reaction to iodinated contrast"),
    FlagRow("protamine_risk", kGroup, "Protamine risk", "practice"_source,
            "fish allergy, earlier protamine, NPH insulin or vasectomy"),
});

}  // namespace

std::span<const FactRow> PatientFacts() {
  return kRows;
}

}  // namespace fairlead
