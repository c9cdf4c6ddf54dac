// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include <limits>

#include "imaging/child/run_bytes.h"

namespace fairlead {
namespace {

Run Sample() {
  fairlead::Run run;
  run.kind = RunKind::kAngiogram;
  run.modality = "XA";
  run.rows = run.columns = 64;
  run.frames = 2;
  run.frame_ms = {0.0, 66.7};
  run.filling = {0.25, 0.5};
  run.view = ViewAngles{Angle::Degrees(30.5), Angle::Degrees(-20)};
  run.frame_views = {*run.view, *run.view};
  run.source_to_detector = Length::Millimetres(1000);
  run.detector_spacing = PixelSpacing{Length::Millimetres(0.2), Length::Millimetres(0.2)};
  run.pixel_size = GeometricPixelSize{Length::Millimetres(0.15), Length::Millimetres(0.01), {{"depth", Length::Millimetres(0.01)}}, "geometry"};
  run.ultrasound = UltrasoundScale{{Length::Millimetres(0.02), Length::Millimetres(0.03)}, {1, 60, 2, 61}, "the file"};
  run.pullback_mm_s = 0.5;
  run.window = {128, 256};
  run.shutter = Shutter{1, 60, 2, 61};
  run.r_wave_frames = {1};
  run.spine = {0.3, false};
  run.remarks = {{RemarkLevel::kWarning, "A sentence."}};
  return run;
}

TEST(RunBytes, ComeBackAsTheSameRun) {
  const std::vector<std::uint8_t> bytes = RunBytes(Sample());
  const Result<fairlead::Run> back = RunFromBytes(bytes);
  ASSERT_TRUE(back);
  EXPECT_EQ(RunBytes(*back), bytes);
  EXPECT_EQ(back->remarks.front().text, "A sentence.");
  EXPECT_EQ(back->frame_views.size(), 2U);
  EXPECT_EQ(back->pixel_size->parts.front().name, "depth");
}

TEST(RunBytes, CutAnywhereAreRefused) {
  const std::vector<std::uint8_t> bytes = RunBytes(Sample());
  for (std::size_t size = 0; size < bytes.size(); ++size) EXPECT_FALSE(RunFromBytes(std::span(bytes).first(size))) << size;
}

TEST(RunBytes, RefuseWhatASoundChildNeverWrites) {
  const auto refused = [](auto change) {
    fairlead::Run run = Sample();
    change(run);
    return !RunFromBytes(RunBytes(run));
  };
  EXPECT_TRUE(refused([](fairlead::Run& r) { r.rows = 0; }));
  EXPECT_TRUE(refused([](fairlead::Run& r) { r.frames = -1; }));
  EXPECT_TRUE(refused([](fairlead::Run& r) { r.samples = 2; }));
  EXPECT_TRUE(refused([](fairlead::Run& r) { r.bits = 12; }));
  EXPECT_TRUE(refused([](fairlead::Run& r) { r.frame_ms.push_back(1); }));
  EXPECT_TRUE(refused([](fairlead::Run& r) { r.filling.clear(); }));
  EXPECT_TRUE(refused([](fairlead::Run& r) { r.r_wave_frames = {2}; }));
  EXPECT_TRUE(refused([](fairlead::Run& r) { r.shutter->right = 64; }));
  EXPECT_TRUE(refused([](fairlead::Run& r) { r.window.width = 0; }));
  EXPECT_TRUE(refused([](fairlead::Run& r) { r.window.center = std::numeric_limits<double>::quiet_NaN(); }));
  EXPECT_TRUE(refused([](fairlead::Run& r) { r.pixel_size->per_pixel = Length::Millimetres(-1); }));
}

TEST(SumOf, ChangesWithEveryByte) {
  std::vector<std::uint8_t> bytes(1000, 0);
  const std::uint64_t sum = SumOf(bytes);
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    bytes[i] = 1;
    EXPECT_NE(SumOf(bytes), sum) << i;
    bytes[i] = 0;
  }
  bytes.push_back(0);
  EXPECT_NE(SumOf(bytes), sum);
}

}  // namespace
}  // namespace fairlead
