// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include <algorithm>

#include "record/picture/base64.h"
#include "record/report/drawing.h"
#include "record/report/html_text.h"

namespace fairlead {
namespace {

std::string ColourText(const InkColour& colour) { return fmt::format("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue); }

void AddShape(std::string& svg, const PictureShape& shape) {
  std::string points;
  for (const PixelPoint& point : shape.points) points += fmt::format("{}{:.1f},{:.1f}", points.empty() ? "" : " ", point.x, point.y);
  const char* kind = shape.closed || shape.width <= 0.0 ? "polygon" : "polyline";
  const auto draw = [&](const std::string& stroke, double width) { svg += fmt::format("<{} points=\"{}\" fill=\"none\" stroke=\"{}\" stroke-width=\"{:.2f}\" stroke-linejoin=\"round\"/>", kind, points, stroke, width); };
  if (shape.width <= 0.0) {
    svg += fmt::format("<polygon points=\"{}\" fill=\"{}\"/>", points, ColourText(shape.colour));
    return;
  }
  if (shape.halo) draw("#000", shape.width * 2.4);
  draw(ColourText(shape.colour), shape.width);
}

void AddSaid(std::string& svg, const PictureWords& words) {
  svg += fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" font-size=\"{:.1f}\" font-family=\"DejaVu Sans,sans-serif\" fill=\"{}\"{}>{}</text>", words.at.x, words.at.y, words.size, ColourText(words.colour),
                     words.halo ? fmt::format(" stroke=\"#000\" stroke-width=\"{:.1f}\" paint-order=\"stroke\" font-weight=\"bold\"", words.size / 5.0) : "", HtmlText(words.text));
}

}  // namespace

std::string PictureSvg(const KeyPicture& picture) {
  if (!picture.missing.empty() || picture.width <= 0.0 || picture.height <= 0.0 || (picture.raster == nullptr && picture.shapes.empty())) return {};
  std::string svg = fmt::format("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {:.0f} {:.0f}\" role=\"img\" aria-label=\"{}\">", picture.width, picture.height, HtmlText(picture.title));
  if (picture.raster != nullptr) svg += fmt::format("<image width=\"{:.0f}\" height=\"{:.0f}\" preserveAspectRatio=\"none\" href=\"data:image/png;base64,{}\"/>", picture.width, picture.height, Base64(PngBytes(*picture.raster)));
  for (const PictureShape& shape : picture.shapes) AddShape(svg, shape);
  for (const PictureWords& words : picture.words) AddSaid(svg, words);
  return svg + "</svg>";
}

}  // namespace fairlead
