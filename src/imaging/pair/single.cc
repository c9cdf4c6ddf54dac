// SPDX-License-Identifier: Apache-2.0
#include "imaging/pair/single.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "measure/normal.h"

namespace fairlead {
namespace {

struct CapsSeen {
  Click near, far;
};

bool SamePose(const View& a, const View& b) {
  return AngleBetweenBeams(a, b) < kSamePoseWithin && a.rows == b.rows && a.columns == b.columns &&
         std::abs(a.source_to_detector / b.source_to_detector - 1.0) < 0.01;
}

// The caps in one frame if any shows both, else in two frames of one pose.
std::optional<CapsSeen> CapsIn(const Seen& seen) {
  const SeenOcclusion& o = *seen.occlusion;
  for (const bool one : {true, false}) {
    for (const Click& near : o.near_cap.clicks) {
      for (const Click& far : o.far_cap.clicks) {
        if (one ? near.frame == far.frame : SamePose(seen.frames[near.frame].view, seen.frames[far.frame].view))
          return CapsSeen{near, far};
      }
    }
  }
  return std::nullopt;
}

double Median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  const std::size_t n = values.size();
  return n % 2 == 1 ? values[n / 2] : 0.5 * (values[n / 2 - 1] + values[n / 2]);
}

struct Moved {
  double column = 0.0, row = 0.0;
  std::size_t marks = 0;
};

// How far what both frames show moved in the picture between them: the median of the marks.
Moved MovedBetween(const Seen& seen, std::size_t from, std::size_t to) {
  std::vector<double> columns, rows;
  for (const SeenMark& mark : seen.marks) {
    const Click *a = nullptr, *b = nullptr;
    for (const Click& click : mark.clicks) {
      if (click.frame == from) a = &click;
      if (click.frame == to) b = &click;
    }
    if (a == nullptr || b == nullptr) continue;
    columns.push_back(b->at.column - a->at.column);
    rows.push_back(b->at.row - a->at.row);
  }
  if (columns.empty()) return {};
  return {Median(columns), Median(rows), columns.size()};
}

}  // namespace

Result<SingleView> LengthInOnePose(const Seen& seen) {
  const auto caps = seen.occlusion ? CapsIn(seen) : std::nullopt;
  if (!caps) {
    return Error{"the two caps are not seen in one frame, nor in two frames of one pose, nor both in two views",
                 "occlusion",
                 "mark both caps in one frame of a dual injection, or each cap in two views at least 30 degrees apart"};
  }
  SingleView out;
  const PairFrame &first = seen.frames[caps->near.frame], &second = seen.frames[caps->far.frame];
  out.one_frame = caps->near.frame == caps->far.frame;
  out.frames = out.one_frame ? first.key : first.key + " and " + second.key;
  Moved moved;
  if (!out.one_frame) moved = MovedBetween(seen, caps->near.frame, caps->far.frame);
  out.landmarks = moved.marks;
  const ImagePoint far{caps->far.at.column - moved.column, caps->far.at.row - moved.row};
  const double pixel = PixelSizeAtIsocentre(first.view).millimetres();
  const double length = Distance(caps->near.at, far) * pixel;
  const double clicks = moved.marks > 0 ? 2.0 + 2.0 / static_cast<double>(moved.marks) : 2.0;
  const double lean = kLean.radians(), sod = first.view.source_to_isocentre.millimetres();
  auto& parts = out.length.parts;
  parts.push_back({"clicks", Length::Millimetres(seen.click_sd_px * pixel * std::sqrt(clicks))});
  parts.push_back(
      {"depth of the lesion (taken at the isocentre)", Length::Millimetres(length * kDepthSd.millimetres() / sod)});
  // The true length is L / cos(lean); of a lean of N(0, s) the root mean square of the excess is sqrt(3)/2 s^2.
  parts.push_back({"lean out of the picture (assumed within 15 degrees)",
                   Length::Millimetres(length * std::sqrt(3.0) / 2.0 * lean * lean)});
  if (!out.one_frame) parts.push_back({"beat and breath between the frames", moved.marks > 0 ? kBeatSdKnown : kBeatSd});
  out.length.value = Length::Millimetres(length);
  out.length.sd = RootSumOfSquares(parts);
  out.over_20_mm = 1.0 - NormalCdf(19.95, length, out.length.sd->millimetres());
  out.sure_over_20 = length - 2.0 * out.length.sd->millimetres() >= 20.0;
  return out;
}

}  // namespace fairlead
