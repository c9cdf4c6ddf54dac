// SPDX-License-Identifier: Apache-2.0
// The discs of a fit: a lumen and what lies in it, to scale, by the packing of reasoning/kit.
#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "reasoning/kit/fit.h"
#include "record/report/drawing.h"

namespace fairlead {
namespace {

constexpr double kSide = 400.0, kWall = 190.0;  // of the picture; radius of the lumen
constexpr std::size_t kMostDiscs = 12;
constexpr InkColour kDisc{127, 168, 208}, kEdge{40, 60, 80}, kLumen{246, 248, 247}, kText{20, 20, 20};

std::vector<PixelPoint> RoundOf(double x, double y, double radius) {
  std::vector<PixelPoint> points;
  points.reserve(72);
  for (int i = 0; i < 72; ++i) points.push_back({x + radius * std::cos(i * std::numbers::pi / 36.0), y + radius * std::sin(i * std::numbers::pi / 36.0)});
  return points;
}

// "1.80mm 2.6F 0.014in": the first is the lumen.
Result<std::vector<PrintedSize>> SizesIn(std::string_view text) {
  std::vector<PrintedSize> sizes;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    if (end > 0) {
      auto size = ParseSize(text.substr(0, end));
      if (!size.ok()) return size.error();
      sizes.push_back(std::move(*size));
    }
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  if (sizes.size() < 2 || sizes.size() > kMostDiscs + 1) return Error{"a fit is a lumen and 1 to 12 sizes", "", "write picture: fit 1.80mm 2.6F 0.014in"};
  if (sizes.front().unit == SizeUnit::kFrench) return Error{"a lumen in French names the outside of a catheter", sizes.front().text, "give the lumen in mm or in"};
  return sizes;
}

}  // namespace

KeyPicture FitPicture(const std::string& sizes) {
  KeyPicture picture;
  picture.title = "Fit: " + sizes;
  auto read = SizesIn(sizes);
  if (!read.ok()) {
    picture.missing = Sentence(read.error());
    return picture;
  }
  const PrintedSize lumen = read->front();
  const std::vector<PrintedSize> circles(read->begin() + 1, read->end());
  const FitAnswer answer = FitCircles({.name = lumen.text, .lumen = lumen.value, .rounding = lumen.resolution / 2.0}, circles);
  picture.width = picture.height = kSide;
  picture.marks.push_back(fmt::format("{}: margin {:.3f} mm; the least lumen that holds them {:.3f} mm", WordOf(answer.fit), answer.margin.millimetres(), answer.smallest.millimetres()));
  picture.marks.emplace_back("circles alone, no order, no bends: printed sizes at their nominal value");
  // Too small a lumen is drawn as it is, and the discs stand out of it.
  const double scale = 2.0 * kWall / std::max(lumen.value.millimetres(), answer.smallest.millimetres());
  picture.shapes.push_back({RoundOf(kSide / 2.0, kSide / 2.0, scale * lumen.value.millimetres() / 2.0), kLumen, 0.0, true, false});
  picture.shapes.push_back({RoundOf(kSide / 2.0, kSide / 2.0, scale * lumen.value.millimetres() / 2.0), kEdge, 3.0, true, false});
  for (std::size_t i = 0; i < answer.places.size(); ++i) {
    const Place& place = answer.places[i];
    const double x = kSide / 2.0 + scale * place.x.millimetres(), y = kSide / 2.0 - scale * place.y.millimetres(), radius = scale * place.diameter.millimetres() / 2.0;
    picture.shapes.push_back({RoundOf(x, y, radius), kDisc, 0.0, true, false});
    picture.shapes.push_back({RoundOf(x, y, radius), kEdge, 1.2, true, false});
    if (radius > 22.0) picture.words.push_back({{x - 20.0, y + 4.0}, fmt::format("{:.3g}", place.diameter.millimetres()), 13.0, kText, false});
  }
  return picture;
}

}  // namespace fairlead
