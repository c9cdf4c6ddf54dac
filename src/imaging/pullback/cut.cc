// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/cut.h"

#include <utility>

namespace fairlead {

Result<CutRays> RaysForCuts(const PictureStack& stack, int first, int last, std::stop_token stop) {
  if (first < 0 || last < first || last >= stack.frames) {
    return Error{"these frames are not in the pullback", std::to_string(first) + " to " + std::to_string(last), "count from 0, first and last included"};
  }
  PictureStack part = stack;
  const std::size_t size = static_cast<std::size_t>(stack.rows) * static_cast<std::size_t>(stack.columns) * static_cast<std::size_t>(stack.samples);
  if (stack.bytes.size() < size * static_cast<std::size_t>(stack.frames)) return Error{"the frames are cut off", "pullback", "import the file again"};
  part.bytes = stack.bytes.subspan(size * static_cast<std::size_t>(first), size * static_cast<std::size_t>(last - first + 1));
  part.frames = last - first + 1;
  // Columns count 1, whatever they measure: 0.5 keeps any picture within what ToPolar takes for millimetres.
  constexpr double kColumn = 0.5;
  const double down = stack.column_spacing > Length{} && stack.row_spacing > Length{} ? stack.row_spacing / stack.column_spacing : 1.0;
  part.column_spacing = Length::Millimetres(kColumn);
  part.row_spacing = Length::Millimetres(kColumn * down);
  auto polar = ToPolar(part, std::move(stop));
  if (!polar.ok()) return polar.error();
  const int of = polar->depth > kCutDeepest ? 2 : 1;  // samples that become one
  CutRays rays{first, last, polar->depth / of, polar->step_mm / kColumn * of, {}};
  rays.grey.reserve(static_cast<std::size_t>(part.frames) * kAngles * static_cast<std::size_t>(rays.depth));
  for (int frame = 0; frame < part.frames; ++frame) {
    for (int ray = 0; ray < kAngles; ++ray) {
      const auto grey = polar->Ray(frame, ray);
      for (std::size_t i = 0; i < static_cast<std::size_t>(rays.depth); ++i) {
        const std::size_t at = 2 * i, before = at == 0 ? 0 : at - 1;
        rays.grey.push_back(of == 1 ? grey[i] : static_cast<std::uint8_t>((grey[before] + 2 * grey[at] + grey[at + 1] + 2) / 4));
      }
    }
  }
  return rays;
}

}  // namespace fairlead
