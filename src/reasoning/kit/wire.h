// SPDX-License-Identifier: Apache-2.0
// What a wire's tip does: nominal pressure, what it still carries before it buckles, and the lab's own wires as a ladder.
// The printed load is a bench figure at one free length: ranking numbers, not forces on tissue.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "reasoning/kit/shelf.h"

namespace fairlead {

// Tip load over tip area.
struct TipPressure {
  double megapascal = 0.0, gf_per_mm2 = 0.0, kgf_per_in2 = 0.0;
};
TipPressure PressureOf(double load_gf, Length tip);

// Euler: the load a free tip carries falls with the square of its length, F0 (L0 / L)^2; the printed load stands for
// L0 = 10 mm (usual bench length, from memory; no harmonised coronary standard was found). Below 2 mm the core yields
// or the microcatheter moves first, so the factor stops at 25.
inline constexpr double kShortestTipMm = 2.0;
double CarriedLoadGf(double printed_gf, Length free_tip);
// Longest free tip that still carries that load.
Length LongestTipFor(double printed_gf, double load_gf);
// Euler's load of a round core: pi^2 E I / (K L)^2, in newtons; E in gigapascal.
double EulerNewtons(double gigapascal, Length core, Length free_tip, double end_factor);

enum class WireStep { kWorkhorse, kTaperedSoft, kJacketed, kDirectional, kBluntStiff, kTaperedPenetration, kExtremePenetration,
                      kCollateral, kExternalisation, kExtension, kOther };
struct WireClass {
  WireStep step;
  std::string_view id, title, place;
};
const WireClass& ClassOfStep(WireStep step);
// From tip load, tip, coating and length, by the ranges that the trade uses. practice, no source
WireStep StepOf(const Device& wire);

struct LadderWire {
  std::size_t device = 0;             // index on the shelf
  WireStep step = WireStep::kOther;
  std::optional<TipPressure> pressure;
  std::optional<double> times_softest;// pressure against the softest of the ladder
};
// The shelf's wires from soft to stiff, by nominal pressure; those without tip load or tip at the end.
std::vector<LadderWire> WireLadder(const Shelf& shelf);

// Force that opened the proximal cap of rabbit occlusions, by age; EuroIntervention, puncture force study.
struct CapForce {
  int weeks;
  double newtons;
};
const std::vector<CapForce>& MeasuredCapForces();

}  // namespace fairlead
