// SPDX-License-Identifier: Apache-2.0
#include "reasoning/budget/kidney.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstddef>

namespace fairlead {
namespace {

constexpr double kLowest_mg_dl = 0.1, kHighest_mg_dl = 25.0;  // chosen: borders of nonsense
constexpr double kSurelyMg = 15.0, kSurelyMicromoles = 20.0;  // of a number without a unit; chosen
constexpr double kWithinPerson = 0.05;                        // spread of creatinine in one person; from memory

// N Engl J Med 2021;385:1737-1749, creatinine equation without race: "ckd-epi-2021"_source.
struct CkdEpi {
  double kappa, alpha, factor;
};
constexpr double kCkdEpiScale = 142.0, kCkdEpiAbove = -1.200, kCkdEpiYear = 0.9938;
constexpr CkdEpi kFemale = {0.7, -0.241, 1.012}, kMale = {0.9, -0.302, 1.0};

// "clearance-1976"_source: (140 - age) x kg / (72 x creatinine), x 0.85 in women.
constexpr double kClearanceAge = 140.0, kClearanceScale = 72.0, kClearanceFemale = 0.85;

constexpr double kWeightRule = 5.0, kWeightRuleMost_ml = 300.0;  // "contrast-weight-1989"_source

constexpr auto kFindings = std::to_array<RatioFinding>({
    {1.78, "eGFR", "above it kidney injury was commoner, odds ratio 4.64 (2.84-7.56), 4,254 patients", "contrast-ratio-2021"_source},
    {2.0, "clearance", "58,957 PCI: odds ratio of kidney injury 1.16 (0.98-1.37)", "contrast-ratio-2011"_source},
    {3.0, "clearance", "58,957 PCI: odds ratio of kidney injury 1.46 (1.27-1.66), of dialysis 1.89 (1.21-2.94)", "contrast-ratio-2011"_source},
    {3.7, "clearance", "an early rise of creatinine was commoner beyond it", "contrast-ratio-2007"_source},
    {4.0, "clearance", "a rise by 0.5 mg/dL in 13 against 3 %, 722 patients", "contrast-ratio-722"_source},
    {6.15, "clearance", "best cut in 2,308 patients: 25.1 against 9.7 %", "contrast-ratio-2016"_source},
    {1.0, "g iodine to eGFR", "kidney injury in 25 against 3 % of emergency PCI", "iodine-ratio-2008"_source},
});

std::string Small(std::string_view text) {
  std::string small;
  for (const char c : text)
    if (c != ' ') small += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return small;
}

}  // namespace

Result<double> ReadCreatinine(std::string_view text) {
  const std::string small = Small(text);
  double number = 0.0;
  const auto [rest, code] = std::from_chars(small.data(), small.data() + small.size(), number);
  const std::string_view unit(rest, static_cast<std::size_t>(small.data() + small.size() - rest));
  if (code != std::errc() || !std::isfinite(number)) return Error{"\"" + small.substr(0, 40) + "\" is no creatinine", "creatinine", "type 1.10mg/dL or 97umol/L"};
  bool micromoles = unit == "umol/l" || unit == "µmol/l" || unit == "μmol/l" || unit == "micromol/l";
  if (!micromoles && !unit.empty() && unit != "mg/dl") return Error{"\"" + std::string(unit.substr(0, 40)) + "\" is no unit of creatinine", "creatinine", "type mg/dL or umol/L"};
  if (unit.empty() && number > kSurelyMg && number <= kSurelyMicromoles) return Error{"a creatinine of 15 to 20 could be in either unit", "creatinine", "type mg/dL or umol/L after it"};
  if (unit.empty()) micromoles = number > kSurelyMicromoles;
  const double mg_dl = micromoles ? number / kMicromolesInMg : number;
  if (!(mg_dl >= kLowest_mg_dl && mg_dl <= kHighest_mg_dl)) return Error{"creatinine is outside 0.1 to 25 mg/dL (9 to 2210 umol/L)", "creatinine", "look at it again"};
  return mg_dl;
}

Status CheckKidney(const Kidney& kidney) {
  const auto within = [](std::optional<double> value, double low, double high) { return !value || (*value >= low && *value <= high); };
  if (!within(kidney.creatinine_mg_dl, kLowest_mg_dl, kHighest_mg_dl)) return Error{"creatinine is outside 0.1 to 25 mg/dL", "creatinine", "look at it again"};
  if (!within(kidney.age_years, 18, 120)) return Error{"the equation holds for adults of 18 to 120 years", "age", "type completed years"};
  if (!within(kidney.weight_kg, 25, 350)) return Error{"weight is outside 25 to 350 kg", "weight", "type kilograms"};
  if (!within(kidney.height_cm, 100, 250)) return Error{"height is outside 100 to 250 cm", "height", "type centimetres"};
  return Done{};
}

double Egfr(const Kidney& kidney) {
  const CkdEpi& row = kidney.sex == Sex::kFemale ? kFemale : kMale;
  const double ratio = kidney.creatinine_mg_dl / row.kappa;
  return kCkdEpiScale * std::pow(std::min(ratio, 1.0), row.alpha) * std::pow(std::max(ratio, 1.0), kCkdEpiAbove) *
         std::pow(kCkdEpiYear, kidney.age_years) * row.factor;
}

EgfrBand EgfrSpread(const Kidney& kidney) {
  Kidney low = kidney, high = kidney;
  const double twice = std::exp(2.0 * std::log1p(kWithinPerson));
  low.creatinine_mg_dl *= twice;
  high.creatinine_mg_dl /= twice;
  return {Egfr(low), Egfr(high)};
}

std::optional<double> Clearance(const Kidney& kidney) {
  if (!kidney.weight_kg) return std::nullopt;
  const double sex = kidney.sex == Sex::kFemale ? kClearanceFemale : 1.0;
  return (kClearanceAge - kidney.age_years) * *kidney.weight_kg / (kClearanceScale * kidney.creatinine_mg_dl) * sex;
}

std::optional<WeightRule> ContrastByWeight(const Kidney& kidney) {
  if (!kidney.weight_kg) return std::nullopt;
  const double raw = kWeightRule * *kidney.weight_kg / kidney.creatinine_mg_dl;
  return WeightRule{std::min(raw, kWeightRuleMost_ml), raw};
}

std::span<const RatioFinding> RatioFindings() { return kFindings; }

double VolumeAtRatio(double ratio, double function) { return std::floor(ratio * function + 1e-9); }

int ContrastBandOf(double contrast_to_function) {
  return static_cast<int>(std::ranges::count_if(kContrastRatios, [&](double ratio) { return contrast_to_function >= ratio; }));
}

}  // namespace fairlead
