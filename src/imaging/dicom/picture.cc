// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/picture.h"

#include <algorithm>
#include <cmath>

namespace fairlead {
namespace {

constexpr int kBinBits = 10;  // 1024 greys are enough for a window and a mean

std::uint64_t CountOf(const std::vector<std::uint32_t>& greys) {
  std::uint64_t count = 0;
  for (const std::uint32_t n : greys) count += n;
  return count;
}

// Which of kGrid blocks from `low` to `high`, both inclusive, holds `at`.
std::size_t BlockOf(int at, int low, int high) { return static_cast<std::size_t>(at - low) * kGrid / static_cast<std::size_t>(high - low + 1); }

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

// Mean darkness between the run's 1 and 99 % greys.
double Darkness(const std::vector<std::uint32_t>& greys, double low, double high, bool inverse) {
  double sum = 0.0;
  for (std::size_t bin = 0; bin < greys.size(); ++bin) {
    const double bright = std::clamp((static_cast<double>(bin) - low) / (high - low), 0.0, 1.0);
    sum += (inverse ? bright : 1.0 - bright) * greys[bin];
  }
  const std::uint64_t count = CountOf(greys);
  return count == 0 ? 0.0 : sum / static_cast<double>(count);
}

}  // namespace

PictureGatherer::PictureGatherer(const Run& run)
    : columns_(run.columns),
      samples_(run.samples),
      bits_(run.bits),
      shift_(std::max(0, run.bits_stored - kBinBits)),
      inside_(run.shutter.value_or(Shutter{0, run.columns - 1, 0, run.rows - 1})),
      greys_(static_cast<std::size_t>(run.frames)) {
  for (int x = inside_.left; x <= inside_.right; x += 2) block_columns_.push_back(BlockOf(x, inside_.left, inside_.right));
  for (int y = inside_.top; y <= inside_.bottom; y += 2) {
    const std::size_t row = BlockOf(y, inside_.top, inside_.bottom) * kGrid;
    for (const std::size_t column : block_columns_) counts_[row + column] += 1.0;
  }
}

void PictureGatherer::Add(int frame, std::span<const std::uint8_t> bytes) {
  std::vector<std::uint32_t> greys(std::size_t{1} << kBinBits);
  CoarsePicture sums{};
  const std::size_t step = static_cast<std::size_t>(samples_) * static_cast<std::size_t>(bits_ / 8);
  for (int y = inside_.top; y <= inside_.bottom; y += 2) {
    const std::uint8_t* row = bytes.data() + static_cast<std::size_t>(y) * static_cast<std::size_t>(columns_) * step;
    const std::size_t block_row = BlockOf(y, inside_.top, inside_.bottom) * kGrid;
    const std::uint8_t* at = row + static_cast<std::size_t>(inside_.left) * step;
    for (const std::size_t block_column : block_columns_) {
      unsigned value = at[0];
      if (bits_ == 16) value |= static_cast<unsigned>(at[1]) << 8;
      if (samples_ == 3) value = (at[0] + 2U * at[1] + at[2]) / 4;
      const unsigned bin = std::min(value >> shift_, (1U << kBinBits) - 1U);
      ++greys[bin];
      sums[block_row + block_column] += bin;
      at += 2 * step;
    }
  }
  const std::lock_guard lock(guard_);
  for (std::size_t i = 0; i < sums.size(); ++i) sums_[i] += sums[i];
  greys_[static_cast<std::size_t>(frame)] = std::move(greys);
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
  run.filling.clear();
  for (int i = 0; i < run.frames; ++i) run.filling.push_back(Darkness(greys_[static_cast<std::size_t>(i)], low, high, run.inverse));
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
