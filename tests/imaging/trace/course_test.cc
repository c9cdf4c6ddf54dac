// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/course.h"

#include <gtest/gtest.h>

#include <Eigen/Dense>

#include "tests/imaging/trace/drawn.h"

namespace fairlead {
namespace {

TEST(Smoothed, SolvesItsDefiningEquations) {
  std::mt19937 random(11);
  for (const int n : {3, 4, 5, 9, 40}) {
    std::vector<double> values, weights;
    for (int i = 0; i < n; ++i) values.push_back(static_cast<double>(random() % 100)), weights.push_back(0.1 + static_cast<double>(random() % 10));
    const double cutoff = 12.0, lambda = std::pow(cutoff / (2.0 * std::numbers::pi), 4.0);
    Eigen::MatrixXd d = Eigen::MatrixXd::Zero(n - 2, n);
    for (int i = 0; i < n - 2; ++i) d(i, i) = 1.0, d(i, i + 1) = -2.0, d(i, i + 2) = 1.0;
    const Eigen::Map<const Eigen::VectorXd> y(values.data(), n), w(weights.data(), n);
    const Eigen::MatrixXd whole = Eigen::MatrixXd(w.asDiagonal()) + lambda * d.transpose() * d;
    const Eigen::VectorXd z = whole.fullPivLu().solve(Eigen::VectorXd(w.asDiagonal() * y));
    const auto ours = Smoothed(values, weights, cutoff);
    for (int i = 0; i < n; ++i) EXPECT_NEAR(ours[static_cast<std::size_t>(i)], z[i], 1e-8) << n;
  }
}

TEST(Smoothed, KeepsAStraightLineAndLongWaves) {
  std::vector<double> line, wave, ones(200, 1.0);
  for (int i = 0; i < 200; ++i) line.push_back(3.0 - 0.7 * i), wave.push_back(std::sin(2.0 * std::numbers::pi * i / 80.0));
  const auto straight = Smoothed(line, ones, 14.0), waved = Smoothed(wave, ones, 14.0);
  for (std::size_t i = 0; i < 200; ++i) EXPECT_NEAR(straight[i], line[i], 1e-8);
  for (std::size_t i = 40; i < 160; ++i) EXPECT_NEAR(waved[i], wave[i], 0.002);
}

TEST(Course, EvenStepsKeepLengthAndEnds) {
  const Course corner{{0, 0}, {10, 0}, {10, 5.5}};
  EXPECT_DOUBLE_EQ(LengthPx(corner), 15.5);
  const Course even = Evenly(corner, 1.0);
  EXPECT_EQ(even.size(), 17u);
  EXPECT_EQ(even.front().x, 0.0);
  EXPECT_EQ(even.back().y, 5.5);
  EXPECT_EQ(Evenly(Course{{2, 2}, {2, 2}}, 1.0).size(), 1u);
  EXPECT_TRUE(Evenly(Course{}, 1.0).empty());
}

TEST(Course, NormalsPointToTheRightOfTheWalker) {
  const auto right = Normals(Course{{0, 0}, {1, 0}, {2, 0}, {3, 0}});  // eastwards on the screen: the right hand is below
  for (const PixelPoint& n : right) EXPECT_NEAR(n.y, 1.0, 1e-12);
}

// Length of a parabola's arc in closed form.
TEST(Course, AlongTheRidgeItsLengthIsThatOfTheDrawnArc) {
  const Tube tube{.radius = 4.0, .angle_deg = 0.0, .bow = 40.0};
  const Vesselness v = VesselnessOf(Drawn(tube));
  std::vector<Pixel> path;  // a staircase such as a grid gives
  for (int x = 20; x <= 140; ++x) path.push_back({x, static_cast<int>(std::lround(AxisAt(tube, x - 79.5).y))});
  const Course course = AlongRidge(v, path);
  const double k = 2.0 * tube.bow / (80.0 * 80.0);  // slope a pixel
  const auto arc = [k](double x) { return 0.5 * x * std::sqrt(1 + k * k * x * x) + std::asinh(k * x) / (2.0 * k); };
  EXPECT_NEAR(LengthPx(course), arc(60.5) - arc(-59.5), 0.6);
  for (const PixelPoint& p : course) EXPECT_NEAR(p.y, AxisAt(tube, p.x - 79.5).y, 0.35) << p.x;
}

}  // namespace
}  // namespace fairlead
