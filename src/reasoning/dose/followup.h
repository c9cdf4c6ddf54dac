// SPDX-License-Identifier: Apache-2.0
// What a dose means afterwards: the published band of skin effects, the levels that start a follow-up, effective dose.
// Bands are not sharp; the local medical physicist and protocol decide.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/irradiation.h"
#include "measure/source.h"

namespace fairlead {

// Bands of single-session dose to normal skin of back, chest or arm ("skin-effects-2011").
struct SkinBand {
  std::string_view name;     // "A1", "A2", "B", "C", "D"
  double from = 0.0, to = 0.0;  // Gy; `from` belongs to the band, but D begins above 15
  std::string_view prompt, early, midterm, longterm;
};
std::span<const SkinBand> SkinBands();
const SkinBand& BandOf(double gray);

// Totals against published levels: each that is reached, with what it is for.
struct DoseTotals {
  std::optional<double> kerma;         // Gy
  std::optional<double> area_product;  // Gy cm2
  std::optional<double> minutes;       // of fluoroscopy
  std::optional<double> peak_high;     // Gy, upper end of the peak skin dose
};
struct ReachedLevel {
  std::string what;       // "air kerma 5.2 Gy, level 5 Gy"
  std::string_view asks;  // "record the reason, tell the patient, plan a look at the skin"
  SourceId source;
};
std::vector<ReachedLevel> LevelsReached(const DoseTotals& totals);

// Steps at which the operator is told, that lie in (before, now]: 3 Gy of air kerma, then every 1 Gy.
std::vector<double> KermaStepsPassed(double before, double now);

// A population number for comparison, not this patient's risk. By each event's copper where all area product that
// matters has one, else by one published factor with its range.
struct EffectiveDose {
  double millisievert = 0.0, low = 0.0, high = 0.0;
  bool by_filter = false;
};
EffectiveDose EffectiveDoseOf(std::span<const IrradiationEvent> events, double area_product_gycm2);

// One paragraph for the patient's letter, in plain words, deferring to those who know the case.
std::string PatientAdvice(double peak, double high, bool estimated);

}  // namespace fairlead
