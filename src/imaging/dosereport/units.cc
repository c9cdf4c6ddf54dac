// SPDX-License-Identifier: Apache-2.0
#include "imaging/dosereport/units.h"

#include <algorithm>
#include <array>
#include <numbers>
#include <string>

namespace fairlead {
namespace {

struct UnitRow {
  Dimension dimension;
  std::string_view code;  // small letters, without blanks; the micro sign written u
  double factor;
};
using enum Dimension;

constexpr auto kUnits = std::to_array<UnitRow>({
    {kAreaProduct, "gy.m2", 1.0},     {kAreaProduct, "mgy.m2", 1e-3},   {kAreaProduct, "ugy.m2", 1e-6},
    {kAreaProduct, "gy.cm2", 1e-4},   {kAreaProduct, "dgy.cm2", 1e-5},  {kAreaProduct, "cgy.cm2", 1e-6},
    {kAreaProduct, "mgy.cm2", 1e-7},  {kAreaProduct, "ugy.cm2", 1e-10}, {kAreaProduct, "rad.cm2", 1e-6},
    {kKerma, "gy", 1.0},              {kKerma, "dgy", 0.1},             {kKerma, "cgy", 1e-2},
    {kKerma, "mgy", 1e-3},            {kKerma, "ugy", 1e-6},            {kKerma, "rad", 1e-2},
    {kLength, "mm", 1.0},             {kLength, "cm", 10.0},            {kLength, "dm", 100.0},
    {kLength, "m", 1000.0},           {kLength, "um", 1e-3},            {kLength, "[in_i]", 25.4},
    {kArea, "mm2", 1.0},              {kArea, "cm2", 100.0},            {kArea, "dm2", 1e4},
    {kArea, "m2", 1e6},
    {kAngle, "deg", 1.0},             {kAngle, "degree", 1.0},          {kAngle, "degrees", 1.0},
    {kAngle, "\xC2\xB0", 1.0},        {kAngle, "\xB0", 1.0},            {kAngle, "rad", 180.0 / std::numbers::pi},
    {kTime, "s", 1.0},                {kTime, "sec", 1.0},              {kTime, "ms", 1e-3},
    {kTime, "us", 1e-6},              {kTime, "min", 60.0},             {kTime, "h", 3600.0},
    {kVoltage, "kv", 1.0},            {kVoltage, "v", 1e-3},            
    {kCount, "1", 1.0},               {kCount, "{frames}", 1.0},        {kCount, "{pulse}", 1.0},
    {kCount, "nounits", 1.0},
    {kRate, "{pulse}/s", 1.0},        {kRate, "/s", 1.0},               {kRate, "1/s", 1.0},
    {kRate, "hz", 1.0},
});

std::string Folded(std::string_view code) {
  std::string folded;
  for (std::size_t i = 0; i < code.size(); ++i) {
    const char c = code[i];
    if (c == ' ' || c == '^' || c == '*') continue;
    const bool micro = i + 1 < code.size() && ((c == '\xC2' && code[i + 1] == '\xB5') || (c == '\xCE' && code[i + 1] == '\xBC'));
    if (micro) {
      folded += 'u';
      ++i;
    } else if (c == '\xB5' && (folded.empty() || folded.back() != '\xC2')) {
      folded += 'u';
    } else {
      folded += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
  }
  if (folded.starts_with("micro")) folded.replace(0, 5, "u");
  return folded;
}

}  // namespace

std::string_view UnitOf(Dimension dimension) {
  switch (dimension) {
    case kAreaProduct: return "Gy.m2";
    case kKerma: return "Gy";
    case kLength: return "mm";
    case kArea: return "mm2";
    case kAngle: return "deg";
    case kTime: return "s";
    case kVoltage: return "kV";
    case kCount: return "1";
    case kRate: return "1/s";
  }
  return "";
}

std::optional<double> FactorOf(Dimension dimension, std::string_view code) {
  const std::string folded = Folded(code);
  const auto found = std::ranges::find_if(kUnits, [&](const UnitRow& row) { return row.dimension == dimension && row.code == folded; });
  if (found != kUnits.end()) return found->factor;
  // "Gycm2", "Gym2": the dot left out.
  if (dimension == kAreaProduct && folded.find('.') == std::string::npos) {
    if (const std::size_t cut = folded.find("gy"); cut != std::string::npos && cut + 2 < folded.size()) {
      return FactorOf(dimension, folded.substr(0, cut + 2) + "." + folded.substr(cut + 2));
    }
  }
  return std::nullopt;
}

}  // namespace fairlead
