// SPDX-License-Identifier: Apache-2.0
// Synthetic shafts: their width is the generator's parameter. The picture is drawn by fine sub-pixel summation of the
// chord through a tube, never by the code under test.
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "imaging/ruler/ruler.h"
#include "tests/slowed.h"

namespace fairlead {
namespace {

struct Shaft {
  double width_px = 7.4;      // outer diameter
  double angle_deg = 20.0;    // course against the rows
  double bow_px = 0.0;        // sideways bow over the picture
  double wall = 6.0;          // darkening per pixel of wall
  double lumen = 6.0;         // darkening per pixel of lumen: equal to wall = solid; less = empty; more = contrast
  double blur_px = 0.9;
  double noise = 2.0;
  std::uint64_t seed = 1;
};

constexpr int kSize = 160;

double Chord(double t, double r) { return t * t < r * r ? 2.0 * std::sqrt(r * r - t * t) : 0.0; }

std::vector<std::uint8_t> Draw(const Shaft& shaft) {
  const double a = shaft.angle_deg * std::acos(-1.0) / 180.0;
  std::mt19937_64 random(shaft.seed);
  std::normal_distribution<double> noise(0.0, shaft.noise);
  std::vector<std::uint8_t> bytes;
  for (int row = 0; row < kSize; ++row)
    for (int column = 0; column < kSize; ++column) {
      const double x = column - kSize / 2.0, y = row - kSize / 2.0;
      const double along = x * std::cos(a) + y * std::sin(a);
      const double t0 = -x * std::sin(a) + y * std::cos(a) - shaft.bow_px * std::pow(along / (kSize / 2.0), 2.0);
      double dark = 0.0, weight = 0.0;
      for (double z = -3.0; z <= 3.0; z += 0.05) {
        const double g = std::exp(-0.5 * z * z), t = t0 + z * shaft.blur_px, r = shaft.width_px / 2.0;
        dark += g * (shaft.wall * (Chord(t, r) - Chord(t, 0.9 * r)) + shaft.lumen * Chord(t, 0.9 * r));
        weight += g;
      }
      const double value = 190.0 + 0.1 * x - 0.06 * y - dark / weight + noise(random);
      bytes.push_back(static_cast<std::uint8_t>(std::clamp(std::lround(value), 0L, 255L)));
    }
  return bytes;
}

GreyFrame View(const std::vector<std::uint8_t>& bytes) { return {bytes, kSize, kSize, 1}; }

Result<PixelSize> Calibrate(const Shaft& shaft, double off_course = 0.0) {
  const auto bytes = Draw(shaft);
  const double a = shaft.angle_deg * std::acos(-1.0) / 180.0;
  const auto on_shaft = [&](double along) {
    const double t = shaft.bow_px * std::pow(along / (kSize / 2.0), 2.0) + off_course;
    return PixelPoint{kSize / 2.0 + along * std::cos(a) - t * std::sin(a), kSize / 2.0 + along * std::sin(a) + t * std::cos(a)};
  };
  return PixelSizeAlong(View(bytes), on_shaft(-45.0), on_shaft(45.0), Length::French(6.0));
}

TEST(CatheterAlong, RecoversTheWidthWithinTwoAndAHalfPerCent) {
  for (double width : {5.5, 7.4, 9.1})
    for (double angle : {0.0, 20.0, 45.0, 83.0, 130.0}) {
      const auto size = Calibrate({.width_px = width, .angle_deg = angle});
      ASSERT_TRUE(size.ok()) << width << " " << angle << " " << Sentence(size.error());
      EXPECT_NEAR(size->per_pixel.millimetres() / (2.0 / width), 1.0, 0.025) << width << " px at " << angle;
    }
}

TEST(CatheterAlong, UnknownFillingStaysInsideItsStatedPart) {
  for (double lumen : {3.6, 4.8, 6.0, 9.0, 13.8}) {  // 0.6 to 2.3 times as dense as the wall
    const auto size = Calibrate({.lumen = lumen});
    ASSERT_TRUE(size.ok()) << lumen << " " << Sentence(size.error());
    const double error = size->per_pixel.millimetres() / (2.0 / 7.4) - 1.0;
    EXPECT_LT(std::abs(error), 0.07) << "lumen " << lumen;  // two of the stated 3.5 %
    EXPECT_GE(size->parts[3].sd / size->per_pixel, 0.035);
    EXPECT_LT(size->parts[3].sd / size->per_pixel, 0.10);
  }
}

TEST(CatheterAlong, AnEmptyShaftIsNotTakenForAWideOne) {
  // From a bore that darkens no more than what lies beside it to one full of contrast. Depth is no error here.
  for (double width : {5.5, 7.4, 9.4, 12.0})
    for (double lumen : {0.0, 0.6, 2.4, 6.0, 13.8}) {
      const auto size = Calibrate({.width_px = width, .lumen = lumen});
      ASSERT_TRUE(size.ok()) << width << " " << lumen << " " << Sentence(size.error());
      const double truth = 2.0 / width, sd = std::hypot(size->parts[0].sd.millimetres(), size->parts[1].sd.millimetres(), size->parts[3].sd.millimetres());
      EXPECT_LT(std::abs(size->per_pixel.millimetres() - truth) / sd, 2.6) << width << " px, lumen " << lumen;
      EXPECT_LT(sd / truth, 0.18) << width << " px, lumen " << lumen;
      if (lumen > 2.0) {
        EXPECT_EQ(size->warnings.empty(), width > 7.0) << width << " px, lumen " << lumen;
      }
    }
}

TEST(CatheterAlong, AnotherCatheterBesideItIsLeftOut) {
  const auto beside = [](double gap) {
    const auto one = Draw({.width_px = 9.4, .angle_deg = 0.0});
    auto both = one;
    const int rows = static_cast<int>(gap);
    for (int row = 0; row + rows < kSize; ++row)  // the same shaft once more, `gap` rows below: darkening adds up
      for (int column = 0; column < kSize; ++column) {
        const auto at = static_cast<std::size_t>((row + rows) * kSize + column), from = static_cast<std::size_t>(row * kSize + column);
        const double background = 190.0 + 0.1 * (column - kSize / 2.0) - 0.06 * (row - kSize / 2.0);
        both[at] = static_cast<std::uint8_t>(std::clamp(std::lround(one[at] - (background - one[from])), 0L, 255L));
      }
    return PixelSizeAlong(View(both), {35, 80}, {125, 80}, Length::French(6.0));
  };
  for (double gap : {17.0, 20.0, 30.0}) {
    const auto size = beside(gap);
    ASSERT_TRUE(size.ok()) << gap << " " << Sentence(size.error());
    EXPECT_NEAR(size->per_pixel.millimetres() / (2.0 / 9.4), 1.0, 0.04) << gap;
  }
}

TEST(CatheterAlong, FollowsABowedShaftAndForgivesClicksOffItsMiddle) {
  const auto bowed = Calibrate({.bow_px = 6.0}, 1.5);
  ASSERT_TRUE(bowed.ok()) << Sentence(bowed.error());
  EXPECT_NEAR(bowed->per_pixel.millimetres() / (2.0 / 7.4), 1.0, 0.03);
}

TEST(CatheterAlong, ErrorStaysInsideTheStatedSpread) {
  // Noisy shafts: the recovered size misses by no more than its stated sd of the edges and label allow. Depth is no
  // error here, so it is left out of the sd that is compared.
  int outside_two_sd = 0;
  constexpr std::uint64_t kShafts = kSlowed ? 20 : 60;
  for (std::uint64_t seed = 1; seed <= kShafts; ++seed) {
    const auto size = Calibrate({.width_px = 6.0 + 0.05 * static_cast<double>(seed), .noise = 5.0, .seed = seed});
    ASSERT_TRUE(size.ok()) << seed << " " << Sentence(size.error());
    const double truth = 2.0 / (6.0 + 0.05 * static_cast<double>(seed));
    const double sd = std::hypot(size->parts[0].sd.millimetres(), size->parts[1].sd.millimetres());
    outside_two_sd += std::abs(size->per_pixel.millimetres() - truth) > 2.0 * sd;
  }
  EXPECT_LE(outside_two_sd, kSlowed ? 4 : 6);  // 5 % expected; 6 of 60 leaves room for chance (P < 0.1 beyond)
}

TEST(CatheterAlong, StatesTheBudgetOfASixFrenchShaft) {
  // Label 0.03 mm and edges 0.05 mm on 2.0 mm: sqrt(0.03^2 + 0.05^2) / 2.0 = 2.9 %. Depth 20 mm at 750 mm: 2.7 %.
  const auto size = Calibrate({.noise = 0.3});
  ASSERT_TRUE(size.ok());
  const double edges = std::hypot(size->parts[0].sd.millimetres(), size->parts[1].sd.millimetres()) / size->per_pixel.millimetres();
  EXPECT_NEAR(edges, 0.029, 0.004);
  EXPECT_NEAR(size->parts[2].sd / size->per_pixel, 20.0 / 750.0, 1e-12);
}

TEST(CatheterAlong, RefusesAPlaceWithoutACatheter) {
  const auto bytes = Draw({.wall = 0.0, .lumen = 0.0, .noise = 4.0});
  const auto size = PixelSizeAlong(View(bytes), {40, 80}, {120, 80}, Length::French(6.0));
  ASSERT_FALSE(size.ok());
  EXPECT_EQ(size.error().what, "no catheter with two clear edges lies between the clicks");
}

TEST(CatheterAlong, RefusesClicksThatCannotWork) {
  const auto bytes = Draw({});
  EXPECT_FALSE(PixelSizeAlong(View(bytes), {10, 10}, {14, 10}, Length::French(6.0)).ok());
  EXPECT_FALSE(PixelSizeAlong(View(bytes), {10, 10}, {900, 10}, Length::French(6.0)).ok());
  EXPECT_FALSE(PixelSizeAlong(View(bytes), {10, std::nan("")}, {90, 10}, Length::French(6.0)).ok());
  EXPECT_FALSE(PixelSizeAlong(View(bytes), {10, 10}, {90, 10}, Length::French(60.0)).ok());
}

TEST(CompareSizes, WarnsWhereTwoWaysDisagreeAndOnlyThere) {
  const auto with = [](double mm, double sd) {
    PixelSize size;
    size.per_pixel = Length::Millimetres(mm);
    size.sd = Length::Millimetres(sd);
    return size;
  };
  auto near = with(0.21, 0.012);
  CompareSizes(near, with(0.20, 0.007));
  EXPECT_TRUE(near.warnings.empty());
  for (double mm : {0.15, 0.26}) {
    auto far = with(mm, 0.012);
    CompareSizes(far, with(0.20, 0.007));
    ASSERT_EQ(far.warnings.size(), 1u);
    EXPECT_NE(far.warnings[0].find(mm < 0.2 ? "25 % less" : "30 % more"), std::string::npos) << far.warnings[0];
  }
}

TEST(CatheterAcross, DividesTheLabelByTheClicks) {
  const auto size = PixelSizeAcross({100, 100}, {106, 108}, Length::French(6.0));  // 10 pixels
  ASSERT_TRUE(size.ok());
  EXPECT_NEAR(size->per_pixel.millimetres(), 0.2, 1e-12);
  // Two clicks of 0.5 px each on 10 px: 7.1 % from the edges.
  EXPECT_NEAR(size->parts[1].sd / size->per_pixel, std::sqrt(0.5) / 10.0, 1e-9);
  EXPECT_FALSE(PixelSizeAcross({1, 1}, {1, 2}, Length::French(6.0)).ok());
}

}  // namespace
}  // namespace fairlead
