// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/vesselness.h"

#include <gtest/gtest.h>

#include <array>
#include <limits>

#include "imaging/trace/vesselness_job.h"
#include "tests/imaging/trace/drawn.h"
#include "tests/imaging/trace/references.h"

namespace fairlead {
namespace {

// Where the strength is greatest across the axis, in pixels from it, and how strong.
struct Top {
  double off = 0.0, strength = 0.0;
};
Top TopAcross(const Vesselness& v, const Tube& tube, double along) {
  const Picture strength{v.rows, v.columns, v.strength};
  const double a = tube.angle_deg * std::numbers::pi / 180.0;
  const PixelPoint axis = AxisAt(tube, along);
  Top top{0.0, -1.0};
  for (double off = -3.0; off <= 3.0; off += 0.02) {
    const double value = ValueBetween(strength, axis.x - off * std::sin(a), axis.y + off * std::cos(a));
    if (value > top.strength) top = {off, value};
  }
  return top;
}

// Rows of the reference: column, row, strength by the same weights, strength by SciPy's own far-reaching filters.
TEST(Vesselness, IsWhatSciPyAndNumPyGive) {
  const std::array<float, 3> scales = {1.5f, 3.0f, 6.0f};
  const Vesselness v = VesselnessAtFullSize(Patterned(), scales);
  const auto rows = References("scipy");
  ASSERT_EQ(rows.size(), 80u);
  double apart = 0.0, size = 0.0;
  for (const auto& row : rows) {
    const auto ours = static_cast<double>(v.strength[static_cast<std::size_t>(row[1]) * 48 + static_cast<std::size_t>(row[0])]);
    EXPECT_NEAR(ours, row[2], 1e-3 + 2e-3 * row[2]) << row[0] << " " << row[1];
    apart += (ours - row[3]) * (ours - row[3]), size += row[3] * row[3];
  }
  EXPECT_LT(std::sqrt(apart / size), 0.05);  // what cutting the weights at three sigma costs
}

TEST(Vesselness, HasItsRidgeWhereTheLineFilterOfScikitImageHasIt) {
  const Vesselness v = VesselnessOf(Patterned());
  const auto rows = References("sato");
  ASSERT_EQ(rows.size(), 6u);
  for (const auto& row : rows) {
    const auto column = static_cast<std::size_t>(row[0]);
    std::size_t best = 10;
    for (std::size_t r = 10; r < 36; ++r) {
      if (v.strength[r * 48 + column] > v.strength[best * 48 + column]) best = r;
    }
    EXPECT_NEAR(static_cast<double>(best), row[1], 1.0) << "column " << column;
  }
}

TEST(Vesselness, IsGreatestWithinATenthOfAPixelOfTheAxis) {
  for (const double radius : {2.5, 4.0, 7.0}) {
    for (const double angle : {0.0, 22.5, 45.0, 71.0, 110.0}) {
      const Tube tube{.radius = radius, .angle_deg = angle};
      const Vesselness v = VesselnessAtFullSize(Drawn(tube), kVesselScales);
      for (const double along : {-21.3, 0.0, 17.7}) EXPECT_NEAR(TopAcross(v, tube, along).off, 0.0, 0.1) << radius << " at " << angle;
    }
  }
}

TEST(Vesselness, HalvedScalesMoveTheRidgeByAFractionOfAPixel) {
  for (const double angle : {0.0, 22.5, 45.0, 71.0, 110.0}) {
    const Tube tube{.radius = 6.0, .angle_deg = angle};
    const Vesselness v = VesselnessOf(Drawn(tube));
    for (const double along : {-21.3, 0.0, 17.7}) EXPECT_NEAR(TopAcross(v, tube, along).off, 0.0, 0.25) << angle;
  }
}

TEST(Vesselness, ChangesByLessThanTwoPerCentWhenTheVesselTurns) {
  double least = 1e9, most = 0.0;
  for (double angle = 0.0; angle < 180.0; angle += 15.0) {
    const Tube tube{.radius = 4.0, .angle_deg = angle};
    const double top = TopAcross(VesselnessAtFullSize(Drawn(tube), kVesselScales), tube, 0.0).strength;
    least = std::min(least, top), most = std::max(most, top);
  }
  EXPECT_LT(most / least, 1.02);
}

// By quadrature, apart from the code: the scale-normalised second derivative at the middle of a disc's chord.
TEST(Vesselness, IsStrongestAtTheScaleOfItsRadius) {
  const auto response = [](double s) {
    double sum = 0.0;
    for (double t = -1.0; t <= 1.0; t += 1e-4) {
      sum += 2.0 * std::sqrt(std::max(0.0, 1.0 - t * t)) * (1.0 - t * t / (s * s)) * std::exp(-0.5 * t * t / (s * s)) / s;
    }
    return sum;
  };
  double best = 0.0;
  for (double s = 0.5; s < 1.5; s += 0.002) {
    if (response(s) > response(best > 0.0 ? best : 0.5)) best = s;
  }
  EXPECT_NEAR(1.0 / best, kRadiusOfScale, 0.02);
  for (const double radius : {2.5, 5.0, 7.1}) {
    const Tube tube{.radius = radius, .angle_deg = 0.0, .blur = 0.5};
    const Vesselness v = VesselnessAtFullSize(Drawn(tube), kVesselScales);
    const auto scale = static_cast<double>(v.scale[static_cast<std::size_t>(tube.size) * 80 + 80]);
    EXPECT_LT(std::abs(std::log2(scale * kRadiusOfScale / radius)), 0.51) << radius;  // within a step of sqrt(2)
  }
}

TEST(Vesselness, IsNothingOnAFlatPictureAndOnADarkLine) {
  Picture flat{64, 64, std::vector<float>(64 * 64, 255.0f)};
  for (const float v : VesselnessOf(flat).strength) EXPECT_LT(v, 0.01f);
  Tube dark{.radius = 4.0, .angle_deg = 0.0, .darkness = -8.0, .size = 96};
  const Vesselness v = VesselnessAtFullSize(Drawn(dark), kVesselScales);
  EXPECT_EQ(v.strength[48 * 96 + 48], 0.0f);
}

TEST(Vesselness, TakesAnySizeAndAnyValues) {
  for (const auto& [rows, columns] : {std::pair{1, 1}, {1, 7}, {9, 1}, {3, 2}, {33, 17}}) {
    Picture picture{rows, columns, std::vector<float>(static_cast<std::size_t>(rows * columns), -65535.0f)};
    picture.values[0] = 0.0f;
    const Vesselness v = VesselnessOf(picture);
    ASSERT_EQ(v.strength.size(), picture.values.size());
    for (const float s : v.strength) EXPECT_TRUE(std::isfinite(s) && s >= 0.0f);
  }
}

std::vector<float> ByKernel(void (*kernel)(const ScaleJob&)) {
  constexpr int kSize = 45, kRadius = 6, kBefore = WholeVectors(kRadius), kStride = kBefore + WholeVectors(kSize + kRadius + 32);
  std::vector<float> padded, g0, g1, g2, work(3 * kStride), strength(kSize * kStride), scale(strength.size());
  std::mt19937 random(5);
  for (int i = 0; i < kStride * (kSize + 2 * kRadius); ++i) padded.push_back(static_cast<float>(random() % 256));
  for (float k = 0.0f; k <= kRadius; k += 1.0f) g0.push_back(1.0f / (1.0f + k)), g1.push_back(0.1f * k), g2.push_back(k < 0.5f ? -2.0f : 0.3f / k);
  const ScaleJob job{.middle = padded.data() + kRadius * kStride + kBefore, .stride = kStride, .rows = kSize, .columns = kSize, .radius = kRadius,
                     .g0 = g0.data(), .g1 = g1.data(), .g2 = g2.data(), .sigma = 2.0f, .scale_squared = 4.0f, .smooth = work.data() + kBefore,
                     .first = work.data() + kStride + kBefore, .second = work.data() + 2 * kStride + kBefore, .strength = strength.data(),
                     .scale = scale.data(), .out_stride = kStride};
  kernel(job);
  std::vector<float> picture;
  for (int row = 0; row < kSize; ++row) picture.insert(picture.end(), strength.begin() + row * kStride, strength.begin() + row * kStride + kSize);
  return picture;
}

TEST(Vesselness, IsTheSameOnEveryKindOfProcessor) {
  const std::vector<float> narrow = ByKernel(RunScaleNarrow);
#if defined(__x86_64__)
  const auto compare = [&](const std::vector<float>& other) {
    for (std::size_t i = 0; i < narrow.size(); ++i) {
      ASSERT_NEAR(other[i], narrow[i], 1e-2f + 1e-4f * std::abs(narrow[i])) << i;
    }
  };
  if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) compare(ByKernel(RunScaleAvx2));
  if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq")) compare(ByKernel(RunScaleAvx512));
#endif
  EXPECT_GT(*std::max_element(narrow.begin(), narrow.end()), 0.0f);
}

TEST(Vesselness, LaysTheHalvedPictureOverTheWholeAlikeOnEveryKindOfProcessor) {
  const auto over = [](void (*kernel)(const float*, const float*, int, float*, float*)) {
    std::vector<float> laid{1, 5, 3, 0, 7, 2, 9}, sigma{3, 3, 0, 6, 6, 0, 4}, strength{2, 4, 1, 0, 7, 1, 8}, scale{1, 1, 2, 0, 1, 2, 1};
    for (auto* row : {&laid, &sigma, &strength, &scale}) row->resize(7 + kWidestVector);
    kernel(laid.data(), sigma.data(), 7, strength.data(), scale.data());
    strength.resize(7), scale.resize(7);
    return std::pair{strength, scale};
  };
  // By hand: the larger counts; a scale of 0 is not known, and then the old one stays.
  const std::pair<std::vector<float>, std::vector<float>> expected{{2, 5, 3, 0, 7, 2, 9}, {1, 3, 2, 0, 1, 2, 4}};
  EXPECT_EQ(over(LayOverNarrow), expected);
#if defined(__x86_64__)
  if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) { EXPECT_EQ(over(LayOverAvx2), expected); }
  if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq")) { EXPECT_EQ(over(LayOverAvx512), expected); }
#endif
}

