// SPDX-License-Identifier: Apache-2.0
// The cells are those of Freudenthal's triangulation, after Oper Res 1991;39(1):162-175, doi 10.1287/opre.39.1.162:
// in cumulated coordinates x_i = N (b_i + b_(i+1) + ...) a cell is a corner and unit steps in falling order of the
// fractions of x.
#include "reasoning/strategy/belief_grid.h"

#include <algorithm>
#include <cmath>

namespace fairlead {

BeliefGrid::BeliefGrid(std::size_t classes, int divisions) : classes_(classes), divisions_(divisions) {
  std::vector<int> whole(classes, 0);
  Add(whole, 0, divisions);
}

void BeliefGrid::Add(std::vector<int>& whole, std::size_t next, int left) {
  if (next + 1 < classes_) {
    for (int n = 0; n <= left; ++n) {
      whole[next] = n;
      Add(whole, next + 1, left - n);
    }
    return;
  }
  whole[next] = left;
  std::vector<int> cumulated(whole.begin(), whole.end());
  for (std::size_t i = classes_ - 1; i-- > 0;) cumulated[i] += cumulated[i + 1];
  index_[cumulated] = points_.size();
  std::vector<double> belief;
  for (const int n : whole) belief.push_back(static_cast<double>(n) / divisions_);
  points_.push_back(std::move(belief));
}

GridMix BeliefGrid::Mix(const double* belief) const {
  GridMix mix;
  if (classes_ == 1) {
    mix.share[0] = 1.0;
    return mix;
  }
  if (classes_ == 2) {  // a line of points, the first all of class 1: no cell to look for
    const double x = belief[1] * divisions_;
    const int corner = std::min(divisions_, static_cast<int>(x));
    mix.point[0] = static_cast<std::size_t>(divisions_ - corner);
    mix.share[0] = 1.0 - (x - corner);
    if (x > corner && corner < divisions_) mix.point[1] = mix.point[0] - 1, mix.share[1] = x - corner;
    return mix;
  }
  std::vector<int> corner(classes_, divisions_);
  std::array<double, kMostClasses> fraction{};
  double sum = 0.0;
  for (std::size_t i = classes_ - 1; i > 0; --i) {
    sum += belief[i] * divisions_;
    corner[i] = std::min(divisions_, static_cast<int>(sum));
    fraction[i] = sum - corner[i];
  }
  std::array<std::size_t, kMostClasses> order{};
  for (std::size_t i = 1; i < classes_; ++i) order[i - 1] = i;
  std::sort(order.begin(), order.begin() + static_cast<std::ptrdiff_t>(classes_ - 1),
            [&](std::size_t a, std::size_t b) { return fraction[a] > fraction[b] || (fraction[a] == fraction[b] && a < b); });
  double above = 1.0;
  for (std::size_t step = 0; step < classes_; ++step) {
    const double below = step + 1 < classes_ ? fraction[order[step]] : 0.0;
    if (above - below > 0.0) {
      if (const auto found = index_.find(corner); found != index_.end()) mix.point[step] = found->second;
      mix.share[step] = above - below;
    }
    if (step + 1 < classes_) ++corner[order[step]];
    above = below;
  }
  return mix;
}

}  // namespace fairlead
