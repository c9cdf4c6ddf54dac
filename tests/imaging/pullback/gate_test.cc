// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/gate.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "imaging/phantom/random.h"
#include "tests/imaging/pullback/scene.h"

namespace fairlead {
namespace {

constexpr double kFrameMs = 1000.0 / 30.0;

// Unrest of a catheter that swings as a sine: it is fastest between its two turning points, so twice a beat.
std::vector<double> Swinging(double beats_per_min, int frames, double every_other = 1.0) {
  std::vector<double> unrest;
  for (int i = 0; i < frames; ++i) {
    const double turn = 2.0 * std::numbers::pi * beats_per_min / 60.0 * i * kFrameMs / 1000.0;
    const double speed = std::cos(turn);
    unrest.push_back(0.3 + 0.2 * std::abs(speed) * (speed > 0.0 ? 1.0 : every_other));
  }
  return unrest;
}

// Analytic: a systole that is faster than the way back, as hearts have it; the rate that was put in comes out.
TEST(Gate, FindsTheRateOfARegularSwing) {
  for (const double rate : {50.0, 70.0, 95.0, 130.0}) {
    const auto gate = GateOn(Swinging(rate, 300, 0.3), kFrameMs);
    ASSERT_TRUE(gate.has_value()) << rate;
    EXPECT_NEAR(gate->beats_per_min, rate, 2.0);  // the aim: within 2 a minute
    // One frame a beat, of ten seconds.
    EXPECT_NEAR(static_cast<double>(gate->frames.size()), rate / 6.0, 1.6) << rate;
    EXPECT_TRUE(std::ranges::is_sorted(gate->frames));
  }
}

TEST(Gate, SaysNothingWhereNothingBeats) {
  std::vector<double> still(300, 0.25);
  EXPECT_FALSE(GateOn(still, kFrameMs).has_value());
  SeededRandom random(4);
  std::vector<double> noise;
  for (int i = 0; i < 300; ++i) noise.push_back(0.3 + 0.05 * static_cast<double>(random.Noise()));
  EXPECT_FALSE(GateOn(noise, kFrameMs).has_value());
}

TEST(Gate, SaysNothingOfAPullbackTooShortTooSlowOrUntimed) {
  EXPECT_FALSE(GateOn(Swinging(70, 60), kFrameMs).has_value());
  EXPECT_FALSE(GateOn(Swinging(70, 300), 500.0).has_value());
  EXPECT_FALSE(GateOn(Swinging(70, 300), 0.0).has_value());
  EXPECT_FALSE(GateOn({}, kFrameMs).has_value());
}

// Tissue whose speckle stays in its place while the catheter swings through it, with blood that is new in each frame: the
// room's own generator renews its speckle by the frame and not by the place, and cannot show this. Axial motion 1.5 mm a
// beat is the published mean; a third of the beat forth, the rest back.
struct Swung {
  Polar polar;
  std::vector<double> z;
};
Swung SwingThroughTissue(double beats_per_min, double swing_mm, int frames, std::uint64_t seed) {
  constexpr int kDepth = 48, kSlices = 400;
  constexpr double kSlice = 0.1, kSpeed = 0.5;  // mm; mm/s
  SeededRandom random(seed);
  std::vector<float> tissue(static_cast<std::size_t>(kSlices) * kAngles * kDepth);
  for (float& value : tissue) value = random.Noise();
  Swung made{{frames, kDepth, 0.05, {}}, {}};
  for (int f = 0; f < frames; ++f) {
    const double seconds = f * kFrameMs / 1000.0, beats = seconds * beats_per_min / 60.0, phase = beats - std::floor(beats);
    const double share = phase < 1.0 / 3.0 ? 0.5 - 0.5 * std::cos(std::numbers::pi * 3.0 * phase) : 0.5 + 0.5 * std::cos(std::numbers::pi * 1.5 * (phase - 1.0 / 3.0));
    const double z = 2.0 + kSpeed * seconds + swing_mm * share;
    made.z.push_back(z);
    const auto slice = static_cast<std::size_t>(z / kSlice);
    const double part = z / kSlice - static_cast<double>(slice);
    for (std::size_t k = 0; k < static_cast<std::size_t>(kAngles) * kDepth; ++k) {
      const std::size_t one = slice * kAngles * kDepth + k, next = one + static_cast<std::size_t>(kAngles) * kDepth;
      const bool blood = k % kDepth < 16;
      const double value = blood ? 0.4 * static_cast<double>(random.Noise()) : (1.0 - part) * static_cast<double>(tissue[one]) + part * static_cast<double>(tissue[next]);
      made.polar.grey.push_back(static_cast<std::uint8_t>(std::clamp(110.0 + 30.0 * value, 0.0, 255.0)));
    }
  }
  return made;
}

TEST(Gate, BringsFramesNearerToWhereTheMotorSaysTheyAre) {
  for (const auto& [rate, seed] : {std::pair{55.0, 1U}, std::pair{70.0, 2U}, std::pair{92.0, 3U}}) {
    SCOPED_TRACE(rate);
    const Swung swung = SwingThroughTissue(rate, 1.5, 300, seed);
    const auto gate = GateOn(Unrest(swung.polar, 0.2, 2.3), kFrameMs);
    ASSERT_TRUE(gate.has_value());
    EXPECT_NEAR(gate->beats_per_min, rate, 2.0);  // the aim: within 2 a minute
    // How far frames lie from the motor's place, about their own mean: a constant shift is no error along the vessel.
    const auto spread = [&](const std::vector<int>& frames) {
      double sum = 0, square = 0;
      for (const int f : frames) {
        const double off = swung.z[static_cast<std::size_t>(f)] - 0.5 * f * kFrameMs / 1000.0;
        sum += off, square += off * off;
      }
      const double n = static_cast<double>(frames.size());
      return std::sqrt(std::max(0.0, square / n - sum * sum / n / n));
    };
    std::vector<int> all(300);
    for (int i = 0; i < 300; ++i) all[static_cast<std::size_t>(i)] = i;
    EXPECT_GT(spread(all), 0.4);
    EXPECT_LE(spread(gate->frames), 0.25);  // the aim for an axial movement of 1.5 mm
  }
}

TEST(Gate, SaysNothingOfACatheterThatDoesNotSwing) {
  const Swung still = SwingThroughTissue(70.0, 0.0, 200, 5);
  EXPECT_FALSE(GateOn(Unrest(still.polar, 0.2, 2.3), kFrameMs).has_value());
}

}  // namespace
}  // namespace fairlead
