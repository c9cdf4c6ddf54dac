// SPDX-License-Identifier: Apache-2.0
// A stent in a pullback: struts are narrow bright echoes with a shadow behind them, several round the catheter. Its
// contour passes through their near sides; a person's points pull it. Areas, the smallest one, and its share of the
// lumen beside the stent by published definitions.
#pragma once

#include <array>
#include <optional>
#include <string_view>
#include <vector>

#include "imaging/pullback/section.h"
#include "imaging/pullback/wire.h"

namespace fairlead {

// A person's point: the stent's contour passes here. Frames up to kPinned away take it for seen.
struct StentPoint {
  int frame = 0;
  double angle_deg = 0.0, distance_mm = 0.0;
};

struct StentFrame {
  int frame = 0;
  int struts = 0;                              // told apart in this frame
  std::array<float, kAngles> contour{};        // mm
  AreaReading area;
  double min_mm = 0.0, max_mm = 0.0;           // chords through the centre of area
  double diameter_sd_mm = 0.0;
};

struct StentRatio {
  std::string_view against;                    // "the mean of both references"
  double value = 0.0, sd = 0.0;
  SourceId source;
};

struct StentReading {
  int first = 0, last = 0;                     // frames in which it is seen
  bool by_reader = false;                      // a person's points had a part in it
  std::vector<StentFrame> frames;              // first to last
  int smallest = 0;                            // frame of the minimal stent area
  AreaReading smallest_area;                   // median of three frames there
  // The largest lumen within 10 mm (anywhere, without a speed) before its first and after its last frame.
  std::optional<int> reference_before, reference_after;
  std::vector<StentRatio> expansion;           // empty: no reference segment is in the pullback
};

inline constexpr SourceId kStentReferenceSource = "ivus-standards-2001"_source;  // reference segments, minimal stent area
inline constexpr SourceId kStentExpansionSource = "ivus-consensus-2018"_source;  // share of the mean reference lumen
inline constexpr SourceId kStentDistalSource = "ivus-ultimate-2018"_source;      // share of the smaller reference lumen; 5.0 mm2

// How much each ray of a frame looks like a strut's: bright between catheter and wall, dark behind, and narrow.
WireScore StrutScore(const Polar& polar, const Borders& borders, int frame);

// None: no stent is seen. `struts`: one score a frame. `sections` of the same borders, with places along the pullback
// where its speed is known.
std::optional<StentReading> FindStent(const Polar& polar, const Borders& borders, const std::vector<WireScore>& struts, const Wires& wires,
                                      const std::vector<PullbackSection>& sections, const std::vector<StentPoint>& points);

}  // namespace fairlead
