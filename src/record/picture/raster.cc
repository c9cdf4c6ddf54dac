// SPDX-License-Identifier: Apache-2.0
#include "record/picture/raster.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace fairlead {
namespace {

std::uint8_t GreyThrough(const Run& run, unsigned value) {
  const double width = std::max(1.0, run.window.width), low = run.window.center - run.window.width / 2.0;
  const double grey = std::clamp((value - low) / width * 255.0, 0.0, 255.0);
  return static_cast<std::uint8_t>(std::lround(run.inverse ? 255.0 - grey : grey));
}

void Cover(Raster& raster, const CoveredBox& box) {
  const int right = std::min(raster.columns, box.left + std::max(0, box.width)), bottom = std::min(raster.rows, box.top + std::max(0, box.height));
  for (int row = std::max(0, box.top); row < bottom; ++row)
    for (int at = std::max(0, box.left) * raster.samples; at < right * raster.samples; ++at)
      raster.bytes[static_cast<std::size_t>(row) * static_cast<std::size_t>(raster.columns * raster.samples) + static_cast<std::size_t>(at)] = 0;
}

Raster Halved(const Raster& whole) {
  Raster half{whole.columns / 2, whole.rows / 2, whole.samples, {}};
  half.bytes.reserve(static_cast<std::size_t>(half.columns) * static_cast<std::size_t>(half.rows) * static_cast<std::size_t>(half.samples));
  const std::size_t step = static_cast<std::size_t>(whole.samples), line = static_cast<std::size_t>(whole.columns) * step;
  for (int row = 0; row < half.rows; ++row) {
    for (int column = 0; column < half.columns; ++column) {
      for (std::size_t part = 0; part < step; ++part) {
        const std::size_t at = static_cast<std::size_t>(2 * row) * line + static_cast<std::size_t>(2 * column) * step + part;
        const unsigned sum = unsigned{whole.bytes[at]} + whole.bytes[at + step] + whole.bytes[at + line] + whole.bytes[at + line + step];
        half.bytes.push_back(static_cast<std::uint8_t>((sum + 2) / 4));
      }
    }
  }
  return half;
}

}  // namespace

void CoverBoxes(Raster& raster, const std::vector<CoveredBox>& boxes) {
  for (const CoveredBox& box : boxes) Cover(raster, box);
}

Raster RasterOf(const Run& run, std::span<const std::uint8_t> frame, const std::vector<CoveredBox>& boxes, int most_across) {
  if (run.columns <= 0 || run.rows <= 0 || frame.size() != FrameBytes(run)) return {};
  const std::size_t values = static_cast<std::size_t>(run.columns) * static_cast<std::size_t>(run.rows) * static_cast<std::size_t>(run.samples);
  Raster raster{run.columns, run.rows, run.samples, std::vector<std::uint8_t>(values)};
  if (run.bits == 16) {
    for (std::size_t i = 0; i < values; ++i) raster.bytes[i] = GreyThrough(run, frame[2 * i] | static_cast<unsigned>(frame[2 * i + 1]) << 8);
  } else if (run.samples == 3) {
    std::ranges::copy(frame, raster.bytes.begin());
  } else {
    std::array<std::uint8_t, 256> table{};
    for (unsigned value = 0; value < table.size(); ++value) table[value] = GreyThrough(run, value);
    std::ranges::transform(frame, raster.bytes.begin(), [&table](std::uint8_t value) { return table[value]; });
  }
  CoverBoxes(raster, boxes);
  while (std::max(raster.columns, raster.rows) > most_across && std::min(raster.columns, raster.rows) > 1) raster = Halved(raster);
  return raster;
}

}  // namespace fairlead
