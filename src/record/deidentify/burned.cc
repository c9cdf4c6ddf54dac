// SPDX-License-Identifier: Apache-2.0
// Letters stand still and sharp while the heart moves and noise changes: the mean of a few frames keeps them and blurs the rest. In
// it a patch of text has steps up and steps down, across and along, close together. Looked for at three sizes.
#include "record/deidentify/burned.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace fairlead {
namespace {

// All chosen, and measured by bench_record_deidentify (docs/methods-record.md).
constexpr int kCell = 8, kMostFrames = 8;
constexpr double kOverNoise = 4.0;      // a step, against the spread of its surroundings
constexpr double kLeastStep = 0.022;    // of all that the bits can hold
constexpr int kEachWay = 3, kEdges = 14;  // steps up and down in a cell, and in all, of 128 that it could have
constexpr int kFewestCells = 2;
constexpr std::size_t kMostBoxes = 32;

struct Grey {
  int rows = 0, columns = 0;
  std::vector<float> at;  // rows x columns
  float operator()(int x, int y) const { return at[static_cast<std::size_t>(y) * static_cast<std::size_t>(columns) + static_cast<std::size_t>(x)]; }
};

Grey MeanOf(const Run& run, Bytes frames) {
  const std::size_t count = static_cast<std::size_t>(run.rows) * static_cast<std::size_t>(run.columns), samples = static_cast<std::size_t>(run.samples);
  Grey mean{run.rows, run.columns, std::vector<float>(count)};
  const int taken = std::min(run.frames, kMostFrames);
  for (int i = 0; i < taken; ++i) {
    const std::size_t frame = static_cast<std::size_t>(taken == 1 ? 0 : i * (run.frames - 1) / (taken - 1)) * FrameBytes(run);
    for (std::size_t p = 0; p < count; ++p) {
      float sum = 0.0F;
      for (std::size_t s = 0; s < samples; ++s) sum += run.bits == 8 ? static_cast<float>(frames[frame + p * samples + s]) : static_cast<float>(frames[frame + 2 * (p * samples + s)] + 256 * frames[frame + 2 * (p * samples + s) + 1]);
      mean.at[p] += sum / static_cast<float>(run.samples * taken);
    }
  }
  return mean;
}

Grey Halved(const Grey& grey) {
  Grey half{grey.rows / 2, grey.columns / 2, {}};
  half.at.reserve(static_cast<std::size_t>(half.rows) * static_cast<std::size_t>(half.columns));
  for (int y = 0; y < half.rows; ++y)
    for (int x = 0; x < half.columns; ++x) half.at.push_back((grey(2 * x, 2 * y) + grey(2 * x + 1, 2 * y) + grey(2 * x, 2 * y + 1) + grey(2 * x + 1, 2 * y + 1)) / 4.0F);
  return half;
}

// A step over one pixel: the difference of its neighbours.
float Step(const Grey& grey, int x, int y, bool down) { return down ? grey(x, y + 1) - grey(x, y - 1) : grey(x + 1, y) - grey(x - 1, y); }

// The spread of steps around a cell, by their median size: text is less than half of a surrounding and does not raise it much. Steps that
// are exactly nothing lie under a shutter or in a drawn background: they say nothing of the noise beside them.
double SpreadAround(const Grey& grey, int left, int top) {
  constexpr int kAround = 12;
  constexpr double kLeastShare = 0.3, kToSd = 1.4826;  // chosen; of a normal distribution's median size
  std::vector<float> sizes;
  std::size_t all = 0;
  for (int y = std::max(1, top - kAround); y < std::min(top + kCell + kAround, grey.rows - 1); y += 2)
    for (int x = std::max(1, left - kAround); x < std::min(left + kCell + kAround, grey.columns - 1); ++x) {
      const float size = std::abs(Step(grey, x, y, (x & 1) != 0));
      ++all;
      if (size > 0.0F) sizes.push_back(size);
    }
  if (static_cast<double>(sizes.size()) < kLeastShare * static_cast<double>(all)) return 0.0;
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::ranges::nth_element(sizes, middle);
  return kToSd * static_cast<double>(*middle);
}

// Steps across come from upright strokes, steps along from lying ones.
struct Steps {
  int across_up = 0, across_down = 0, along_up = 0, along_down = 0;
};
Steps StepsIn(const Grey& grey, int left, int top, double least) {
  Steps steps;
  for (int y = std::max(1, top); y < std::min(top + kCell, grey.rows - 1); ++y)
    for (int x = std::max(1, left); x < std::min(left + kCell, grey.columns - 1); ++x) {
      const double across = static_cast<double>(Step(grey, x, y, false)), along = static_cast<double>(Step(grey, x, y, true));
      if (std::abs(across) > least) ++(across > 0.0 ? steps.across_up : steps.across_down);
      if (std::abs(along) > least) ++(along > 0.0 ? steps.along_up : steps.along_down);
    }
  return steps;
}
// Both ways in one direction and some in the other: lines of text lie, stand or lean.
bool LikeText(const Steps& steps) {
  const int across = steps.across_up + steps.across_down, along = steps.along_up + steps.along_down;
  const bool lies = std::min(steps.across_up, steps.across_down) >= kEachWay && along >= kEachWay;
  const bool stands = std::min(steps.along_up, steps.along_down) >= kEachWay && across >= kEachWay;
  return (lies || stands) && across + along >= kEdges;
}

struct Patch {
  MaskBox box;
  int cells = 1;
};

bool Touch(const MaskBox& a, const MaskBox& b, int gap) {
  return a.left - 2 * gap < b.left + b.width && b.left - 2 * gap < a.left + a.width && a.top - gap < b.top + b.height && b.top - gap < a.top + a.height;
}
MaskBox Both(const MaskBox& a, const MaskBox& b) {
  const int left = std::min(a.left, b.left), top = std::min(a.top, b.top);
  return {left, top, std::max(a.left + a.width, b.left + b.width) - left, std::max(a.top + a.height, b.top + b.height) - top};
}
void Join(std::vector<Patch>& patches, Patch patch, int gap) {
  for (auto other = patches.begin(); other != patches.end();) {
    if (!Touch(other->box, patch.box, gap)) { ++other; continue; }
    patch = {Both(other->box, patch.box), other->cells + patch.cells};
    patches.erase(other);
    other = patches.begin();
  }
  patches.push_back(patch);
}

// Letters fill their line; a catheter or a wire runs through its box.
bool LikeLine(const Patch& patch) {
  constexpr double kLeastFilled = 0.45;
  const double places = (patch.box.width / (kCell / 2) - 1.0) * (patch.box.height / (kCell / 2) - 1.0);
  return patch.cells >= kFewestCells && patch.box.width > kCell && patch.cells >= kLeastFilled * places;
}

// Which cells of a picture look like text; a cell begins at every half of one.
struct CellMap {
  int rows = 0, columns = 0;
  std::vector<char> like;  // rows x columns
  bool at(int row, int column) const { return row >= 0 && column >= 0 && row < rows && column < columns && like[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns) + static_cast<std::size_t>(column)] != 0; }
};

