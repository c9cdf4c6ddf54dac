// SPDX-License-Identifier: Apache-2.0
// How large a pixel of an ultrasound picture is, and how fast the catheter was drawn back: from the regions (PS3.3
// C.8.5.5) and the intravascular attributes (C.8.5.6). What the file does not say is asked for, never assumed.
#include <algorithm>
#include <array>
#include <cmath>

#include "imaging/dicom/header.h"
#include "imaging/dicom/tags.h"

namespace fairlead {
namespace {

constexpr double kCentimetres = 3.0;   // Physical Units X/Y Direction
constexpr double kTwoDimensional = 1.0;
// Chosen: what an intravascular picture can be; outside, a number is not believed.
constexpr double kLeastPixel = 0.001, kMostPixel = 1.0;  // mm
constexpr double kMostSpeed = 60.0;                      // mm/s

bool Believable(double mm) { return std::isfinite(mm) && mm >= kLeastPixel && mm <= kMostPixel; }

std::optional<UltrasoundScale> ScaleOf(const Item& region, const Run& run) {
  const auto number = [&](Tag tag) { return NumberOf(region, tag).value_or(-1.0); };
  if (number(tags::kRegionFormat) != kTwoDimensional) return std::nullopt;
  if (number(tags::kRegionUnitsX) != kCentimetres || number(tags::kRegionUnitsY) != kCentimetres) return std::nullopt;
  const double across = 10.0 * std::abs(number(tags::kRegionDeltaX));
  const double down = 10.0 * std::abs(number(tags::kRegionDeltaY));
  if (!Believable(across) || !Believable(down)) return std::nullopt;
  UltrasoundScale scale;
  scale.spacing = {Length::Millimetres(down), Length::Millimetres(across)};
  const auto edge = [&](Tag tag, int most) { return static_cast<int>(std::clamp(number(tag), 0.0, static_cast<double>(most))); };
  scale.region = {edge(tags::kRegionLeft, run.columns - 1), edge(tags::kRegionRight, run.columns - 1),
                  edge(tags::kRegionTop, run.rows - 1), edge(tags::kRegionBottom, run.rows - 1)};
  if (scale.region.right <= scale.region.left || scale.region.bottom <= scale.region.top) return std::nullopt;
  scale.from = "the file's ultrasound region";
  return scale;
}

std::optional<UltrasoundScale> LargestRegion(const Item& dataset, const Run& run) {
  std::optional<UltrasoundScale> best;
  const Element* regions = Find(dataset, tags::kRegions);
  if (regions == nullptr) return best;
  const auto area = [](const UltrasoundScale& s) {
    return static_cast<double>(s.region.right - s.region.left) * (s.region.bottom - s.region.top);
  };
  for (const Item& region : regions->items) {
    auto scale = ScaleOf(region, run);
    if (scale && (!best || area(*scale) > area(*best))) best = std::move(scale);
  }
  return best;
}

std::optional<UltrasoundScale> PlainSpacing(const Item& dataset, const Run& run) {
  const std::vector<double> values = NumbersOf(dataset, tags::kPixelSpacing);
  if (values.size() != 2 || !Believable(values[0]) || !Believable(values[1])) return std::nullopt;
  UltrasoundScale scale;
  scale.spacing = {Length::Millimetres(values[0]), Length::Millimetres(values[1])};
  scale.region = {0, run.columns - 1, 0, run.rows - 1};
  scale.from = "the file's Pixel Spacing";
  return scale;
}

}  // namespace

void FillUltrasound(const Item& dataset, Run& run) {
  if (run.kind != RunKind::kUltrasound) return;
  run.ultrasound = LargestRegion(dataset, run);
  if (!run.ultrasound) run.ultrasound = PlainSpacing(dataset, run);
  if (!run.ultrasound) Warn(run, "The file does not say how large a pixel is; nothing can be measured until it is given.");
  const std::optional<double> speed = NumberOf(dataset, tags::kPullbackRate);
  const std::string how = TextOf(dataset, tags::kPullbackKind);
  if (speed && std::isfinite(*speed) && *speed > 0.0 && *speed <= kMostSpeed && how != "MANUAL_PULLBACK") run.pullback_mm_s = *speed;
  if (how == "MANUAL_PULLBACK") Warn(run, "The catheter was drawn back by hand: frames have an order, but no distances.");
}

}  // namespace fairlead
