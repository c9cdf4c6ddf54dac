// SPDX-License-Identifier: Apache-2.0
// What the borders of a frame measure: areas, diameters, plaque burden, what is not seen and why.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "imaging/pullback/border.h"
#include "measure/source.h"

namespace fairlead {

// Not seen from one angle to another (clockwise; `to` may exceed 360).
struct HiddenArc {
  double from_deg = 0.0, to_deg = 0.0;
  enum class Why { kCalcium, kWire, kShadow, kFaint } why = Why::kShadow;
};
std::string_view WhyText(HiddenArc::Why why);       // "calcium", "wire", "shadow", "faint": the media does not stand out

struct AreaReading {
  double value = 0.0, sd = 0.0;                      // mm2
};

struct PullbackSection {
  int frame = 0;
  std::optional<double> z_mm;                        // along the pullback; none without its speed
  AreaReading lumen;                                 // or of the channel, where no blood is told from plaque
  std::optional<AreaReading> eem;                    // none: more than 90 degrees together, or a quarter of what is not in shadow, are not seen
  double lumen_min_mm = 0, lumen_max_mm = 0, eem_min_mm = 0, eem_max_mm = 0;  // chords through the centre of area
  double lumen_diameter_sd_mm = 0, eem_diameter_sd_mm = 0;
  std::optional<double> burden;                      // (EEM - lumen) / EEM
  double burden_sd = 0;
  std::vector<HiddenArc> hidden;
  double calcium_deg = 0;                            // largest arc of calcium
};

// mm: place of a channel's border, worse the less blood and plaque differ (grey levels). Chosen on invented pullbacks.
inline constexpr double kChannelSd = 0.03, kChannelContrast = 1.8;

// `mm_per_frame`: none without the pullback's speed. The catheter's own size error is `size_sd` of every length.
inline constexpr double kSizeSd = 0.04;              // J Am Soc Echocardiogr 2003;16:277-284: older catheters misread areas by up to 18 %
inline constexpr SourceId kSizeErrorSource = "ivus-size-2003"_source;
PullbackSection MeasureSection(const Polar& polar, const Borders& borders, int at, std::optional<double> mm_per_frame);
std::vector<PullbackSection> MeasureSections(const Polar& polar, const Borders& borders, std::optional<double> mm_per_frame);

// Of a closed border given on kAngles rays: mm2, and its shortest and longest chord through the centre of area, mm.
struct BorderSize {
  double area = 0.0, least = 0.0, most = 0.0;
};
BorderSize SizeOf(const std::array<float, kAngles>& border);

struct PullbackSummary {
  std::optional<int> smallest_lumen, largest_burden;        // frames
  std::optional<int> first_reference, last_reference;       // largest lumen with a burden below one half, on each side
};
PullbackSummary Summarise(const std::vector<PullbackSection>& sections);

}  // namespace fairlead
