// SPDX-License-Identifier: Apache-2.0
#include "record/deidentify/burned.h"

#include <algorithm>
#include <cstdlib>

namespace fairlead {
namespace {

// All chosen: signs are 6 to 40 pixels high, and change from dark to bright at once.
constexpr int kCell = 8;
constexpr int kEdgesOfText = 10;  // sharp steps in a cell of 64 pixels
constexpr double kStep = 0.35;    // of the picture's range
constexpr double kLeast = 0.12;   // of all that its bits can hold: letters are burned in bright or dark, noise is not
constexpr std::size_t kMostBoxes = 16;

double ValueAt(const Run& run, Bytes frames, int frame, int x, int y) {
  const std::size_t at = static_cast<std::size_t>(frame) * FrameBytes(run) + (static_cast<std::size_t>(y) * static_cast<std::size_t>(run.columns) + static_cast<std::size_t>(x)) * static_cast<std::size_t>(run.samples * run.bits / 8);
  return run.bits == 8 ? frames[at] : frames[at] + 256.0 * frames[at + 1];
}

// Sharp steps between neighbours that are there in the first, middle and last frame alike.
int StillEdges(const Run& run, Bytes frames, int left, int top, double step) {
  int edges = 0;
  for (int y = top; y < std::min(top + kCell, run.rows); ++y)
    for (int x = left; x < std::min(left + kCell, run.columns - 1); ++x) {
      bool sharp = true;
      for (const int frame : {0, run.frames / 2, run.frames - 1}) sharp = sharp && std::abs(ValueAt(run, frames, frame, x, y) - ValueAt(run, frames, frame, x + 1, y)) > step;
      edges += sharp ? 1 : 0;
    }
  return edges;
}

bool Touch(const MaskBox& a, const MaskBox& b) {
  const int gap = 2 * kCell;
  return a.left - gap < b.left + b.width && b.left - gap < a.left + a.width && a.top - kCell < b.top + b.height && b.top - kCell < a.top + a.height;
}

MaskBox Both(const MaskBox& a, const MaskBox& b) {
  const int left = std::min(a.left, b.left), top = std::min(a.top, b.top);
  return {left, top, std::max(a.left + a.width, b.left + b.width) - left, std::max(a.top + a.height, b.top + b.height) - top};
}

}  // namespace

std::vector<MaskBox> SuspectText(const Run& run, Bytes frames) {
  if (run.frames < 1 || frames.size() < FrameBytes(run) * static_cast<std::size_t>(run.frames)) return {};
  double low = 65535.0, high = 0.0;
  for (int y = 0; y < run.rows; y += 2)
    for (int x = 0; x < run.columns; x += 2) low = std::min(low, ValueAt(run, frames, 0, x, y)), high = std::max(high, ValueAt(run, frames, 0, x, y));
  if (high - low < 8.0) return {};
  const double step = std::max(kStep * (high - low), kLeast * (run.bits == 8 ? 256.0 : static_cast<double>(1 << std::clamp(run.bits_stored, 8, 16))));
  std::vector<MaskBox> boxes;
  for (int top = 0; top < run.rows; top += kCell)
    for (int left = 0; left < run.columns; left += kCell) {
      if (StillEdges(run, frames, left, top, step) < kEdgesOfText) continue;
      MaskBox box{left, top, std::min(kCell, run.columns - left), std::min(kCell, run.rows - top)};
      for (auto other = boxes.begin(); other != boxes.end();) {
        if (!Touch(*other, box)) { ++other; continue; }
        box = Both(*other, box);
        boxes.erase(other);
        other = boxes.begin();
      }
      boxes.push_back(box);
    }
  std::ranges::sort(boxes, std::greater<>(), [](const MaskBox& box) { return box.width * box.height; });
  boxes.resize(std::min(boxes.size(), kMostBoxes));
  for (MaskBox& box : boxes) box = {std::max(0, box.left - kCell), std::max(0, box.top - kCell), box.width + 2 * kCell, box.height + 2 * kCell};
  return boxes;
}

std::string SuspectHeader(const Run& run) {
  if (run.burned_in == "YES") return "the file says so";
  if (run.kind == RunKind::kUltrasound) return "ultrasound";
  if (run.kind == RunKind::kSecondaryCapture || run.kind == RunKind::kStill) return "secondary capture";
  if (run.samples == 3) return "colour";
  return run.burned_in.empty() ? "the file does not say" : "";
}

}  // namespace fairlead
