// SPDX-License-Identifier: Apache-2.0
// How sure the fit is: covariances from its normal equations, and what each is made of.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "geometry/vector.h"
#include "imaging/pair/bundle.h"
#include "measure/reading.h"

namespace fairlead {

struct CourseSpread {
  std::size_t size = 0;
  std::vector<double> covariance;    // size x size, row by row
  std::vector<Normals::Kind> kinds;  // what is known, as in Normals
  double widened = 1.0;  // the clicks' standard deviations were multiplied by this: they fit worse than stated
  bool good = false;     // false: the normal equations could not be solved
};
CourseSpread SpreadOf(const Normals& normals);

// Standard deviation, and its independent parts, of a number whose derivative by the unknowns from `first` on is
// `gradient`. To first order.
struct SpreadOfNumber {
  double sd = 0.0;
  std::vector<std::pair<std::string, double>> parts;  // root sum of squares is `sd`
};
SpreadOfNumber SpreadOfOne(const CourseSpread& spread, std::size_t first, std::span<const double> gradient);
// The same for derivatives that stand in several places.
struct Slope {
  std::size_t first = 0;
  std::vector<double> values;
};
SpreadOfNumber SpreadOfOne(const CourseSpread& spread, std::span<const Slope> slopes);

// Covariance of a weighted sum of points (rows first, first + 3, ...): xx, xy, xz, yy, yz, zz in mm squared.
std::array<double, 6> CovarianceOf(const CourseSpread& spread, std::size_t first, std::span<const double> weights);

// `count` rows from `first` on: the lower triangle whose square is the covariance, row by row (count x count).
std::vector<double> RootOf(const CourseSpread& spread, std::size_t first, std::size_t count);

}  // namespace fairlead
