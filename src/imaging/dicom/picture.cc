// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/picture.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "imaging/dicom/darkening.h"

namespace fairlead {
namespace {

constexpr int kBinBits = 10;  // 1024 greys are enough for a window and a mean

// Which of `blocks` from `low` to `high`, both inclusive, holds `at`.
std::size_t BlockOf(int at, int low, int high, std::size_t blocks) { return static_cast<std::size_t>(at - low) * blocks / static_cast<std::size_t>(high - low + 1); }

// The first bin at which `share` of all values is reached.
double Percentile(const std::vector<std::uint64_t>& greys, double share) {
  std::uint64_t all = 0;
  for (const std::uint64_t n : greys) all += n;
  double sum = 0.0;
  for (std::size_t bin = 0; bin < greys.size(); ++bin) {
    sum += static_cast<double>(greys[bin]);
    if (sum >= share * static_cast<double>(all)) return static_cast<double>(bin);
  }
  return static_cast<double>(greys.size() - 1);
}

}  // namespace

PictureGatherer::PictureGatherer(const Run& run)
    : columns_(run.columns),
      samples_(run.samples),
      bits_(run.bits),
      shift_(std::max(0, run.bits_stored - kBinBits)),
      inside_(run.shutter.value_or(Shutter{0, run.columns - 1, 0, run.rows - 1})),
      greys_(static_cast<std::size_t>(run.frames)),
      fine_(static_cast<std::size_t>(run.frames)),
      fine_counts_(std::size_t{kFineGrid} * kFineGrid) {
  for (int x = inside_.left; x <= inside_.right; x += 2) {
    block_columns_.push_back(BlockOf(x, inside_.left, inside_.right, kGrid));
    fine_columns_.push_back(BlockOf(x, inside_.left, inside_.right, kFineGrid));
  }
  for (int y = inside_.top; y <= inside_.bottom; y += 2) {
    const std::size_t row = BlockOf(y, inside_.top, inside_.bottom, kGrid) * kGrid, fine_row = BlockOf(y, inside_.top, inside_.bottom, kFineGrid) * kFineGrid;
    for (const std::size_t column : block_columns_) counts_[row + column] += 1.0;
    for (const std::size_t column : fine_columns_) ++fine_counts_[fine_row + column];
  }
}

void PictureGatherer::Add(int frame, std::span<const std::uint8_t> bytes) {
  std::vector<std::uint32_t> greys(std::size_t{1} << kBinBits);
  CoarsePicture sums{};
  std::vector<std::uint32_t> fine(fine_counts_.size());
  const std::size_t step = static_cast<std::size_t>(samples_) * static_cast<std::size_t>(bits_ / 8);
  for (int y = inside_.top; y <= inside_.bottom; y += 2) {
    const std::uint8_t* row = bytes.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(columns_) * step;
    const std::size_t block_row = BlockOf(y, inside_.top, inside_.bottom, kGrid) * kGrid;
    const std::size_t fine_row = BlockOf(y, inside_.top, inside_.bottom, kFineGrid) * kFineGrid;
    const std::uint8_t* at = row + static_cast<std::size_t>(inside_.left) * step;
    for (std::size_t i = 0; i < block_columns_.size(); ++i) {
      unsigned value = at[0];
      if (bits_ == 16) value |= static_cast<unsigned>(at[1]) << 8;
      if (samples_ == 3) value = (at[0] + 2U * at[1] + at[2]) / 4;
      const unsigned bin = std::min(value >> shift_, (1U << kBinBits) - 1U);
      ++greys[bin];
      sums[block_row + block_columns_[i]] += bin;
      fine[fine_row + fine_columns_[i]] += bin;
      at += 2 * step;
    }
  }
  std::vector<std::uint16_t> means(fine.size());
  for (std::size_t i = 0; i < fine.size(); ++i) means[i] = static_cast<std::uint16_t>(fine_counts_[i] > 0 ? std::uint64_t{16} * fine[i] / fine_counts_[i] : 0);
  const std::lock_guard lock(guard_);
  for (std::size_t i = 0; i < sums.size(); ++i) sums_[i] += sums[i];
  greys_[static_cast<std::size_t>(frame)] = std::move(greys);
  fine_[static_cast<std::size_t>(frame)] = std::move(means);
}

std::vector<double> PictureGatherer::Filling(double low, double high, bool inverse, int frames) const {
  const auto n = static_cast<std::size_t>(frames);
  std::vector<std::vector<float>> dark(n, std::vector<float>(fine_counts_.size()));
  for (std::size_t k = 0; k < n; ++k) {
    for (std::size_t block = 0; block < fine_counts_.size(); ++block) {
      const double bright = fine_[k].empty() ? 0.0 : std::clamp((fine_[k][block] / 16.0 - low) / (high - low), 0.0, 1.0);
      dark[k][block] = static_cast<float>(inverse ? bright : 1.0 - bright);
    }
  }
  if (std::ranges::find(fine_counts_, 0U) == fine_counts_.end()) return DarkeningOf(dark, kFineGrid).of_frame;
  // Too small for vessels: as a whole.
  std::vector<double> filling;
  for (const std::vector<float>& frame : dark) {
    double sum = 0.0, all = 0.0;
    for (std::size_t block = 0; block < frame.size(); ++block) sum += fine_counts_[block] * static_cast<double>(frame[block]), all += fine_counts_[block];
    filling.push_back(all > 0.0 ? sum / all : 0.0);
  }
  const double least = filling.empty() ? 0.0 : *std::ranges::min_element(filling);
  for (double& each : filling) each -= least;
  return filling;
}

void PictureGatherer::Finish(Run& run) const {
  std::vector<std::uint64_t> all(std::size_t{1} << kBinBits);
  for (const auto& frame : greys_) {
    for (std::size_t bin = 0; bin < frame.size(); ++bin) all[bin] += frame[bin];
  }
  const double low = Percentile(all, 0.01), high = std::max(Percentile(all, 0.99), low + 1.0);
  const double scale = static_cast<double>(1U << shift_);
  if (!(run.window.width > 0.0)) {
    run.window = {0.5 * (low + high + 1.0) * scale, (high - low + 1.0) * scale};
    run.window_from = "1 to 99 % of the pixels";
  }
  run.filling = Filling(low, high, run.inverse, run.frames);
  if (run.kind != RunKind::kAngiogram && run.kind != RunKind::kRadiofluoroscopy && run.kind != RunKind::kEnhancedAngiogram) return;
  if (inside_.right - inside_.left < 2 * kGrid || inside_.bottom - inside_.top < 2 * kGrid) return;
  CoarsePicture picture{};
  for (std::size_t i = 0; i < picture.size(); ++i) {
    const double bright = std::clamp((sums_[i] / (counts_[i] * run.frames) - low) / (high - low), 0.0, 1.0);
    picture[i] = run.inverse ? 1.0 - bright : bright;
  }
  run.spine = SpineFrom(picture);
  CompareSpineWithView(run);
}

}  // namespace fairlead
