// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/moments.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "imaging/dicom/darkening.h"
#include "imaging/trace/vesselness.h"

namespace fairlead {
namespace {

// All chosen: practice, no source.
constexpr double kRidgeShare = 0.05;                    // of the pixels
constexpr double kFull = 0.9;                            // of the fullest: from here on a frame may be suggested
constexpr int kBeside = 3;                               // pixels of the halved picture
constexpr double kLeastRise = 1.5;                      // fullest against emptiest
constexpr double kLeastOverNoise = 1.0;                 // of their difference
constexpr int kSmall = 96;                              // pixels: a vessel is 1 to 3 wide
constexpr std::size_t kLeastFrames = 8;
constexpr double kMotionWeight = 0.5, kBeatWeight = 0.3;
// Late in diastole the arteries rest longest (three quarters of the beat).
constexpr double kRestAt = 0.75, kRestWide = 0.25;

// On and beside the strongest tubes: a crest itself has no slope.
std::vector<int> Ridges(const Vesselness& vesselness) {
  const float limit = std::min(StrengthAtShare(vesselness, 1.0 - kRidgeShare), 0.9f * StrengthAtShare(vesselness, 1.0));
  std::vector<char> near(vesselness.strength.size(), 0);
  for (int row = 0; row < vesselness.rows; ++row) {
    for (int column = 0; column < vesselness.columns; ++column) {
      if (!(vesselness.strength[static_cast<std::size_t>(row * vesselness.columns + column)] > limit)) continue;
      for (int r = std::max(0, row - kBeside); r <= std::min(vesselness.rows - 1, row + kBeside); ++r) {
        for (int c = std::max(0, column - kBeside); c <= std::min(vesselness.columns - 1, column + kBeside); ++c) near[static_cast<std::size_t>(r * vesselness.columns + c)] = 1;
      }
    }
  }
  std::vector<int> places;
  for (std::size_t i = 0; i < near.size(); ++i) {
    if (near[i] != 0) places.push_back(static_cast<int>(i));
  }
  return places;
}

// Change in time over slope in space, by least squares over the ridges: how far edges move across themselves from
// `before` to `after`, `gap` frames apart, in pixels of these pictures a frame.
double NormalFlow(const Picture& before, const Picture& here, const Picture& after, int gap, const std::vector<int>& places) {
  double change = 0.0, slope = 0.0;
  for (const int i : places) {
    const int column = i % here.columns, row = i / here.columns;
    if (column < 1 || row < 1 || column + 1 >= here.columns || row + 1 >= here.rows) continue;
    const double dx = 0.5 * static_cast<double>(here.at(column + 1, row) - here.at(column - 1, row));
    const double dy = 0.5 * static_cast<double>(here.at(column, row + 1) - here.at(column, row - 1));
    const double dt = static_cast<double>(after.at(column, row) - before.at(column, row)) / gap;
    change += dt * dt, slope += dx * dx + dy * dy;
  }
  return slope > 0.0 ? std::sqrt(change / slope) : 0.0;
}

std::optional<double> OfBeat(std::span<const int> r_waves, int frame) {
  for (std::size_t i = 0; i + 1 < r_waves.size(); ++i) {
    if (r_waves[i] <= frame && frame < r_waves[i + 1]) return static_cast<double>(frame - r_waves[i]) / static_cast<double>(r_waves[i + 1] - r_waves[i]);
  }
  return std::nullopt;
}

double Centile95(std::vector<double> values) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(0.95 * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

void Suggest(RunMoments& run) {
  std::vector<double> motions;
  for (const FrameMoment& moment : run.frames) motions.push_back(moment.motion_px);
  const double usual = std::max(1e-9, Centile95(motions));
  double best = 0.0;
  for (std::size_t i = 0; i < run.frames.size(); ++i) {
    const FrameMoment& moment = run.frames[i];
    if (moment.contrast < kFull) continue;
    const double off = moment.of_beat ? std::min(1.0, std::abs(*moment.of_beat - kRestAt) / kRestWide) : 0.0;
    const double worth = moment.contrast - kMotionWeight * std::min(1.0, moment.motion_px / usual) - kBeatWeight * off;
    if (!run.suggested || worth > best) best = worth, run.suggested = static_cast<int>(i);
  }
  const FrameMoment& moment = run.frames[static_cast<std::size_t>(*run.suggested)];
  run.because = fmt::format("Contrast {:.0f} % of the fullest, vessels move {:.1f} pixels a frame", 100.0 * moment.contrast, moment.motion_px);
  run.because += moment.of_beat ? fmt::format(", {:.0f} % of the beat.", 100.0 * *moment.of_beat) : "; the file marks no beat here.";
}

}  // namespace

void MomentFinder::Add(const Picture& frame) {
  held_.push_back(Halved(frame));
  const std::size_t n = held_.size();
  if (n == 2) motion_px_.push_back(2.0 * NormalFlow(held_[0], held_[0], held_[1], 1, ridges_));
  if (n == 3) {
    motion_px_.push_back(2.0 * NormalFlow(held_[0], held_[1], held_[2], 2, ridges_));
    held_.erase(held_.begin());
  }
  ridges_ = Ridges(VesselnessOf(held_.back()));
  Picture small = Halved(held_.back());
  while (std::max(small.rows, small.columns) > kSmall) small = Halved(small);
  small_columns_ = small.columns;
  small_.push_back(std::move(small.values));
}

RunMoments MomentFinder::Find(std::span<const int> r_waves) const {
  RunMoments run;
  const Darkening darkening = DarkeningOf(small_, small_columns_);
  const std::vector<double>& strength = darkening.of_frame;
  const auto n = static_cast<int>(strength.size());
  std::vector<double> smooth;
  for (int i = 0; i < n; ++i) {
    const int first = std::max(0, i - 1), last = std::min(n - 1, i + 1);
    double sum = 0.0;
    for (int k = first; k <= last; ++k) sum += strength[static_cast<std::size_t>(k)];
    smooth.push_back(sum / (last - first + 1));
  }
  const double fullest = n > 0 ? *std::max_element(smooth.begin(), smooth.end()) : 0.0, emptiest = n > 0 ? *std::min_element(smooth.begin(), smooth.end()) : 0.0;
  for (int i = 0; i < n; ++i) {
    const auto at = static_cast<std::size_t>(i);
    FrameMoment moment;
    moment.contrast = fullest > 0.0 ? smooth[at] / fullest : 0.0;
    if (at < motion_px_.size()) moment.motion_px = motion_px_[at];
    else if (n > 1) moment.motion_px = 2.0 * NormalFlow(held_[held_.size() - 2], held_.back(), held_.back(), 1, ridges_);
    moment.of_beat = OfBeat(r_waves, i);
    run.frames.push_back(moment);
  }
  if (strength.size() < kLeastFrames) run.because = "The run is too short to compare its frames.";
  else if (!(fullest > kLeastRise * emptiest && fullest - emptiest > kLeastOverNoise * darkening.noise)) run.because = "Contrast hardly changes over this run: no frame stands out.";
  else Suggest(run);
  return run;
}

}  // namespace fairlead
