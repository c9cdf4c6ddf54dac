// SPDX-License-Identifier: Apache-2.0
// How blurred the picture is, as the vessel itself shows it, and what that means for a radius. Pixels.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "imaging/trace/section_fit.h"
#include "imaging/trace/straightened.h"

namespace fairlead {

inline constexpr double kFirstBlur = 0.95;      // before it is known; also where the vessel does not show it
inline constexpr double kAssumedBlurSd = 0.25;

struct BlurFound {
  double blur = kFirstBlur, sd = kAssumedBlurSd;
};

// The blur with which the fits leave least over. Nothing where that cannot be told: the vessel is too thin, or the
// picture not of this kind.
std::optional<BlurFound> FindBlur(const Straightened& straight, std::span<const SectionStart> chain);

// By how much the radius changes with the blur that is assumed, as the median over a few sections.
double RadiusByBlur(const Straightened& straight, std::span<const SectionFit> fits, double blur);

// The middle one, the upper of two; 0 of none.
double MedianOf(std::vector<double> values);

}  // namespace fairlead
