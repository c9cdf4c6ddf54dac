// SPDX-License-Identifier: Apache-2.0
// Two vessels that lie on each other are measured each by itself, and the one that was clicked is the one that is told. Truth is the
// drawing's own radius.
#include "imaging/trace/lumen_choice.h"

#include <gtest/gtest.h>

#include <cmath>

#include "imaging/trace/edges.h"
#include "imaging/trace/explanations.h"
#include "tests/imaging/trace/drawn.h"

namespace fairlead {
namespace {

// Two level tubes; shadows add, so the picture is their sum. Rows count downwards. The other begins in the picture: where ours lies
// alone it shows that one lumen explains it.
struct TwoTubes {
  Tube ours{.radius = 3.5, .angle_deg = 0.0, .darkness = 8.0, .noise = 0.7};
  double other_radius = 5.0;
  int rows_below = 5;  // of the other's axis, below ours
  std::size_t begins = 80;  // column of the other's first
};

Picture Drawn(const TwoTubes& two) {
  Tube other = two.ours;
  other.radius = two.other_radius, other.noise = 0.0;
  Picture picture = Drawn(two.ours);
  const Picture shadow = Drawn(other);
  const auto width = static_cast<std::size_t>(picture.columns), down = static_cast<std::size_t>(two.rows_below) * width;
  for (std::size_t i = 0; i + down < picture.values.size(); ++i) {
    if (i % width >= two.begins) picture.values[i + down] += shadow.values[i] - 60.0f;
  }
  return picture;
}

Course AxisOf(const Tube& tube, double half) {
  Course course;
  for (double along = -half; along <= half; along += 1.0) course.push_back(AxisAt(tube, along));
  return course;
}

// Where both lie.
double MeanDiameter(const Edges& edges, const TwoTubes& two) {
  double sum = 0.0, n = 0.0;
  for (const CrossSection& s : edges.sections) {
    if (s.kind != SectionKind::kMeasured || s.on_course.x < static_cast<double>(two.begins) + 4.0) continue;
    sum += s.right - s.left, n += 1.0;
  }
  return n > 20.0 ? sum / n : 0.0;
}

// As one they look 13.5 pixels wide.
TEST(Explanations, OfTwoTubesUponEachOtherHoldBothWithTheirOwnPlaceAndRadius) {
  const TwoTubes two;
  const Picture picture = Drawn(two);
  const Course course = AxisOf(two.ours, 30.0);
  const Straightened straight = Straighten(picture, course, Normals(course), 28.0);
  std::vector<SectionStart> chain;
  for (const PixelPoint& p : course) chain.push_back(p.x < static_cast<double>(two.begins) ? SectionStart{0.0, 3.5} : SectionStart{3.25, 6.75});
  const auto all = ExplanationsOf(straight, SectionFitter(two.ours.blur), chain, 1e9);
  ASSERT_EQ(all.size(), course.size());
  int both = 0, lines = 0;
  for (std::size_t l = 0; l < all.size(); ++l) {
    const auto& line = all[l];
    ASSERT_FALSE(line.empty());
    if (course[l].x < static_cast<double>(two.begins) + 4.0) continue;
    ++lines;
    EXPECT_EQ(line.front().lumens, 1);
    bool ours = false, other = false;
    for (const Explanation& e : line) {
      if (e.lumens < 2 || e.gain < 1.0) continue;
      ours = ours || (std::abs(e.fit.middle) < 0.5 && std::abs(e.fit.radius - 3.5) < 0.5);
      other = other || (std::abs(e.fit.middle - 5.0) < 0.5 && std::abs(e.fit.radius - 5.0) < 0.5);
    }
    both += ours && other ? 1 : 0;
  }
  EXPECT_GT(both, lines * 8 / 10);
}

TEST(Explanations, OfALoneTubeGainLittleByASecondLumen) {
  const Tube tube{.radius = 5.0, .angle_deg = 17.0, .darkness = 8.0, .noise = 1.0};
  const Course course = AxisOf(tube, 30.0);
  const auto all = ExplanationsOf(Straighten(Drawn(tube), course, Normals(course), 22.0), SectionFitter(tube.blur), std::vector<SectionStart>(course.size(), {0.0, 5.0}), 1e9);
  int many = 0;
  for (const auto& line : all) {
    for (const Explanation& e : line) many += e.gain > 1.0 ? 1 : 0;
  }
  EXPECT_LT(many, static_cast<int>(all.size()) / 10);
}

TEST(Edges, OfTwoTubesUponEachOtherAreThoseOfTheOneThatWasClicked) {
  const TwoTubes two;
  const Picture picture = Drawn(two);
  const PixelPoint a = AxisAt(two.ours, -40.0), b = AxisAt(two.ours, 40.0);
  Course course = AxisOf(two.ours, 40.0);
  for (PixelPoint& p : course) p.y += 2.5;  // between both
  EXPECT_NEAR(MeanDiameter(FindEdges(picture, course, 4.0, std::vector<PixelPoint>{a, b}), two), 7.0, 0.4);
}

// A display that sharpens edges: bright beside the vessel and flat within, all along. Two lumens would explain it better than one.
TEST(Edges, OfAFlatVesselWithSharpenedEdgesAreNeverThoseOfHalfOfIt) {
  const Tube tube{.radius = 6.5, .angle_deg = 0.0, .darkness = 8.0, .noise = 1.0};
  Picture picture = Drawn(tube);
  const double axis = AxisAt(tube, 0.0).y;
  for (int row = 0; row < picture.rows; ++row) {
    for (int column = 0; column < picture.columns; ++column) {
      const double away = std::abs(row - axis), beside = std::exp(-0.5 * std::pow((away - 9.5) / 1.5, 2.0));
      float& value = picture.values[static_cast<std::size_t>(row) * static_cast<std::size_t>(picture.columns) + static_cast<std::size_t>(column)];
      value = static_cast<float>(std::min(static_cast<double>(value), 120.0 + 0.02 * away) - 15.0 * beside);
    }
  }
  const PixelPoint a = AxisAt(tube, -40.0), b = AxisAt(tube, 40.0);
  for (const CrossSection& s : FindEdges(picture, AxisOf(tube, 40.0), 6.5, std::vector<PixelPoint>{{a.x, a.y + 2.5}, {b.x, b.y + 2.5}}).sections) {
    EXPECT_TRUE(s.kind != SectionKind::kMeasured || s.right - s.left > 11.0) << s.right - s.left;
  }
}

// Explanations by hand: the wide one leaves a little less over on two lines, yet does not continue the vessel.
TEST(ChooseLumens, KeepToOneVesselWhereALineByItselfWouldTakeTheOther) {
  std::vector<std::vector<Explanation>> all;
  for (int l = 0; l < 20; ++l) {
    SectionFit thin, wide;
    thin.middle = -2.0, thin.radius = 2.5, thin.darkness = 6.0, wide.middle = 1.5, wide.radius = 4.0, wide.darkness = 6.0;
    SectionFit one = wide;
    one.radius = 5.0;
    all.push_back({{one, 1, 0.0}, {thin, 2, 3.0}, {wide, 2, l == 9 || l == 10 ? 4.0 : 3.0}});
  }
  std::vector<SectionStart> chain(all.size(), {0.0, 5.0});
  const std::vector<Anchor> anchors{{0, -2.0}, {19, -2.0}};
  const LumenChoice choice = ChooseLumens(all, anchors, chain);
  for (std::size_t l = 0; l < all.size(); ++l) {
    EXPECT_TRUE(choice.found[l]);
    EXPECT_EQ(choice.fits[l].radius, 2.5) << l;
    EXPECT_EQ(chain[l].middle, -2.0) << l;
    EXPECT_GT(choice.otherwise[l], 0.0);
    EXPECT_LT(choice.otherwise[l], 3.0);  // 2 (4 - 2.5): both equally likely would give 3 / sqrt 2
  }
}

TEST(ChooseLumens, PassOverALineWhereNothingContinuesTheVessel) {
  std::vector<std::vector<Explanation>> all;
  for (int l = 0; l < 21; ++l) {
    SectionFit fit;
    fit.middle = l == 10 ? 7.0 : 0.1 * l, fit.radius = l == 10 ? 9.0 : 3.0, fit.darkness = 5.0;
    all.push_back({{fit, 1, 0.0}});
  }
  std::vector<SectionStart> chain(all.size(), {0.0, 3.0});
  const LumenChoice choice = ChooseLumens(all, {}, chain);
  for (std::size_t l = 0; l < all.size(); ++l) EXPECT_EQ(choice.found[l], l != 10);
  EXPECT_NEAR(chain[10].middle, 1.0, 1e-9);
  EXPECT_NEAR(chain[10].radius, 3.0, 1e-9);
}

}  // namespace
}  // namespace fairlead
