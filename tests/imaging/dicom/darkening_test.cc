// SPDX-License-Identifier: Apache-2.0
// Contrast that comes and goes, told from what breathes, drifts, stands still or is noise; the truth is how the frames were made.
#include "imaging/dicom/darkening.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace fairlead {
namespace {

constexpr int kSide = 64;

// A vessel 2 pixels wide and `depth` dark, a catheter that stands still, a dome that `breath` lifts (twice as dark),
// a whole that is `drift` darker, and noise.
std::vector<float> Frame(float depth, double breath, float drift, float noise, std::mt19937& lot) {
  std::normal_distribution<float> grain(0.0f, 1.0f);
  std::vector<float> frame;
  for (int row = 0; row < kSide; ++row) {
    for (int column = 0; column < kSide; ++column) {
      float dark = drift + noise * grain(lot);
      if (row == 20 || row == 21) dark += depth;
      if (column == 5) dark += 0.5f;
      dark += 0.5f / (1.0f + static_cast<float>(std::exp(-(row - 48.0 + breath + 0.01 * (column - 32) * (column - 32)) / 6.0)));
      frame.push_back(dark);
    }
  }
  return frame;
}

TEST(Darkening, IsOfTheVesselThatFillsThoughBreathDarkensMore) {
  std::mt19937 lot(7);
  std::vector<std::vector<float>> frames;
  std::vector<float> depths;
  for (int k = 0; k < 30; ++k) {
    depths.push_back(k < 10 ? 0.0f : k < 20 ? 0.02f * static_cast<float>(k - 9) : 0.2f);
    frames.push_back(Frame(depths.back(), 5.0 * std::cos(k / 6.0), 0.002f * static_cast<float>(k), 0.03f, lot));
  }
  const Darkening found = DarkeningOf(frames, kSide);
  ASSERT_EQ(found.of_frame.size(), frames.size());
  const double full = *std::ranges::max_element(found.of_frame);
  EXPECT_GT(full, 0.2 - 2.42 * 0.03) << "no more is taken off than the mean of the noise's own 2 %";
  EXPECT_LT(full, 0.22);
  for (int k = 0; k < 10; ++k) EXPECT_LT(found.of_frame[static_cast<std::size_t>(k)], 0.2 * full) << k;
  for (int k = 20; k < 30; ++k) EXPECT_GT(found.of_frame[static_cast<std::size_t>(k)], 0.8 * full) << k;
  EXPECT_GT(full, 1.5 * found.noise);
}

TEST(Darkening, NoiseAloneRisesNotAboveItself) {
  std::mt19937 lot(8);
  std::vector<std::vector<float>> frames;
  for (int k = 0; k < 30; ++k) frames.push_back(Frame(0.0f, 0.0, 0.0f, 0.05f, lot));
  const Darkening found = DarkeningOf(frames, kSide);
  EXPECT_NEAR(found.noise, 0.05 * 2.42, 0.02) << "the mean of a normal's lowest 2 % is -2.42 sd";
  for (const double each : found.of_frame) EXPECT_LT(each, 0.5 * found.noise);
  const auto [least, most] = std::ranges::minmax(found.of_frame);
  EXPECT_LT(most - least, found.noise);
}

TEST(Darkening, NothingGivesNothing) {
  EXPECT_TRUE(DarkeningOf({}, 64).of_frame.empty());
  EXPECT_TRUE(DarkeningOf(std::vector<std::vector<float>>{{}}, 1).of_frame.empty());
  const std::vector<std::vector<float>> one{{1.0f}};
  EXPECT_EQ(DarkeningOf(one, 1).of_frame, std::vector<double>{0.0});
}

}  // namespace
}  // namespace fairlead
