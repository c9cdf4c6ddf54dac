// SPDX-License-Identifier: Apache-2.0
// Pictures of round vessels whose size and course are the test's own: the chord through a disc, blurred by summation,
// never by the code under test.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>
#include <vector>

#include "imaging/trace/picture.h"

namespace fairlead {

struct Tube {
  double radius = 5.0;        // pixels
  double angle_deg = 20.0;    // course against the rows
  double blur = 1.0;          // pixels
  double darkness = 8.0;      // grey values a pixel of chord
  double bow = 0.0;           // sideways at the picture's rim
  double narrow = 0.0;        // share of the radius taken away in the middle
  double narrow_sd = 12.0;    // pixels along the vessel
  double noise = 0.0;         // sd, grey values
  double slope = 0.0;         // of the background, grey values a pixel
  std::uint64_t seed = 1;
  int size = 160;
};

// Where the axis of a drawn tube is, `along` from the picture's middle.
inline PixelPoint AxisAt(const Tube& tube, double along) {
  const double a = tube.angle_deg * std::numbers::pi / 180.0, c = 0.5 * (tube.size - 1);
  const double t = tube.bow * std::pow(along / (0.5 * tube.size), 2.0);
  return {c + along * std::cos(a) - t * std::sin(a), c + along * std::sin(a) + t * std::cos(a)};
}

inline double RadiusAt(const Tube& tube, double along) {
  return tube.radius * (1.0 - tube.narrow * std::exp(-0.5 * std::pow(along / tube.narrow_sd, 2.0)));
}

inline Picture Drawn(const Tube& tube) {
  const double a = tube.angle_deg * std::numbers::pi / 180.0, c = 0.5 * (tube.size - 1);
  std::mt19937_64 random(tube.seed);
  std::normal_distribution<double> noise(0.0, 1.0);
  Picture picture{tube.size, tube.size, {}};
  std::vector<double> weights;
  double sum = 0.0;
  for (int k = -40; k <= 40; ++k) weights.push_back(std::exp(-0.5 * std::pow(k / 10.0, 2.0))), sum += weights.back();
  for (int row = 0; row < tube.size; ++row) {
    for (int column = 0; column < tube.size; ++column) {
      const double x = column - c, y = row - c;
      const double along = x * std::cos(a) + y * std::sin(a);
      const double off = -x * std::sin(a) + y * std::cos(a) - tube.bow * std::pow(along / (0.5 * tube.size), 2.0);
      const double r = RadiusAt(tube, along);
      double chord = 0.0;
      for (int k = -40; k <= 40; ++k) {
        const double t = off + k / 10.0 * tube.blur;
        if (t * t < r * r) chord += weights[static_cast<std::size_t>(k + 40)] * 2.0 * std::sqrt(r * r - t * t);
      }
      const double value = 60.0 + tube.slope * x + tube.darkness * chord / sum + (tube.noise > 0.0 ? tube.noise * noise(random) : 0.0);
      picture.values.push_back(static_cast<float>(value));
    }
  }
  return picture;
}

// A picture that a script in another language makes the same, pixel for pixel: sums of cosines and a crossing pair of
// Gaussian ridges.
inline Picture Patterned() {
  Picture picture{40, 48, {}};
  for (int y = 0; y < picture.rows; ++y) {
    for (int x = 0; x < picture.columns; ++x) {
      const double a = x - 12.0 - 0.3 * y, b = y - 25.0 + 0.2 * x;
      const double value = 100.0 + 20.0 * std::exp(-a * a / 8.0) + 35.0 * std::exp(-b * b / 32.0) + 4.0 * std::cos(0.7 * x) * std::cos(0.45 * y) + 0.3 * x;
      picture.values.push_back(static_cast<float>(value));
    }
  }
  return picture;
}

}  // namespace fairlead
