// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/polar.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <thread>

namespace fairlead {
namespace {

constexpr int kDeepest = 256, kShallowest = 40;   // samples along a ray
constexpr int kPhases = 256;                      // of a bilinear weight

// Where a sample of the polar picture lies in the frame: four neighbours and their weights (of 65536).
struct Place {
  std::uint32_t at = 0;
  std::uint16_t right = 0, below = 0;             // shares of 256
};

std::vector<Place> PlacesOf(const PictureStack& stack, int depth, double step) {
  std::vector<Place> places;
  places.reserve(static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(depth));
  for (int ray = 0; ray < kAngles; ++ray) {
    const double turn = 2.0 * std::numbers::pi * ray / kAngles;
    const double dx = std::cos(turn) * step / stack.column_spacing.millimetres(), dy = std::sin(turn) * step / stack.row_spacing.millimetres();
    for (int i = 0; i < depth; ++i) {
      const double x = std::clamp(stack.centre_x + i * dx, 0.0, stack.columns - 1.001), y = std::clamp(stack.centre_y + i * dy, 0.0, stack.rows - 1.001);
      const double left = std::floor(x), top = std::floor(y);
      places.push_back({static_cast<std::uint32_t>(top) * static_cast<std::uint32_t>(stack.columns) + static_cast<std::uint32_t>(left),
                        static_cast<std::uint16_t>((x - left) * kPhases), static_cast<std::uint16_t>((y - top) * kPhases)});
    }
  }
  return places;
}

void ConvertFrame(const std::uint8_t* frame, const PictureStack& stack, const std::vector<Place>& places, std::uint8_t* out) {
  const auto row = static_cast<std::size_t>(stack.columns);
  for (std::size_t i = 0; i < places.size(); ++i) {
    const Place& place = places[i];
    const std::uint8_t* p = frame + place.at;
    const unsigned top = p[0] * (256U - place.right) + p[1] * static_cast<unsigned>(place.right);
    const unsigned bottom = p[row] * (256U - place.right) + p[row + 1] * static_cast<unsigned>(place.right);
    out[i] = static_cast<std::uint8_t>((top * (256U - place.below) + bottom * place.below + 32768U) >> 16);
  }
}

// Brightness of colours: the weights of ITU-R BT.601, in 256ths.
void Brightness(std::span<const std::uint8_t> rgb, std::vector<std::uint8_t>& grey) {
  for (std::size_t i = 0; i < grey.size(); ++i) {
    grey[i] = static_cast<std::uint8_t>((77U * rgb[3 * i] + 150U * rgb[3 * i + 1] + 29U * rgb[3 * i + 2]) >> 8);
  }
}

Status CheckStack(const PictureStack& stack) {
  if (stack.frames < 1 || stack.rows < 2 || stack.columns < 2 || (stack.samples != 1 && stack.samples != 3)) {
    return Error{"there are no frames to read borders from", "pullback", "give a grey or RGB pullback"};
  }
  const std::size_t size = static_cast<std::size_t>(stack.rows) * static_cast<std::size_t>(stack.columns) * static_cast<std::size_t>(stack.samples);
  if (stack.bytes.size() < size * static_cast<std::size_t>(stack.frames)) return Error{"the frames are cut off", "pullback", "import the file again"};
  const double down = stack.row_spacing.millimetres(), across = stack.column_spacing.millimetres();
  if (!(down > 0.0 && down <= 1.0 && across > 0.0 && across <= 1.0)) {
    return Error{"how large a pixel is is not known", "pullback", "give its size; nothing is assumed"};
  }
  const bool within = stack.centre_x >= 1.0 && stack.centre_y >= 1.0 && stack.centre_x <= stack.columns - 2.0 && stack.centre_y <= stack.rows - 2.0;
  if (!within) return Error{"the catheter's centre lies outside the picture", "pullback", "give it in pixels"};
  return Done{};
}

}  // namespace

Result<Polar> ToPolar(const PictureStack& stack, std::stop_token stop) {
  if (auto good = CheckStack(stack); !good.ok()) return good.error();
  const double across = stack.column_spacing.millimetres(), down = stack.row_spacing.millimetres();
  const double reach = std::max({stack.centre_x * across, (stack.columns - 1 - stack.centre_x) * across, stack.centre_y * down,
                                 (stack.rows - 1 - stack.centre_y) * down});
  Polar polar;
  polar.frames = stack.frames;
  polar.step_mm = std::max({0.02, across, reach / kDeepest});
  polar.depth = std::min(kDeepest, static_cast<int>(reach / polar.step_mm) + 1);
  if (polar.depth < kShallowest) return Error{"the picture is too small for borders", "pullback", "give one of at least 40 pixels from centre to edge"};
  const auto places = PlacesOf(stack, polar.depth, polar.step_mm);
  polar.grey.resize(places.size() * static_cast<std::size_t>(stack.frames));
  const std::size_t pixels = static_cast<std::size_t>(stack.rows) * static_cast<std::size_t>(stack.columns);
  const auto work = [&](int first) {
    std::vector<std::uint8_t> grey(stack.samples == 3 ? pixels : 0);
    for (int frame = first; frame < stack.frames && !stop.stop_requested(); frame += 2) {
      const auto from = stack.bytes.subspan(pixels * static_cast<std::size_t>(stack.samples) * static_cast<std::size_t>(frame));
      if (stack.samples == 3) Brightness(from, grey);
      ConvertFrame(stack.samples == 3 ? grey.data() : from.data(), stack, places, &polar.grey[places.size() * static_cast<std::size_t>(frame)]);
    }
  };
  std::jthread other(work, 1);
  work(0);
  other.join();
  if (stop.stop_requested()) return Error{"stopped", "", "", Fault::kInput};
  return polar;
}

}  // namespace fairlead
