// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/darkening.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <functional>
#include <numeric>

namespace fairlead {
namespace {

// Chosen: practice, no source.
constexpr double kBackgroundShare = 0.1;  // of the frames: darker than this is background
constexpr double kFullShare = 0.02;       // of the pixels
constexpr int kBeside = 6;                // a neighbourhood is 13 pixels across, a vessel 1 to 3

// The few values beside a pixel, in order.
class InOrder {
 public:
  void Put(float value) {
    std::size_t at = count_++;
    for (; at > 0 && values_[at - 1] > value; --at) values_[at] = values_[at - 1];
    values_[at] = value;
  }
  void Take(float value) {
    std::size_t at = 0;
    while (at + 1 < count_ && values_[at] != value) ++at;
    for (--count_; at < count_; ++at) values_[at] = values_[at + 1];
  }
  float middle() const { return values_[count_ / 2]; }

 private:
  std::array<float, 2 * kBeside + 1> values_{};
  std::size_t count_ = 0;
};

// Of each pixel of a line the median of its neighbours along it, cut off at the ends.
void MediansAlong(const float* line, float* medians, int count, std::ptrdiff_t step) {
  InOrder near;
  for (int i = 0; i < std::min(kBeside, count); ++i) near.Put(line[i * step]);
  for (int at = 0; at < count; ++at) {
    if (at + kBeside < count) near.Put(line[(at + kBeside) * step]);
    medians[at * step] = near.middle();
    if (at >= kBeside) near.Take(line[(at - kBeside) * step]);
  }
}

// Medians along the rows, then along the columns of those: no vessel is in them.
void TakeOffNeighbourhood(std::vector<float>& picture, int columns) {
  const int rows = static_cast<int>(picture.size()) / columns;
  std::vector<float> along(picture.size()), across(picture.size());
  for (int row = 0; row < rows; ++row) MediansAlong(picture.data() + std::ptrdiff_t{row} * columns, along.data() + std::ptrdiff_t{row} * columns, columns, 1);
  for (int column = 0; column < columns; ++column) MediansAlong(along.data() + column, across.data() + column, rows, columns);
  for (std::size_t i = 0; i < picture.size(); ++i) picture[i] -= across[i];
}

std::vector<float> BackgroundOf(std::span<const std::vector<float>> frames) {
  std::vector<float> background(frames.front().size()), over_time(frames.size());
  const auto low = over_time.begin() + static_cast<std::ptrdiff_t>(kBackgroundShare * static_cast<double>(frames.size() - 1));
  for (std::size_t i = 0; i < background.size(); ++i) {
    for (std::size_t k = 0; k < frames.size(); ++k) over_time[k] = frames[k][i];
    std::nth_element(over_time.begin(), low, over_time.end());
    background[i] = *low;
  }
  return background;
}

}  // namespace

Darkening DarkeningOf(std::span<const std::vector<float>> frames, int columns) {
  Darkening found;
  if (frames.empty() || columns < 1 || frames.front().empty()) return found;
  const std::vector<float> background = BackgroundOf(frames);
  const auto top = std::max<std::ptrdiff_t>(1, static_cast<std::ptrdiff_t>(kFullShare * static_cast<double>(background.size())));
  std::vector<double> noise;
  std::vector<float> above(background.size());
  for (const std::vector<float>& frame : frames) {
    std::transform(frame.begin(), frame.end(), background.begin(), above.begin(), std::minus<>());
    TakeOffNeighbourhood(above, columns);
    std::nth_element(above.begin(), above.end() - top, above.end());
    const double darkest = std::accumulate(above.end() - top, above.end(), 0.0) / static_cast<double>(top);
    std::nth_element(above.begin(), above.begin() + top, above.end());
    const double brightest = -std::accumulate(above.begin(), above.begin() + top, 0.0) / static_cast<double>(top);
    found.of_frame.push_back(std::max(0.0, darkest - std::max(0.0, brightest)));
    noise.push_back(std::max(0.0, brightest));
  }
  const auto usual = noise.begin() + static_cast<std::ptrdiff_t>(noise.size() / 2);
  std::nth_element(noise.begin(), usual, noise.end());
  found.noise = *usual;
  return found;
}

}  // namespace fairlead