// Of cells that grew together into something that is no line, those that lie close: text that touches a catheter.
std::vector<Patch> CloseOnes(const CellMap& cells, const MaskBox& box) {
  constexpr int kHalf = kCell / 2, kReach = 2, kLeastClose = 9;  // of the 25 places within reach; chosen
  std::vector<Patch> patches;
  for (int row = box.top / kHalf; row * kHalf + kCell <= box.top + box.height; ++row)
    for (int column = box.left / kHalf; column * kHalf + kCell <= box.left + box.width; ++column) {
      if (!cells.at(row, column)) continue;
      int close = 0;
      for (int i = -kReach; i <= kReach; ++i)
        for (int j = -kReach; j <= kReach; ++j) close += cells.at(row + i, column + j) ? 1 : 0;
      if (close >= kLeastClose) Join(patches, {{column * kHalf, row * kHalf, kCell, kCell}}, 0);
    }
  std::erase_if(patches, [](const Patch& patch) { return !LikeLine(patch); });
  return patches;
}

// Patches at one size, in its own pixels. Cells lie over each other by half, so that no line of letters falls between two.
std::vector<Patch> PatchesIn(const Grey& grey, double least) {
  constexpr int kHalf = kCell / 2;
  std::vector<Patch> patches, lines;
  CellMap cells{grey.rows / kHalf - 1, grey.columns / kHalf - 1, {}};
  cells.like.assign(static_cast<std::size_t>(cells.rows) * static_cast<std::size_t>(cells.columns), 0);
  for (int row = 0; row < cells.rows; ++row)
    for (int column = 0; column < cells.columns; ++column) {
      const int left = column * kHalf, top = row * kHalf;
      // Most cells hold no step at all: their surroundings need not be looked at.
      if (!LikeText(StepsIn(grey, left, top, least))) continue;
      const double most = kOverNoise * SpreadAround(grey, left, top);
      if (most > least && !LikeText(StepsIn(grey, left, top, most))) continue;
      cells.like[static_cast<std::size_t>(row) * static_cast<std::size_t>(cells.columns) + static_cast<std::size_t>(column)] = 1;
      Join(patches, {{left, top, kCell, kCell}}, kCell / 4);
    }
  for (const Patch& patch : patches) {
    if (LikeLine(patch)) lines.push_back(patch);
    else for (const Patch& close : CloseOnes(cells, patch.box)) lines.push_back(close);
  }
  return lines;
}

}  // namespace

std::vector<MaskBox> SuspectText(const Run& run, Bytes frames) {
  if (run.frames < 1 || run.samples < 1 || frames.size() < FrameBytes(run) * static_cast<std::size_t>(run.frames)) return {};
  const double least = kLeastStep * (run.bits == 8 ? 256.0 : static_cast<double>(1 << std::clamp(run.bits_stored, 8, 16)));
  std::vector<Patch> found;
  Grey grey = MeanOf(run, frames);
  for (int times = 1; times <= 4 && grey.rows >= 2 * kCell && grey.columns >= 2 * kCell; times *= 2) {
    for (Patch patch : PatchesIn(grey, least)) {
      patch.box = {patch.box.left * times, patch.box.top * times, patch.box.width * times, patch.box.height * times};
      Join(found, patch, kCell);
    }
    grey = Halved(grey);
  }
  std::vector<MaskBox> boxes;
  for (const Patch& patch : found) boxes.push_back(patch.box);
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
