// SPDX-License-Identifier: Apache-2.0
// The invented pullback against what is known from outside: the spread of the logarithm of Rayleigh speckle, 5.57 dB
// (20 / ln 10 * pi / sqrt(24): closed form), the area of a circle, the DICOM reader, and dciodvfy (dicom3tools).
#include "imaging/pullback/invented.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <string>
#include <vector>

#include "imaging/dicom/read.h"
#include "imaging/dicom/write_us.h"

namespace fairlead {
namespace {

PullbackOrder Small(const char* scene, Grade grade) {
  PullbackOrder order;
  order.scene = scene;
  order.grade = grade;
  order.frames = 6;
  order.size = 240;
  return order;
}

TEST(InventedPullback, AreaInsideACircleIsThatOfItsPolygon) {
  std::array<float, kRays> circle{};
  circle.fill(2.0f);
  // A polygon of n corners on a circle: n / 2 * r^2 * sin(2 pi / n).
  EXPECT_NEAR(AreaInside(circle), 128.0 * 4.0 * std::sin(2.0 * std::numbers::pi / 256.0), 1e-9);
}

TEST(InventedPullback, GivesTheSameBytesTwice) {
  const auto a = InventPullback(Small("plaque", Grade::kTypical)), b = InventPullback(Small("plaque", Grade::kTypical));
  EXPECT_EQ(a->pixels, b->pixels);
  EXPECT_EQ(PullbackTruthJson(*a), PullbackTruthJson(*b));
  PullbackOrder other = Small("plaque", Grade::kTypical);
  other.seed = 2;
  EXPECT_NE(InventPullback(other)->pixels, a->pixels);
}

TEST(InventedPullback, SpeckleVariesAsRayleighSpeckleDoes) {
  PullbackOrder order = Small("open", Grade::kClean);
  order.size = 400;
  const auto made = InventPullback(order);
  // Far from the catheter nothing but adventitia; 60 dB are 255 grey levels. Angles without the wire's shadow.
  double sum = 0.0, square = 0.0;
  int count = 0;
  for (int y = -190; y <= 190; ++y) {
    for (int x = -190; x <= 190; ++x) {
      const double r = std::hypot(x, y) * 0.025, degrees = std::atan2(y, x) * 180.0 / std::numbers::pi;
      const double away = std::abs(std::remainder(degrees - made->truth[0].guidewire.angle_deg, 360.0));
      if (r < 3.2 || r > 4.4 || away < 12.0) continue;
      if (const auto& branch = made->truth[0].branch) {  // blood
        if (std::abs(std::remainder(degrees - 0.5 * (branch->from_deg + branch->to_deg), 360.0)) < 0.5 * (branch->to_deg - branch->from_deg) + 10.0) continue;
      }
      const double grey = made->pixels[static_cast<std::size_t>(y + 200) * 400 + static_cast<std::size_t>(x + 200)];
      sum += grey, square += grey * grey, ++count;
    }
  }
  const double mean = sum / count, sd = std::sqrt(square / count - mean * mean) * 60.0 / 255.0;
  // Between two values alike to a share q, bilinear conversion keeps 1 - (1 - q) / 3 of the variance on average. Speckle
  // spread by a Gaussian of sd s is alike to exp(-x^2 / 2 s^2): one ray of s = 1 ray, one sample of s = 2 samples.
  const double across = 1.0 - (1.0 - std::exp(-0.5)) / 3.0, along = 1.0 - (1.0 - std::exp(-0.125)) / 3.0;
  EXPECT_NEAR(sd, 20.0 / std::numbers::ln10 * std::numbers::pi / std::sqrt(24.0) * std::sqrt(across * along), 0.3);
}

TEST(InventedPullback, TruthIsOrdered) {
  for (const auto scene : PullbackScenes()) {
    SCOPED_TRACE(scene);
    const auto made = InventPullback(Small(std::string(scene).c_str(), Grade::kPoor));
    ASSERT_TRUE(made.ok());
    for (const SectionTruth& s : made->truth) {
      for (std::size_t k = 0; k < kRays; ++k) {
        EXPECT_GT(s.lumen[k], 0.5f);
        if (s.inside) { EXPECT_GT(s.eem[k], s.lumen[k] + 0.2f); }
      }
      EXPECT_LE(s.vessel_min_mm, s.vessel_max_mm);
    }
  }
}

// A true lumen is lined nearly all round, a channel in plaque in patches; a branch opens into the lumen alone. The shares are
// those that the generator draws its parameters from.
TEST(InventedPullback, HoldsTheTrueLumenAndPlaqueInOnePullback) {
  PullbackOrder order = Small("entry", Grade::kClean);
  order.frames = 40;
  const auto made = InventPullback(order);
  ASSERT_TRUE(made.ok());
  EXPECT_EQ(made->truth.front().space, SpaceTruth::kLumen);
  EXPECT_EQ(made->truth.back().space, SpaceTruth::kPlaque);
  for (const SectionTruth& s : made->truth) {
    double lined = 0.0;
    for (const float one : s.lining) lined += static_cast<double>(one) / kRays;
    if (s.space == SpaceTruth::kLumen) { EXPECT_GT(lined, 0.6); }
    else { EXPECT_LT(lined, 0.5); }
  }
  EXPECT_NE(PullbackTruthJson(*made).find("\"catheter_space\": \"lumen\""), std::string::npos);
  EXPECT_NE(PullbackTruthJson(*made).find("\"catheter_space\": \"plaque\""), std::string::npos);
}

TEST(InventedPullback, BackwardsIsTheSameVesselFromTheOtherEnd) {
  PullbackOrder order = Small("open", Grade::kClean);
  const auto forwards = InventPullback(order);
  order.backwards = true;
  const auto back = InventPullback(order);
  for (std::size_t f = 0; f < 6; ++f) EXPECT_NEAR(forwards->truth[f].z_mm, back->truth[5 - f].z_mm, 1e-9);
  EXPECT_NEAR(AreaInside(forwards->truth[0].lumen), AreaInside(back->truth[5].lumen), 1e-6);
}

TEST(InventedPullback, RefusesWhatCannotBe) {
  EXPECT_EQ(InventPullback(Small("nowhere", Grade::kClean)).error().what, "there is no such scene");
  PullbackOrder order = Small("open", Grade::kClean);
  order.frames = 0;
  EXPECT_EQ(InventPullback(order).error().what, "such a pullback cannot be made");
  order.frames = 5, order.size = 5000;
  EXPECT_FALSE(InventPullback(order).ok());
}

std::vector<std::uint8_t> FileOf(const PullbackOrder& order) {
  const auto folder = std::filesystem::temp_directory_path() / "fairlead-invented-pullback";
  EXPECT_TRUE(WritePullbackPhantom(folder, order).ok());
  std::ifstream in(folder / "pullback.dcm", std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}

TEST(PullbackFile, SaysHowLargeAPixelIsAndHowFastItWas) {
  const auto run = ReadHeader(FileOf(Small("plaque", Grade::kTypical)), {});
  ASSERT_TRUE(run.ok()) << run.error().what;
  EXPECT_EQ(run->kind, RunKind::kUltrasound);
  ASSERT_TRUE(run->ultrasound.has_value());
  EXPECT_NEAR(run->ultrasound->spacing.row.millimetres(), 0.025, 1e-9);
  EXPECT_EQ(run->ultrasound->from, "the file's ultrasound region");
  EXPECT_DOUBLE_EQ(run->pullback_mm_s, 1.0);
  EXPECT_EQ(run->frames, 6);
}

TEST(PullbackFile, WithoutCalibrationTheReaderAsksForIt) {
  PullbackOrder order = Small("plaque", Grade::kTypical);
  order.calibrated = false;
  const auto run = ReadHeader(FileOf(order), {});
  EXPECT_FALSE(run->ultrasound.has_value());
  bool told = false;
  for (const RunRemark& remark : run->remarks) told = told || remark.text.find("nothing can be measured until it is given") != std::string::npos;
  EXPECT_TRUE(told);
}

TEST(PullbackFile, IsValidByTheStandardsChecker) {
  if (std::system("command -v dciodvfy >/dev/null") != 0) GTEST_SKIP() << "dciodvfy is not installed";
  FileOf(Small("plaque", Grade::kTypical));
  const auto folder = std::filesystem::temp_directory_path() / "fairlead-invented-pullback";
  const std::string said = (folder / "said.txt").string();
  EXPECT_EQ(std::system(("dciodvfy -new " + (folder / "pullback.dcm").string() + " >" + said + " 2>&1").c_str()), 0);
  std::ifstream in(said);
  const std::string text{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
  EXPECT_EQ(text.find("Error"), std::string::npos) << text;
  EXPECT_NE(text.find("USMultiFrame"), std::string::npos) << text;
}

}  // namespace
}  // namespace fairlead
