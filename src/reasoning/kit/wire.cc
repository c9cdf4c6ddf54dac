// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/wire.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "measure/source.h"

namespace fairlead {
namespace {

using enum WireStep;

constexpr double kNewtonPerGf = 9.80665e-3;  // standard gravity, by definition
constexpr double kBenchTipMm = 10.0;
[[maybe_unused]] constexpr SourceId kCapSource = "cap-force"_source;

constexpr std::array<WireClass, 11> kClasses = {{
    {kWorkhorse, "0", "workhorse", "delivering the microcatheter; distal vessel"},
    {kTaperedSoft, "1", "tapered soft", "tapered stump, microchannel"},
    {kJacketed, "1k", "jacketed, not tapered", "tortuous body, knuckle"},
    {kDirectional, "2", "directional tapered", "ordinary cap and body with a known course"},
    {kBluntStiff, "3", "blunt stiff", "body, felt at the hand"},
    {kTaperedPenetration, "4", "tapered penetration", "hard cap, re-entry; only with a known course"},
    {kExtremePenetration, "5", "extreme penetration", "calcified cap, re-entry stick; only with a known course"},
    {kCollateral, "c", "collateral", "channels; nothing stiffer belongs there"},
    {kExternalisation, "x", "externalisation", "once the microcatheter is home"},
    {kExtension, "e", "extension", "docks on the tail of a short wire"},
    {kOther, "-", "other", ""},
}};

bool Says(const Device& wire, std::string_view word) {
  return wire.note.find(word) != std::string::npos || wire.label.find(word) != std::string::npos || wire.name.find(word) != std::string::npos;
}

}  // namespace

TipPressure PressureOf(double load_gf, Length tip) {
  const double area = std::numbers::pi * tip.millimetres() * tip.millimetres() / 4;  // mm2
  TipPressure pressure;
  pressure.gf_per_mm2 = load_gf / area;
  pressure.megapascal = load_gf * kNewtonPerGf / area;
  pressure.kgf_per_in2 = pressure.gf_per_mm2 * 25.4 * 25.4 / 1000;
  return pressure;
}

double CarriedLoadGf(double printed_gf, Length free_tip) {
  const double ratio = kBenchTipMm / std::max(kShortestTipMm, free_tip.millimetres());
  return printed_gf * ratio * ratio;
}

Length LongestTipFor(double printed_gf, double load_gf) { return Length::Millimetres(kBenchTipMm * std::sqrt(printed_gf / load_gf)); }

double EulerNewtons(double gigapascal, Length core, Length free_tip, double end_factor) {
  const double second_moment = std::numbers::pi * std::pow(core.millimetres(), 4) / 64;                      // mm4
  const double reach = end_factor * free_tip.millimetres();
  return std::numbers::pi * std::numbers::pi * gigapascal * 1e3 * second_moment / (reach * reach);            // N: GPa = 1e3 N/mm2
}

const WireClass& ClassOfStep(WireStep step) { return *std::ranges::find(kClasses, step, &WireClass::step); }

WireStep StepOf(const Device& wire) {
  if (Says(wire, "extension")) return kExtension;
  if (wire.usable && *wire.usable >= Length::Centimetres(320) && !Says(wire, "burr")) return kExternalisation;
  if (Says(wire, "burr") || !wire.tip_load_gf || !wire.tip) return kOther;
  const double load = *wire.tip_load_gf;
  const bool tapered = *wire.tip < Length::Inches(0.0135);
  const bool jacket = wire.coating.find("jacket") != std::string::npos;
  if (Says(wire, "collateral") || (load < 0.5 && !tapered)) return kCollateral;
  if (load >= 20) return kExtremePenetration;
  if (load >= 9 && tapered) return kTaperedPenetration;
  if (load >= 3 && !tapered && !jacket) return kBluntStiff;
  if (tapered) return load > 1.5 ? kDirectional : kTaperedSoft;
  return jacket ? kJacketed : kWorkhorse;
}

std::vector<LadderWire> WireLadder(const Shelf& shelf) {
  std::vector<LadderWire> ladder;
  for (std::size_t i = 0; i < shelf.devices.size(); ++i) {
    const Device& device = shelf.devices[i];
    if (device.kind != DeviceClass::kGuidewire) continue;
    LadderWire wire{i, StepOf(device), std::nullopt, std::nullopt};
    if (device.tip_load_gf && device.tip) wire.pressure = PressureOf(*device.tip_load_gf, *device.tip);
    ladder.push_back(wire);
  }
  const auto rank = [](const LadderWire& wire) { return wire.pressure ? wire.pressure->megapascal : 1e9; };
  std::ranges::stable_sort(ladder, [&](const LadderWire& a, const LadderWire& b) { return rank(a) < rank(b); });
  for (LadderWire& wire : ladder) {
    if (wire.pressure) wire.times_softest = wire.pressure->megapascal / ladder.front().pressure->megapascal;
  }
  return ladder;
}

const std::vector<CapForce>& MeasuredCapForces() {
  static const std::vector<CapForce> kForces = {{2, 0.61}, {6, 0.78}, {12, 1.21}, {15, 1.52}};
  return kForces;
}

}  // namespace fairlead
