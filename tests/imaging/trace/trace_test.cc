// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/trace.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <tuple>

#include "geometry/view.h"
#include "tests/imaging/trace/drawn.h"

namespace fairlead {
namespace {

PixelSize Scale(double mm, double sd) {
  PixelSize pixel;
  pixel.per_pixel = Length::Millimetres(mm), pixel.sd = Length::Millimetres(sd);
  pixel.parts = {{"size of a pixel", pixel.sd}};
  pixel.method = "given";
  return pixel;
}

Result<VesselTrace> Traced(const Picture& picture, std::vector<PixelPoint> through, std::optional<PixelSize> pixel = Scale(0.2, 0.004)) {
  TraceRequest request;
  request.through = std::move(through);
  request.pixel = std::move(pixel);
  return TraceVessel(picture, VesselnessOf(picture), request);
}

Result<VesselTrace> OnTube(const Tube& tube) { return Traced(Drawn(tube), {AxisAt(tube, -55.0), AxisAt(tube, 55.0)}); }

TEST(Trace, TwoClicksOnATubeGiveItsLengthAndDiameter) {
  for (const double angle : {0.0, 28.0, 61.0, 90.0, 135.0}) {
    const Tube tube{.radius = 6.0, .angle_deg = angle, .noise = 2.0};
    const auto trace = OnTube(tube);
    ASSERT_TRUE(trace.ok());
    EXPECT_NEAR(trace->length_px, 110.0, 1.5) << angle;
    ASSERT_TRUE(trace->mean && trace->length);
    EXPECT_NEAR(trace->mean->value.millimetres(), 12.0 * 0.2, 0.03);
    EXPECT_NEAR(trace->length->reading.value.millimetres(), 22.0, 0.3);
    EXPECT_GT(trace->length->reading.sd->millimetres(), 0.2);
  }
}

// A vessel of 3 mm, 20 mm nearer to the source than the isocentre, by the projector's closed form.
TEST(Trace, AVesselOfKnownSizeAtAKnownDepthKeepsItsSize) {
  View view;
  view.source_to_isocentre = Length::Millimetres(750.0), view.source_to_detector = Length::Millimetres(1100.0);
  const double magnified = 1100.0 / (750.0 - 20.0), pixel_mm = 0.3;
  const Tube tube{.radius = 1.5 * magnified / pixel_mm, .angle_deg = 28.0, .noise = 1.0};
  const Picture picture = Drawn(tube);
  const auto trace = Traced(picture, {AxisAt(tube, -55.0), AxisAt(tube, 55.0)}, Scale(pixel_mm / magnified, 0.001));
  ASSERT_TRUE(trace.ok() && trace->mean);
  EXPECT_NEAR(trace->mean->value.millimetres(), 3.0, 0.03);
}

TEST(Trace, ANarrowingIsFoundWhereItIsAndAsDeepAsItIs) {
  for (const double share : {0.3, 0.5}) {
    const Tube tube{.radius = 7.0, .angle_deg = 28.0, .narrow = share, .noise = 2.0};
    const auto trace = OnTube(tube);
    ASSERT_TRUE(trace.ok() && trace->narrowing);
    EXPECT_NEAR(trace->narrowing->stenosis_pct, 100.0 * share, 4.0);
    EXPECT_NEAR(trace->narrowing->at.millimetres(), 11.0, 0.8);
    EXPECT_NEAR(trace->narrowing->reference.millimetres(), 14.0 * 0.2, 0.08);
  }
}

TEST(Trace, ClicksBesideTheVesselGoToIt) {
  const Tube tube{.radius = 5.0, .angle_deg = 0.0, .noise = 2.0};
  PixelPoint a = AxisAt(tube, -50.0), b = AxisAt(tube, 50.0);
  a.y += 4.5, b.y -= 5.0;
  const auto trace = Traced(Drawn(tube), {a, b});
  ASSERT_TRUE(trace.ok());
  for (const TracedPoint& p : trace->points) EXPECT_NEAR(p.centre.y, 79.5, 0.6);
}

bool Says(const VesselTrace& trace, const std::string& words) {
  return std::any_of(trace.warnings.begin(), trace.warnings.end(), [&](const std::string& each) { return each.find(words) != std::string::npos; });
}

// The truth is the tube's: as wide everywhere, so that it has no narrowing.
TEST(Trace, AnEndClickedBesideTheVesselIsNamedAndMakesNoNarrowing) {
  for (const double radius : {5.0, 6.0, 8.0}) {
    for (const double angle : {0.0, 33.0}) {
      const Tube tube{.radius = radius, .angle_deg = angle, .noise = 2.0, .size = 200};
      const Picture picture = Drawn(tube);
      const double across = 2.0 * radius + 4.0, s = std::sin(angle * 3.14159265 / 180.0), c = std::cos(angle * 3.14159265 / 180.0);
      const auto beside = [&](double along, double side) { const PixelPoint at = AxisAt(tube, along); return PixelPoint{at.x - side * across * s, at.y + side * across * c}; };
      const std::tuple<PixelPoint, PixelPoint, const char*> trials[] = {{beside(-60.0, 1.0), AxisAt(tube, 60.0), "The first end lies beside the vessel"},
                                                                       {AxisAt(tube, -60.0), beside(60.0, 1.0), "The last end lies beside the vessel"},
                                                                       {beside(-60.0, -1.0), beside(60.0, 1.0), "Both ends lie beside the vessel"}};
      for (const auto& [from, to, words] : trials) {
        const auto trace = Traced(picture, {from, to});
        ASSERT_TRUE(trace.ok() && trace->narrowing && trace->mean) << radius << " " << words;
        EXPECT_TRUE(Says(*trace, words)) << radius << " " << angle << " " << words;
        EXPECT_LT(trace->narrowing->stenosis_pct, 12.0) << radius << " " << angle << " " << words;
        EXPECT_NEAR(trace->mean->value.millimetres(), 0.4 * radius, 0.06) << radius << " " << angle << " " << words;
      }
      EXPECT_FALSE(Says(*Traced(picture, {AxisAt(tube, -60.0), AxisAt(tube, 60.0)}), "beside the vessel"));
    }
  }
  const Tube bowed{.radius = 6.0, .angle_deg = 28.0, .bow = 30.0, .noise = 3.0};
  EXPECT_FALSE(Says(*OnTube(bowed), "beside the vessel"));
}

TEST(Trace, TheSameFromEitherEndAndInAMirror) {
  const Tube tube{.radius = 5.0, .angle_deg = 25.0, .bow = 12.0, .noise = 3.0};
  const Picture picture = Drawn(tube);
  const PixelPoint a = AxisAt(tube, -55.0), b = AxisAt(tube, 55.0);
  const auto there = Traced(picture, {a, b}), back = Traced(picture, {b, a});
  ASSERT_TRUE(there.ok() && back.ok());
  EXPECT_NEAR(there->length_px, back->length_px, 0.5);
  EXPECT_NEAR(there->mean->value.millimetres(), back->mean->value.millimetres(), 0.01);
  Picture mirror = picture;
  for (int r = 0; r < picture.rows; ++r) std::reverse(mirror.values.begin() + r * picture.columns, mirror.values.begin() + (r + 1) * picture.columns);
  const double last = picture.columns - 1;
  const auto mirrored = Traced(mirror, {{last - a.x, a.y}, {last - b.x, b.y}});
  ASSERT_TRUE(mirrored.ok());
  EXPECT_NEAR(there->length_px, mirrored->length_px, 0.5);
  EXPECT_NEAR(there->mean->value.millimetres(), mirrored->mean->value.millimetres(), 0.01);
}

TEST(Trace, LeftAndRightAreThoseOfOneWhoWalksAlong) {
  const Tube tube{.radius = 5.0, .angle_deg = 0.0};
  const auto east = Traced(Drawn(tube), {AxisAt(tube, -50.0), AxisAt(tube, 50.0)});
  ASSERT_TRUE(east.ok());
  EXPECT_GT(east->points[40].right.y, east->points[40].left.y);
}

TEST(Trace, GreyScaleAndOffsetChangeNothing) {
  const Tube tube{.radius = 5.0, .angle_deg = 28.0, .noise = 3.0};
  Picture picture = Drawn(tube);
  const auto plain = OnTube(tube);
  for (float& v : picture.values) v = 16.0f * v - 4000.0f;
  const auto stretched = Traced(picture, {AxisAt(tube, -55.0), AxisAt(tube, 55.0)});
  ASSERT_TRUE(plain.ok() && stretched.ok());
  EXPECT_NEAR(plain->mean->value.millimetres(), stretched->mean->value.millimetres(), 0.002);
  EXPECT_NEAR(plain->length_px, stretched->length_px, 0.05);
}

TEST(Trace, WithoutThePixelsSizeNothingIsInMillimetres) {
  const Tube tube{.radius = 5.0};
  const auto trace = Traced(Drawn(tube), {AxisAt(tube, -50.0), AxisAt(tube, 50.0)}, std::nullopt);
  ASSERT_TRUE(trace.ok());
  EXPECT_FALSE(trace->length || trace->mean || trace->narrowing);
  EXPECT_NEAR(trace->points[50].diameter_px, 10.0, 0.2);
}

TEST(Trace, TheScalesSpreadIsPartOfEachDiameters) {
  const Tube tube{.radius = 5.0};
  const auto trace = Traced(Drawn(tube), {AxisAt(tube, -50.0), AxisAt(tube, 50.0)}, Scale(0.2, 0.02));
  ASSERT_TRUE(trace.ok());
  const auto diameter = DiameterAt(*trace, 50);
  EXPECT_NEAR(diameter.parts[1].sd.millimetres(), 0.2, 0.005);
  EXPECT_GT(*diameter.sd, diameter.parts[1].sd);
}

TEST(Trace, WhatCannotBeTracedIsSaidInOneSentence) {
  const Tube tube{.radius = 5.0};
  const Picture picture = Drawn(tube);
  const double none = std::numeric_limits<double>::quiet_NaN();
  EXPECT_FALSE(Traced(picture, {}).ok());
  EXPECT_FALSE(Traced(picture, {{10, 10}}).ok());
  EXPECT_FALSE(Traced(picture, {{10, 10}, {200, 10}}).ok());
  EXPECT_FALSE(Traced(picture, {{10, 10}, {none, 10}}).ok());
  EXPECT_FALSE(Traced(picture, {{10, 10}, {-1, 10}}).ok());
  EXPECT_FALSE(Traced(picture, {{80, 80}, {80, 80}}).ok());
  EXPECT_FALSE(Traced(picture, std::vector<PixelPoint>(41, {10, 10})).ok());
  EXPECT_FALSE(Traced(picture, {{10, 10}, {100, 10}}, Scale(0.0, 0.0)).ok());
  const auto refused = Traced(picture, {{10, 10}, {200, 10}});
  EXPECT_FALSE(refused.error().to_do.empty());
}

TEST(Trace, PicturesWithoutAVesselGiveNoSizeThatLooksSure) {
  const std::vector<PixelPoint> clicks{{10, 20}, {50, 40}};
  std::mt19937 random(4);
  Picture flat{64, 64, std::vector<float>(64 * 64, -255.0f)}, noise = flat;
  for (float& v : noise.values) v = static_cast<float>(random() % 256);
  for (const Picture& picture : {flat, noise}) {
    const auto trace = Traced(picture, clicks);
    if (!trace.ok()) continue;
    EXPECT_TRUE(std::isfinite(trace->length_px));
    for (const TracedPoint& p : trace->points) {
      EXPECT_TRUE(std::isfinite(p.diameter_px) && std::isfinite(p.sd_px));
    }
    EXPECT_GT(trace->not_seen_px + trace->interpolated_px, 0.5 * trace->length_px);
  }
  for (const auto& [rows, columns] : {std::pair{1, 1}, {1, 64}, {64, 1}, {2, 2}}) {
    const Picture tiny{rows, columns, std::vector<float>(static_cast<std::size_t>(rows * columns), 0.0f)};
    const auto trace = Traced(tiny, {{0, 0}, {columns - 1.0, rows - 1.0}});
    if (trace.ok()) {
      EXPECT_TRUE(std::isfinite(trace->length_px));
    }
  }
}

TEST(AbsorptionOf, TurnsDarkToBrightAndLeavesTheCollimatorOut) {
  const std::vector<std::uint8_t> bytes{9, 9, 9, 9, 9, 5, 7, 9, 9, 9, 9, 9};
  const Picture whole = AbsorptionOf({bytes, 3, 4, 1}, std::nullopt);
  EXPECT_EQ(whole.at(1, 1), -5.0f);
  const Picture inside = AbsorptionOf({bytes, 3, 4, 1}, InsideShutter{1, 2, 1, 1});
  EXPECT_EQ(inside.at(0, 0), -5.0f);
  EXPECT_EQ(inside.at(3, 2), -7.0f);
  const std::vector<std::uint8_t> words{0x34, 0x12};
  EXPECT_EQ(AbsorptionOf({words, 1, 1, 2}, std::nullopt).at(0, 0), -4660.0f);
  const Picture odd = AbsorptionOf({bytes, 3, 4, 1}, InsideShutter{3, 1, -5, 900});  // a shutter that is none
  EXPECT_EQ(odd.at(1, 1), -5.0f);
}

TEST(ValueBetween, IsExactOnPixelsAndOnQuadratics) {
  Picture picture{12, 12, {}};
  for (int y = 0; y < 12; ++y) {
    for (int x = 0; x < 12; ++x) picture.values.push_back(static_cast<float>(0.5 * x * x - 0.25 * y * y + x * y));
  }
  EXPECT_NEAR(ValueBetween(picture, 5.0, 6.0), 0.5 * 25 - 0.25 * 36 + 30, 1e-4);
  EXPECT_NEAR(ValueBetween(picture, 5.3, 6.8), 0.5 * 5.3 * 5.3 - 0.25 * 6.8 * 6.8 + 5.3 * 6.8, 1e-3);
  EXPECT_TRUE(std::isfinite(ValueBetween(picture, -50.0, 90.0)));
}

}  // namespace
}  // namespace fairlead
