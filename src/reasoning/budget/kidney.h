// SPDX-License-Identifier: Apache-2.0
// Kidney function, and contrast against it. The published cut-offs run from 1.8 to 6.2 times kidney function: there is a
// gradient and no threshold, so that what is said here is a ratio and a band, never "safe".
#pragma once

#include <array>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "measure/result.h"
#include "measure/source.h"

namespace fairlead {

enum class Sex { kFemale, kMale };

struct Kidney {
  double creatinine_mg_dl = 0.0;
  double age_years = 0.0;  // completed years
  Sex sex = Sex::kFemale;
  std::optional<double> weight_kg, height_cm;
};

inline constexpr double kMicromolesInMg = 88.4;  // µmol/L in 1 mg/dL of creatinine

// "1.10mg/dL", "97umol/L", "97 µmol/L"; without a unit, up to 15 is mg/dL and above 20 µmol/L. Refused: 15 to 20
// without a unit; outside 0.1 to 25 mg/dL.
Result<double> ReadCreatinine(std::string_view text);
// Adults only: the equation was made for them.
Status CheckKidney(const Kidney& kidney);

// CKD-EPI 2021, creatinine, in mL/min/1.73 m².
double Egfr(const Kidney& kidney);
// 5 % within-person spread of creatinine, through the equation's slope: about this much lower and higher.
struct EgfrBand {
  double low = 0.0, high = 0.0;
};
EgfrBand EgfrSpread(const Kidney& kidney);
// Creatinine clearance by age, weight and creatinine, mL/min. Nothing without a weight.
std::optional<double> Clearance(const Kidney& kidney);
// Most contrast by the weight rule, 5 mL x kg / creatinine and at most 300 mL; `raw` is without that cap.
struct WeightRule {
  double ml = 0.0, raw_ml = 0.0;
};
std::optional<WeightRule> ContrastByWeight(const Kidney& kidney);

// The ratios that published work reports: caution, high, and the commonly quoted stop.
inline constexpr std::array<double, 3> kContrastRatios = {2.0, 3.0, 3.7};

// What a study found beyond a ratio, with its own denominator.
struct RatioFinding {
  double ratio = 0.0;
  std::string_view denominator;  // "eGFR", "clearance", "g iodine to eGFR"
  std::string_view found;
  SourceId source;
};
std::span<const RatioFinding> RatioFindings();

// Whole millilitres at or below `ratio` times `function`, as it is drawn: 249.99999999999997 is 250.
double VolumeAtRatio(double ratio, double function);

// 0 below the first ratio, 1, 2, 3 at or above each: how grave, never whether safe.
int ContrastBandOf(double contrast_to_function);

}  // namespace fairlead
