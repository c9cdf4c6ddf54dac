// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/edges.h"

#include <gtest/gtest.h>

#include "imaging/trace/chord.h"
#include "tests/imaging/trace/drawn.h"

namespace fairlead {
namespace {

Course AxisOf(const Tube& tube, double half, double off = 0.0) {
  Course course;
  const double a = tube.angle_deg * std::numbers::pi / 180.0;
  for (double along = -half; along <= half; along += 1.0) {
    const PixelPoint p = AxisAt(tube, along);
    course.push_back({p.x - off * std::sin(a), p.y + off * std::cos(a)});
  }
  return course;
}

double MeanDiameter(const Edges& edges) {
  double sum = 0.0;
  for (const CrossSection& s : edges.sections) sum += s.right - s.left;
  return sum / static_cast<double>(edges.sections.size());
}

TEST(BlurredChord, TableKeepsToTheQuadrature) {
  const BlurredChord chord;
  for (double radius = 0.2; radius < 50.0; radius *= 1.37) {
    for (double t = 0.0; t < radius + 4.0; t += 0.31) {
      EXPECT_NEAR(chord(t, radius), BlurredChordByQuadrature(t, radius), 0.004 * radius) << radius << " " << t;
    }
  }
}

// Without blur the chord is 2 sqrt(R^2 - t^2), and blurring keeps the area: pi R^2.
TEST(BlurredChord, KeepsTheAreaOfTheDisc) {
  for (const double radius : {0.5, 1.0, 4.0, 20.0}) {
    double area = 0.0;
    for (double t = -radius - 6.0; t <= radius + 6.0; t += 0.01) area += 0.01 * BlurredChordByQuadrature(t, radius);
    EXPECT_NEAR(area, std::numbers::pi * radius * radius, 0.001 * radius * radius);
  }
  EXPECT_NEAR(BlurredChordByQuadrature(0.0, 40.0), 80.0 - 1.0 / 40.0, 1e-3);  // 2 R - t^2 / R, averaged over the blur
}

TEST(Edges, DiameterOfATubeIsItsOwnWhateverItsBlurSizeAndDirection) {
  for (const double radius : {3.0, 5.0, 9.0}) {
    for (const double blur : {0.8, 1.4}) {
      for (const double angle : {0.0, 33.0}) {
        const Tube tube{.radius = radius, .angle_deg = angle, .blur = blur, .noise = 1.0, .slope = 0.1};
        const Edges edges = FindEdges(Drawn(tube), AxisOf(tube, 40.0), radius * 1.2);
        EXPECT_NEAR(MeanDiameter(edges), 2.0 * radius, 0.06) << radius << " blur " << blur << " at " << angle;
        EXPECT_NEAR(edges.blur, blur, 0.1);
      }
    }
  }
}

TEST(Edges, ACourseBesideTheAxisFindsTheSameDiameter) {
  const Tube tube{.radius = 5.0, .angle_deg = 27.0};
  const Picture picture = Drawn(tube);
  for (const double off : {-2.0, -1.0, 1.5}) {
    const Edges edges = FindEdges(picture, AxisOf(tube, 40.0, off), 5.0);
    EXPECT_NEAR(MeanDiameter(edges), 10.0, 0.06) << off;
    for (const CrossSection& s : edges.sections) EXPECT_NEAR(s.middle, -off, 0.1);
  }
}

TEST(Edges, StatedSpreadIsThatOfRepeatedNoise) {
  double squares = 0.0, stated = 0.0, n = 0.0;
  for (std::uint64_t seed = 1; seed <= 10; ++seed) {
    const Tube tube{.radius = 4.0, .angle_deg = 27.0, .darkness = 6.0, .noise = 3.0, .seed = seed, .size = 120};
    const Edges edges = FindEdges(Drawn(tube), AxisOf(tube, 40.0), 4.0);
    for (std::size_t i = 0; i < edges.sections.size(); i += 5) {
      squares += std::pow(edges.sections[i].radius - 4.0, 2.0), stated += std::pow(edges.sections[i].radius_sd, 2.0), n += 1.0;
    }
  }
  EXPECT_GT(n, 120.0);
  EXPECT_GT(std::sqrt(stated / squares), 0.65);
  EXPECT_LT(std::sqrt(stated / squares), 1.5);
}

TEST(Edges, WhereNothingStandsOutTheSectionIsNotSeen) {
  const Tube tube{.radius = 5.0, .angle_deg = 0.0, .narrow = 0.999, .narrow_sd = 10.0, .noise = 1.0};
  const Edges edges = FindEdges(Drawn(tube), AxisOf(tube, 60.0), 5.0);
  EXPECT_NE(edges.sections[60].kind, SectionKind::kMeasured);
  EXPECT_EQ(edges.sections[5].kind, SectionKind::kMeasured);
}

TEST(DrawEdges, OutrankTheFoundOnesWhereTheStrokeRuns) {
  const Tube tube{.radius = 5.0, .angle_deg = 0.0};
  Edges edges = FindEdges(Drawn(tube), AxisOf(tube, 40.0), 5.0);
  const PixelPoint a = AxisAt(tube, -10.0), b = AxisAt(tube, 10.0);
  const std::vector<EdgeStroke> strokes{{{a.x, a.y + 7.0}, {b.x, b.y + 7.0}}};
  DrawEdges(edges, strokes);
  for (std::size_t i = 0; i < edges.sections.size(); ++i) {
    const bool drawn = i >= 30 && i <= 50;
    EXPECT_EQ(edges.sections[i].kind == SectionKind::kByHand, drawn) << i;
    EXPECT_NEAR(edges.sections[i].right, drawn ? 7.0 : 5.0, 0.1);
    EXPECT_NEAR(edges.sections[i].left, -5.0, 0.1);
  }
  EXPECT_GT(edges.sections[40].radius_sd, 0.2);
}

TEST(DrawEdges, AStrokeFarAwayOrEmptyChangesNothing) {
  const Tube tube{.radius = 5.0, .angle_deg = 0.0};
  Edges edges = FindEdges(Drawn(tube), AxisOf(tube, 20.0), 5.0);
  const std::vector<EdgeStroke> strokes{{}, {{10.0, 5.0}, {60.0, 5.0}}};
  DrawEdges(edges, strokes);
  for (const CrossSection& s : edges.sections) EXPECT_EQ(s.kind, SectionKind::kMeasured);
}

}  // namespace
}  // namespace fairlead