// A picture taller than a band of rows, and what an earlier, larger frame left behind.
TEST(Vesselness, IsTheSameWhateverRowsAndMemoryItIsWorkedOutIn) {
  Picture tall{300, 40, {}};
  std::mt19937 random(11);
  for (int i = 0; i < tall.rows * tall.columns; ++i) tall.values.push_back(static_cast<float>(random() % 256));
  const Vesselness whole = VesselnessOf(tall);
  for (const int top : {0, 61, 62, 100, 163, 220}) {  // even rows, so that the halved pictures have the same pairs
    const int first = top - top % 2;
    Picture part{80, 40, {tall.values.begin() + first * 40, tall.values.begin() + (first + 80) * 40}};
    const Vesselness v = VesselnessOf(part);
    // Beyond 18 rows from its own rim (3 scales of 6) a part knows nothing of being one.
    for (int row = first == 0 ? 0 : 22; row < 58; ++row) {
      for (int c = 0; c < 40; ++c) {
        const auto at = static_cast<std::size_t>(row * 40 + c), there = at + static_cast<std::size_t>(first * 40);
        ASSERT_EQ(v.strength[at], whole.strength[there]) << first << " " << row << " " << c;
        ASSERT_EQ(v.scale[at], whole.scale[there]);
      }
    }
  }
  Vesselness reused = VesselnessOf(Patterned());
  VesselnessInto(tall, reused);
  EXPECT_EQ(reused.strength, whole.strength);
  EXPECT_EQ(reused.scale, whole.scale);
  EXPECT_EQ(reused.rows, 300);
}

TEST(Vesselness, ShareOfItsPixelsIsThatOfSortedValues) {
  const Vesselness v = VesselnessOf(Patterned());
  std::vector<float> sorted = v.strength;
  std::sort(sorted.begin(), sorted.end());
  const float most = sorted.back();
  for (const double share : {0.5, 0.9, 0.95}) {
    EXPECT_NEAR(StrengthAtShare(v, share), sorted[static_cast<std::size_t>(share * static_cast<double>(sorted.size()))], most / 500.0f);
  }
}

}  // namespace
}  // namespace fairlead
