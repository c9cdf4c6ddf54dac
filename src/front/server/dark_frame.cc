// SPDX-License-Identifier: Apache-2.0
#include "front/server/dark_frame.h"

#include <algorithm>
#include <cstddef>
#include <string>

namespace fairlead {
namespace {

std::vector<std::uint8_t> TurnedOver(const Run& run, std::span<const std::uint8_t> bytes) {
  std::vector<std::uint8_t> turned(bytes.begin(), bytes.end());
  const unsigned top = run.bits_stored >= 16 ? 0xffffU : (1U << run.bits_stored) - 1U;
  if (run.bits == 8) {
    for (std::uint8_t& value : turned) value = static_cast<std::uint8_t>(top - std::min<unsigned>(value, top));
    return turned;
  }
  for (std::size_t i = 0; i + 1 < turned.size(); i += 2) {
    const unsigned value = turned[i] | static_cast<unsigned>(turned[i + 1] << 8);
    const unsigned other = top - std::min(value, top);
    turned[i] = static_cast<std::uint8_t>(other & 0xffU);
    turned[i + 1] = static_cast<std::uint8_t>(other >> 8);
  }
  return turned;
}

}  // namespace

DarkFrame::DarkFrame(const Run& run, std::span<const std::uint8_t> bytes)
    : bytes_(bytes), rows_(run.rows), columns_(run.columns), bytes_per_value_(run.bits == 16 ? 2 : 1) {
  if (run.inverse) turned_ = TurnedOver(run, bytes);
}

Status CheckMeasurable(const Run& run, int frame) {
  if (run.samples != 1) return Error{"this run is in colour", "", "measure on an X-ray angiogram"};
  if (frame < 0 || frame >= run.frames) return Error{"the run has " + std::to_string(run.frames) + " frames", "frame", "choose one, counted from 0"};
  return Done{};
}

std::optional<InsideShutter> InsideOf(const Run& run) {
  if (!run.shutter) return std::nullopt;
  constexpr int kSoft = 2;  // pixels over which a collimator's edge is blurred
  return InsideShutter{run.shutter->left + kSoft, run.shutter->right - kSoft, run.shutter->top + kSoft, run.shutter->bottom - kSoft};
}

Result<PixelSize> PixelSizeByGeometry(const Run& run) {
  if (!run.pixel_size) {
    return Error{"this run does not say how large a pixel is at the isocentre", run.spacing_from, "calibrate by a catheter of known size"};
  }
  PixelSize pixel;
  pixel.per_pixel = run.pixel_size->per_pixel;
  pixel.sd = run.pixel_size->sd;
  pixel.parts = run.pixel_size->parts;
  pixel.method = run.pixel_size->method;
  pixel.warnings.emplace_back("By geometry the size holds at the isocentre; the vessel may lie nearer or farther.");
  return pixel;
}

}  // namespace fairlead
