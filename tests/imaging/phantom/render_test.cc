// SPDX-License-Identifier: Apache-2.0
// Pictures against the generator's own truth, by measurements made here and not by the program's.
#include "imaging/phantom/render.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "imaging/phantom/exposure.h"
#include "imaging/phantom/tree.h"

namespace fairlead {
namespace {

double At(const PhantomRun& run, const RunPlan& plan, int frame, double column, double row) {
  const auto pixel = [&](int c, int r) {
    c = std::clamp(c, 0, plan.view.columns - 1), r = std::clamp(r, 0, plan.view.rows - 1);
    return static_cast<double>(run.pixels[(static_cast<std::size_t>(frame) * static_cast<std::size_t>(plan.view.rows) + static_cast<std::size_t>(r)) *
                                              static_cast<std::size_t>(plan.view.columns) + static_cast<std::size_t>(c)]);
  };
  const int c = static_cast<int>(std::floor(column)), r = static_cast<int>(std::floor(row));
  const double x = column - c, y = row - r;
  return (1 - y) * ((1 - x) * pixel(c, r) + x * pixel(c + 1, r)) + y * ((1 - x) * pixel(c, r + 1) + x * pixel(c + 1, r + 1));
}

RunPlan Plan(double primary, double secondary, Grade grade, int frames) {
  RunPlan plan;
  plan.view = UsualView(Angle::Degrees(primary), Angle::Degrees(secondary));
  plan.grade = grade;
  plan.frames = frames;
  plan.bits_stored = 12;
  plan.injections = {{Injected::kRight, Duration::Seconds(0.2), Duration::Seconds(2)}, {Injected::kLeft, Duration::Seconds(0), Duration::Seconds(2.5)}};
  return plan;
}

// How far from `middle` the middle of what contrast takes away lies, across a direction, in pixels.
double RidgeOffset(const std::vector<double>& taken, ImagePoint middle, double ax, double ay, double reach) {
  double sum = 0, weights = 0;
  for (double s = -reach; s <= reach; s += 0.25) {
    const auto c = static_cast<std::size_t>(std::lround(middle.column + s * ax)), r = static_cast<std::size_t>(std::lround(middle.row + s * ay));
    const double w = taken.at(r * 512 + c);
    sum += w * s, weights += w;
  }
  return sum / weights;
}

TEST(Render, PutsTheRightArteryWhereTheProjectionSays) {
  const Scene scene = MakeScene("open-right", 8).value();
  const RunPlan plan = Plan(45, 0, Grade::kClean, 26);
  RunPlan empty = plan;
  empty.injections.clear();
  const PhantomRun run = RenderRun(scene, plan).value(), without = RenderRun(scene, empty, false).value();
  const Projector project(plan.view);
  const auto& nodes = scene.vessels[static_cast<std::size_t>(FindVessel(scene.vessels, "RCA"))].nodes;
  const int frame = 25;
  std::vector<double> taken;
  for (std::size_t i = std::size_t{frame} * 512 * 512; i < std::size_t{frame + 1} * 512 * 512; ++i) taken.push_back(std::max(0.0, 1.0 * without.pixels[i] - run.pixels[i]));
  const Moment moment = MomentAt(scene, plan.frame_time * frame, false);
  std::vector<double> offsets;
  for (std::size_t i = nodes.size() / 3; i < 3 * nodes.size() / 4; i += 2) {
    const ImagePoint a = project(PlaceOf(nodes[i - 2], moment)).at, b = project(PlaceOf(nodes[i], moment)).at, c = project(PlaceOf(nodes[i + 2], moment)).at;
    const double dx = c.column - a.column, dy = c.row - a.row, n = std::sqrt(dx * dx + dy * dy);
    if (n < 4) continue;  // end-on
    offsets.push_back(std::abs(RidgeOffset(taken, b, -dy / n, dx / n, 12)));
  }
  ASSERT_GT(offsets.size(), 10u);
  std::sort(offsets.begin(), offsets.end());
  EXPECT_LT(offsets[offsets.size() / 2], 0.5);
  EXPECT_LT(offsets[offsets.size() * 3 / 4], 1.0);  // beyond, a branch leaves and draws the middle away
}

// The cap of the right artery: dark before it, light after it, half-way within a pixel of the truth.
TEST(Render, CutsTheContrastAtTheCapsWithinAPixel) {
  int checked = 0;
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    Scene scene = MakeScene("short-right", seed).value();
    const auto vessel = static_cast<std::size_t>(scene.occlusion->vessel);
    auto& nodes = scene.vessels[vessel].nodes;
    for (Node& node : nodes) node.radius = 1.5;  // a blunt cut, whose edge has one place
    scene.wires.clear(), scene.calcium.clear();
    RunPlan plan = Plan(45, 0, Grade::kClean, 40), empty = plan;
    empty.injections.clear();
    const PhantomRun run = RenderRun(scene, plan, false).value(), without = RenderRun(scene, empty, false).value();
    const Projector project(plan.view);
    const int frame = 39;
    const Moment moment = MomentAt(scene, plan.frame_time * frame, false);
    for (const bool proximal : {true, false}) {
      const std::size_t cap = proximal ? scene.occlusion->proximal : scene.occlusion->distal;
      const ImagePoint at = project(PlaceOf(nodes[cap], moment)).at;
      const ImagePoint in = project(PlaceOf(nodes[proximal ? cap - 8 : cap + 8], moment)).at;
      const double dx = in.column - at.column, dy = in.row - at.row, n = std::sqrt(dx * dx + dy * dy);
      if (n < 12) continue;  // too foreshortened to have an edge
      const auto lost = [&](double s) {
        const double c = at.column + s * dx / n, r = at.row + s * dy / n;
        return At(without, plan, frame, c, r) - At(run, plan, frame, c, r);
      };
      const double inside = lost(0.5 * n);
      ASSERT_GT(inside, 100.0);
      double edge = -5;
      while (edge < 5 && lost(edge) < 0.5 * inside) edge += 0.02;
      EXPECT_NEAR(edge, 0.0, 1.0) << seed << proximal;
      ++checked;
    }
  }
  EXPECT_GT(checked, 6);
}

// The distance between the outer half-heights of a blurred hollow tube with a bore of 0.84, worked out by sums over a
// fine grid: the closed form of its chords through a normal law.
double WidthOfAWall(double radius, double blur) {
  const auto chord = [radius](double x) {
    const double bore = 0.84 * radius, outer = radius * radius - x * x, inner = bore * bore - x * x;
    return (outer > 0 ? std::sqrt(outer) : 0.0) - (inner > 0 ? std::sqrt(inner) : 0.0);
  };
  const double sd = std::sqrt(blur * blur + 1.0 / 12.0);  // and the width of a pixel
  const auto blurred = [&](double x) {
    double sum = 0, weights = 0;
    for (double k = -4; k <= 4; k += 0.01) sum += std::exp(-0.5 * k * k) * chord(x + k * sd), weights += std::exp(-0.5 * k * k);
    return sum / weights;
  };
  double most = 0;
  for (double x = 0; x < radius; x += 0.05) most = std::max(most, blurred(x));
  double edge = radius + 4;
  while (blurred(edge) < 0.5 * most) edge -= 0.02;
  return 2 * edge;
}

TEST(Render, DrawsTheCatheterAsWideAsItIs) {
  const Scene scene = MakeScene("open-left", 2).value();
  RunPlan plan = Plan(0, 0, Grade::kClean, 1), none = plan;
  Scene without = scene;
  without.catheters.clear();
  without.vessels = scene.vessels;
  const PhantomRun run = RenderRun(scene, plan, false).value(), empty = RenderRun(without, none, false).value();
  const auto& course = scene.catheters[0].course;
  const Projector project(plan.view);
  const Moment moment = MomentAt(scene, Duration::Seconds(0), false);
  std::vector<double> ratios;
  for (std::size_t i = 20; i + 4 < course.size(); i += 3) {
    const auto a = project(PlaceOf(course[i - 3], moment)), b = project(PlaceOf(course[i], moment)), c = project(PlaceOf(course[i + 3], moment));
    if (b.at.row < 40 || b.at.row > 470 || b.at.column < 40 || b.at.column > 470) continue;
    const double dx = c.at.column - a.at.column, dy = c.at.row - a.at.row, n = std::sqrt(dx * dx + dy * dy);
    const auto lost = [&](double s) {
      const double x = b.at.column - s * dy / n, y = b.at.row + s * dx / n;
      return At(empty, plan, 0, x, y) - At(run, plan, 0, x, y);
    };
    // Both edges at half of what the darker of the two walls loses.
    double most = 0;
    for (double s = -6; s <= 6; s += 0.1) most = std::max(most, lost(s));
    const double half = 0.5 * most;
    double left = -10, right = 10;
    while (left < 0 && lost(left) < half) left += 0.02;
    while (right > 0 && lost(right) < half) right -= 0.02;
    ratios.push_back((right - left) / WidthOfAWall(course[i].radius * b.pixels_per_mm, NoiseOf(Grade::kClean).blur));
  }
  ASSERT_GT(ratios.size(), 10u);
  std::sort(ratios.begin(), ratios.end());
  EXPECT_NEAR(ratios[ratios.size() / 2], 1.0, 0.03);  // a quarter of a pixel in nine
  EXPECT_NEAR(2.0 * course[0].radius, 2.0, 1e-12);  // 6 French
}

TEST(Render, HasTheNoiseOfItsGrade) {
  for (const Grade grade : {Grade::kClean, Grade::kTypical, Grade::kPoor}) {
    const Scene scene = MakeScene("open-right", 5).value();
    RunPlan plan = Plan(30, 0, grade, 1);
    plan.injections.clear();
    const PhantomRun noisy = RenderRun(scene, plan).value(), still = RenderRun(scene, plan, false).value();
    const NoiseLevel level = NoiseOf(grade);
    double squares = 0, wanted = 0, mean = 0;
    int count = 0;
    for (int row = 60; row < 450; ++row) {
      for (int column = 60; column < 450; ++column) {
        const auto i = static_cast<std::size_t>(row * 512 + column);
        if (noisy.pixels[i] < 5 || noisy.pixels[i] > 4090) continue;  // cut off
        const double e = QuantaOf(still.pixels[i], plan), d = QuantaOf(noisy.pixels[i], plan) - e;
        squares += d * d, mean += d;
        wanted += (e + level.electronic * level.electronic) * KeptVariance();
        ++count;
      }
    }
    ASSERT_GT(count, 100000);
    EXPECT_NEAR(squares / wanted, 1.0, 0.03) << GradeName(grade);
    EXPECT_NEAR(mean / count, 0.0, 0.02 * std::sqrt(wanted / count)) << GradeName(grade);
  }
}

TEST(Render, HasNoContrastBeforeTheInjection) {
  const Scene scene = MakeScene("short-right", 1).value();
  RunPlan plan = Plan(45, 0, Grade::kClean, 30), empty = plan;
  plan.injections = {{Injected::kRight, Duration::Seconds(1), Duration::Seconds(2)}};
  empty.injections.clear();
  const PhantomRun run = RenderRun(scene, plan, false).value(), without = RenderRun(scene, empty, false).value();
  const std::size_t size = 512 * 512;
  for (int frame = 0; frame < 15; ++frame) {  // the injection starts at frame 15
    const auto first = static_cast<std::ptrdiff_t>(static_cast<std::size_t>(frame) * size);
    ASSERT_TRUE(std::equal(run.pixels.begin() + first, run.pixels.begin() + first + 512 * 512, without.pixels.begin() + first)) << frame;
  }
  int darker = 0;
  for (std::size_t i = 29 * size; i < 30 * size; ++i) darker += run.pixels[i] + 200 < without.pixels[i];
  EXPECT_GT(darker, 500);
}

TEST(Render, IsDarkOutsideTheCollimator) {
  const PhantomRun run = RenderRun(MakeScene("open-left", 1).value(), Plan(0, 0, Grade::kTypical, 1)).value();
  EXPECT_LT(run.pixels[256 * 512 + 2], 40);
  EXPECT_GT(run.pixels[256 * 512 + 256], 400);
}

TEST(Render, RefusesPlansThatNoRunHas) {
  const Scene scene = MakeScene("open-left", 1).value();
  const auto refused = [&](auto change) {
    RunPlan plan = Plan(0, 0, Grade::kClean, 1);
    change(plan);
    return !RenderRun(scene, plan).ok();
  };
  EXPECT_TRUE(refused([](RunPlan& p) { p.bits_stored = 9; }));
  EXPECT_TRUE(refused([](RunPlan& p) { p.frames = 0; }));
  EXPECT_TRUE(refused([](RunPlan& p) { p.frames = 301; }));
  EXPECT_TRUE(refused([](RunPlan& p) { p.frame_time = Duration::Milliseconds(0); }));
  EXPECT_TRUE(refused([](RunPlan& p) { p.view.source_to_isocentre = Length::Millimetres(0); }));
  EXPECT_TRUE(refused([](RunPlan& p) { p.view.rows = 4; }));
  EXPECT_FALSE(ParseGrade("good").ok());
  EXPECT_EQ(ParseGrade("poor").value(), Grade::kPoor);
}

}  // namespace
}  // namespace fairlead
