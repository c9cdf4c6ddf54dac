// SPDX-License-Identifier: Apache-2.0
#include "reasoning/budget/patient.h"

#include <algorithm>
#include <string_view>

namespace fairlead {
namespace {

constexpr double kNoRatioBelow = 15.0;  // mL/min/1.73 m²; practice, no source

std::optional<double> NumberOfFact(const Facts& facts, std::string_view name) {
  const auto found = facts.find(FactKey{std::string(name), ""});
  if (found == facts.end()) return std::nullopt;
  const auto* number = std::get_if<Number>(&found->second);
  return number == nullptr ? std::nullopt : std::optional(number->value);
}

// Known only where it is rather one than the other.
std::optional<bool> FlagOf(const Belief& belief) {
  if (const auto* odds = std::get_if<FlagOdds>(&belief)) return odds->yes == 0.5 ? std::nullopt : std::optional(odds->yes > 0.5);
  return std::nullopt;
}
std::optional<bool> FlagOfFact(const Facts& facts, std::string_view name) {
  const auto found = facts.find(FactKey{std::string(name), ""});
  return found == facts.end() ? std::nullopt : FlagOf(found->second);
}
std::optional<std::string> GradeOfFact(const Facts& facts, std::string_view name) {
  const auto found = facts.find(FactKey{std::string(name), ""});
  if (found == facts.end()) return std::nullopt;
  const auto* odds = std::get_if<GradeOdds>(&found->second);
  if (odds == nullptr || odds->odds.empty()) return std::nullopt;
  return std::ranges::max_element(odds->odds, {}, [](const auto& one) { return one.second; })->first;
}

std::optional<bool> AnyChannel(const Facts& facts, std::string_view name) {
  std::optional<bool> any;
  for (const auto& [key, belief] : facts) {
    if (key.name != name) continue;
    if (const auto yes = FlagOf(belief)) any = any.value_or(false) || *yes;
  }
  return any;
}

// Of the channel that the retrograde gear is in; where none was named, of any.
std::optional<bool> SoleSupplyInUse(const Facts& facts, const RunState& run) {
  for (auto attempt = run.attempts.rbegin(); attempt != run.attempts.rend(); ++attempt) {
    if (!IsRetrograde(attempt->strategy)) continue;
    if (attempt->channel.empty()) break;
    const auto found = facts.find(FactKey{"sole_supply", attempt->channel});
    return found == facts.end() ? std::nullopt : FlagOf(found->second);
  }
  return AnyChannel(facts, "sole_supply");
}

void TakeCreatinine(const State& state, const Facts& facts, const RunState& run, RunPatient& patient) {
  patient.creatinine_mg_dl = NumberOfFact(facts, "creatinine");
  if (const Entry* entry = StandingFactEntry(state, FactKey{"creatinine", ""})) patient.creatinine_at = entry->at;
  for (const At<RunEvent>& lab : run.labs) {
    const auto value = NumberOf(lab.value, RunField::kCreatinine);
    const bool before = run.contrast.empty() || lab.at <= run.contrast.front().at;
    if (!value || !before || (patient.creatinine_at && lab.at < *patient.creatinine_at)) continue;
    patient.creatinine_mg_dl = value;
    patient.creatinine_at = lab.at;
  }
}

}  // namespace

RunPatient PatientOf(const State& state, const Facts& facts, const RunState& run) {
  RunPatient patient;
  patient.weight_kg = NumberOfFact(facts, "weight_kg");
  patient.height_cm = NumberOfFact(facts, "height_cm");
  patient.age_years = NumberOfFact(facts, "age_years");
  if (const auto sex = GradeOfFact(facts, "sex")) patient.sex = *sex == "female" ? Sex::kFemale : Sex::kMale;
  TakeCreatinine(state, facts, run, patient);
  patient.dialysis = FlagOfFact(facts, "dialysis");
  if (const auto grade = GradeOfFact(facts, "diabetes")) patient.diabetes = *grade != "none";
  patient.heart_failure = FlagOfFact(facts, "heart_failure");
  patient.prior_cabg = FlagOfFact(facts, "prior_cabg");
  patient.heparin_allergy = FlagOfFact(facts, "heparin_allergy");
  patient.contrast_allergy = FlagOfFact(facts, "contrast_allergy");
  patient.protamine_risk = FlagOfFact(facts, "protamine_risk");
  patient.interventional_collateral = FlagOfFact(facts, "interventional_collateral");
  patient.sole_supply = SoleSupplyInUse(facts, run);
  patient.egfr = NumberOfFact(facts, "egfr");
  if (!patient.creatinine_mg_dl || !patient.age_years || !patient.sex) return patient;
  const Kidney kidney{*patient.creatinine_mg_dl, *patient.age_years, *patient.sex, patient.weight_kg, patient.height_cm};
  if (!CheckKidney(kidney).ok()) return patient;
  if (!patient.egfr) patient.egfr = Egfr(kidney);
  patient.clearance = Clearance(kidney);
  patient.by_weight = ContrastByWeight(kidney);
  return patient;
}

bool NoRatio(const RunPatient& patient) { return patient.dialysis.value_or(false) || (patient.egfr && *patient.egfr < kNoRatioBelow); }

std::optional<double> KidneyFunction(const RunPatient& patient) {
  if (!patient.egfr) return patient.clearance;
  return patient.clearance ? std::min(*patient.egfr, *patient.clearance) : *patient.egfr;
}

}  // namespace fairlead
