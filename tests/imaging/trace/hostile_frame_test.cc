// SPDX-License-Identifier: Apache-2.0
// Frames and clicks that no vessel made: one sentence, or a trace that does not look sure. Never a crash or a NaN.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <string>

#include "imaging/trace/trace.h"
#include "tests/imaging/trace/drawn.h"

namespace fairlead {
namespace {

void ExpectFiniteOrRefused(const Picture& picture, const std::vector<PixelPoint>& clicks, const char* what) {
  TraceRequest request;
  request.through = clicks;
  PixelSize pixel;
  pixel.per_pixel = Length::Millimetres(0.2);
  request.pixel = pixel;
  const auto trace = TraceVessel(picture, VesselnessOf(picture), request);
  if (!trace.ok()) {
    EXPECT_FALSE(trace.error().to_do.empty()) << what;
    return;
  }
  EXPECT_TRUE(std::isfinite(trace->length_px) && std::isfinite(trace->length_sd_px)) << what;
  EXPECT_GT(trace->length_sd_px, 0.0) << what;
  for (const TracedPoint& p : trace->points) {
    EXPECT_TRUE(std::isfinite(p.centre.x) && std::isfinite(p.centre.y) && std::isfinite(p.diameter_px) && std::isfinite(p.sd_px)) << what;
    EXPECT_TRUE(p.centre.x > -8 && p.centre.y > -8 && p.centre.x < picture.columns + 8 && p.centre.y < picture.rows + 8) << what;
  }
}

Picture Filled(int rows, int columns, float value) {
  return {rows, columns, std::vector<float>(static_cast<std::size_t>(rows) * static_cast<std::size_t>(columns), value)};
}

TEST(HostileFrame, OfOnePixelARowAColumnOrOneGreyAreRefusedOrFinite) {
  ExpectFiniteOrRefused(Filled(1, 1, 0.0f), {{0, 0}, {0, 0}}, "one pixel");
  ExpectFiniteOrRefused(Filled(1, 1, 0.0f), {{-0.4, 0.4}, {0.4, -0.4}}, "one pixel, two places");
  ExpectFiniteOrRefused(Filled(1, 200, 9.0f), {{2, 0}, {190, 0}}, "one row");
  ExpectFiniteOrRefused(Filled(200, 1, 9.0f), {{0, 2}, {0, 190}}, "one column");
  for (const float grey : {-255.0f, 0.0f, -4095.0f, 65535.0f}) ExpectFiniteOrRefused(Filled(96, 96, grey), {{10, 10}, {80, 85}}, "one grey");
}

TEST(HostileFrame, OfNoiseOrHalfSaturatedGivesNoDiameterThatLooksSure) {
  std::mt19937 random(11);
  Picture noise = Filled(128, 128, 0.0f);
  for (float& v : noise.values) v = static_cast<float>(random() % 256);
  ExpectFiniteOrRefused(noise, {{10, 20}, {110, 100}}, "noise");
  // Saturated: all that is brighter than the background's level is cut, the lumen is a flat band.
  Picture saturated = Drawn({.radius = 6.0, .angle_deg = 20.0, .darkness = 30.0});
  const float most = *std::max_element(saturated.values.begin(), saturated.values.end()), least = *std::min_element(saturated.values.begin(), saturated.values.end());
  for (float& v : saturated.values) v = std::min(v, 0.3f * most + 0.7f * least);
  ExpectFiniteOrRefused(saturated, {{20, 60}, {140, 100}}, "saturated");
  Picture checked = Filled(128, 128, 0.0f);
  for (std::size_t i = 0; i < checked.values.size(); ++i) checked.values[i] = (i + i / 128) % 2 == 0 ? 0.0f : 65535.0f;
  ExpectFiniteOrRefused(checked, {{3, 3}, {120, 120}}, "every other pixel");
}

TEST(HostileFrame, ClicksOffTheVesselBackwardsOrAtTheRimAreRefusedOrFinite) {
  const Tube tube{.radius = 5.0, .angle_deg = 20.0, .noise = 3.0};
  const Picture picture = Drawn(tube);
  ExpectFiniteOrRefused(picture, {{5, 150}, {20, 155}}, "off the vessel");
  ExpectFiniteOrRefused(picture, {{-0.5, -0.5}, {159.4, 159.4}}, "corners");
  ExpectFiniteOrRefused(picture, {AxisAt(tube, 50.0), AxisAt(tube, -50.0), AxisAt(tube, 50.0)}, "there and back");
  ExpectFiniteOrRefused(picture, {AxisAt(tube, -50.0), AxisAt(tube, 50.0), AxisAt(tube, 0.0)}, "out of order");
  ExpectFiniteOrRefused(picture, std::vector<PixelPoint>(40, AxisAt(tube, 0.0)), "forty times the same");
}

Result<VesselTrace> TracedOn(const Picture& picture, std::vector<PixelPoint> clicks) {
  TraceRequest request;
  request.through = std::move(clicks);
  return TraceVessel(picture, VesselnessOf(picture), request);
}

TEST(HostileFrame, TooSmallOrOfOneGreyIsRefusedBySayingSo) {
  const auto one = TracedOn(Filled(1, 1, 5.0f), {{0, 0}, {0, 0}});
  ASSERT_FALSE(one.ok());
  EXPECT_EQ(Sentence(one.error()), "a picture of 1 x 1 pixels is too small to trace a vessel in (picture): choose a frame of at least 16 x 16 pixels");
  const auto alike = TracedOn(Filled(96, 96, -255.0f), {{10, 10}, {80, 85}});
  ASSERT_FALSE(alike.ok());
  EXPECT_EQ(Sentence(alike.error()), "every pixel of this frame has the same grey, so no vessel can be seen (frame): choose a frame with contrast");
}

TEST(HostileFrame, OfNoiseSaysInOneSentenceThatNothingWasMeasuredAndAsksForNoClick) {
  std::mt19937 random(3);
  Picture noise = Filled(200, 200, 0.0f);
  for (float& v : noise.values) v = static_cast<float>(random() % 256);
  const auto trace = TracedOn(noise, {{20, 30}, {170, 140}});
  ASSERT_TRUE(trace.ok());
  ASSERT_EQ(trace->warnings.size(), 1u);
  EXPECT_NE(trace->warnings[0].find("it may follow no vessel"), std::string::npos) << trace->warnings[0];
  EXPECT_NE(trace->warnings[0].find("choose a frame with contrast"), std::string::npos);
  EXPECT_FALSE(trace->ask.has_value());
}

// Expected: the second half lies on the first, by construction of the clicks.
TEST(HostileFrame, ClicksThatLeadBackAreNamedAndTheLengthIsLessSure) {
  const Tube tube{.radius = 5.0, .angle_deg = 20.0, .noise = 3.0};
  const Picture picture = Drawn(tube);
  const auto forth = TracedOn(picture, {AxisAt(tube, -50.0), AxisAt(tube, 50.0)});
  const auto back = TracedOn(picture, {AxisAt(tube, -50.0), AxisAt(tube, 50.0), AxisAt(tube, 0.0)});
  ASSERT_TRUE(forth.ok() && back.ok());
  EXPECT_EQ(forth->runs_back_px, 0.0);
  EXPECT_NEAR(back->runs_back_px, 50.0, 20.0);
  EXPECT_GT(back->length_sd_px, 2.0 * forth->length_sd_px);
  ASSERT_FALSE(back->warnings.empty());
  EXPECT_NE(back->warnings[0].find("in order along the vessel?"), std::string::npos) << back->warnings[0];
}

TEST(HostileFrame, WithItsGreysCutOffInTheVesselSaysSo) {
  Picture cut = Drawn({.radius = 6.0, .angle_deg = 20.0, .darkness = 30.0});
  const float most = *std::max_element(cut.values.begin(), cut.values.end()), least = *std::min_element(cut.values.begin(), cut.values.end());
  for (float& v : cut.values) v = std::min(v, 0.7f * most + 0.3f * least);
  const Tube tube{.radius = 6.0, .angle_deg = 20.0, .darkness = 30.0};
  const auto trace = TracedOn(cut, {AxisAt(tube, -50.0), AxisAt(tube, 50.0)});
  ASSERT_TRUE(trace.ok());
  ASSERT_FALSE(trace->warnings.empty());
  EXPECT_NE(trace->warnings[0].find("its greys are cut off"), std::string::npos) << trace->warnings[0];
}

}  // namespace
}  // namespace fairlead
