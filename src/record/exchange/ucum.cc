// SPDX-License-Identifier: Apache-2.0
#include "record/exchange/ucum.h"

#include <array>
#include <cmath>

#include "measure/source.h"
#include "reasoning/budget/kidney.h"

namespace fairlead {
namespace {

struct UcumUnit {
  UcumAmount amount;
  std::string_view ucum;
  double times, over;  // to our unit: value * times / over, so that 131 g/L is 13.1 g/dL to the last digit
};

// Creatinine as everywhere in the house. Haemoglobin as its monomer of 16 114 g/mol: 1 mmol/L is 1.6114 g/dL. A pound and an
// inch are exact by definition.
[[maybe_unused]] constexpr SourceId kMonomer = "haemoglobin-1978"_source;
constexpr double kHaemoglobin_mmol_l = 1.6114;

constexpr auto kUnits = std::to_array<UcumUnit>({
    {UcumAmount::kPercent, "%", 1.0, 1.0},
    {UcumAmount::kPercent, "1", 100.0, 1.0},
    {UcumAmount::kCreatinine, "mg/dL", 1.0, 1.0},
    {UcumAmount::kCreatinine, "mg/L", 1.0, 10.0},
    {UcumAmount::kCreatinine, "umol/L", 1.0, kMicromolesInMg},
    {UcumAmount::kCreatinine, "mmol/L", 1000.0, kMicromolesInMg},
    {UcumAmount::kHaemoglobin, "g/dL", 1.0, 1.0},
    {UcumAmount::kHaemoglobin, "g/L", 1.0, 10.0},
    {UcumAmount::kHaemoglobin, "mg/dL", 1.0, 1000.0},
    {UcumAmount::kHaemoglobin, "mmol/L", kHaemoglobin_mmol_l, 1.0},
    {UcumAmount::kMass, "kg", 1.0, 1.0},
    {UcumAmount::kMass, "g", 1.0, 1000.0},
    {UcumAmount::kMass, "[lb_av]", 0.45359237, 1.0},
    {UcumAmount::kLength, "cm", 1.0, 1.0},
    {UcumAmount::kLength, "m", 100.0, 1.0},
    {UcumAmount::kLength, "mm", 1.0, 10.0},
    {UcumAmount::kLength, "[in_i]", 2.54, 1.0},
});

}  // namespace

std::optional<double> InOurUnit(UcumAmount amount, double value, std::string_view ucum) {
  if (!std::isfinite(value)) return std::nullopt;
  for (const UcumUnit& unit : kUnits)
    if (unit.amount == amount && unit.ucum == ucum) return value * unit.times / unit.over;
  return std::nullopt;
}

}  // namespace fairlead
