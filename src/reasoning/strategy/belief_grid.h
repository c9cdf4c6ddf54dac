// SPDX-License-Identifier: Apache-2.0
// A regular grid over what may be believed of the class of difficulty. The best value is convex in the belief, so that
// straight lines between grid points never lie below it.
#pragma once

#include <array>
#include <cstddef>
#include <map>
#include <vector>

#include "reasoning/strategy/model.h"

namespace fairlead {

struct GridMix {
  std::array<std::size_t, kMostClasses> point{};
  std::array<double, kMostClasses> share{};  // add up to 1; zero where unused
};

class BeliefGrid {
 public:
  // Points whose coordinates are whole multiples of 1 / `divisions`. With one class there is one point.
  BeliefGrid(std::size_t classes, int divisions);
  std::size_t size() const { return points_.size(); }
  std::size_t classes() const { return classes_; }
  const std::vector<double>& point(std::size_t i) const { return points_[i]; }
  // The corners of the grid cell that holds `belief`, and how they mix to it. `belief` adds up to 1.
  GridMix Mix(const double* belief) const;

 private:
  void Add(std::vector<int>& whole, std::size_t next, int left);
  std::size_t classes_;
  int divisions_;
  std::vector<std::vector<double>> points_;
  std::map<std::vector<int>, std::size_t> index_;  // by cumulated coordinates, see Mix
};

}  // namespace fairlead
