// SPDX-License-Identifier: Apache-2.0
// The law of a count of events where cases share few chances, as those of one class of difficulty do: the binomials of the
// classes folded into two halves, whose tails are joined when they are asked for. Cost grows with the spread of the count
// instead of the square of the cases: a million cases in four classes take some 20 ms. Where every case has a chance of its
// own it is the plain convolution (Poisson-binomial).
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "practice/audit/expected.h"

namespace fairlead {

std::vector<ChanceClass> ClassesOf(std::span<const Judged> cases);  // by chance
std::vector<ChanceClass> ClassesOf(std::span<const double> chances);

class CountLaw {
 public:
  // Of each class the outcomes whose chance is below 1e-30 of its most likely one are left out: tails are right to about
  // 1e-12 of themselves down to 1e-25.
  explicit CountLaw(std::span<const ChanceClass> classes);
  double Exactly(std::int64_t count) const;
  double AtLeast(std::int64_t count) const;
  double AtMost(std::int64_t count) const;
  // Smallest count with AtMost(count) >= q; q in (0, 1).
  std::int64_t Quantile(double q) const;

 private:
  struct Half {
    std::int64_t from = 0;      // the count that the first mass belongs to
    std::vector<double> mass{1.0};
  };
  static Half Binomial(const ChanceClass& one);
  static Half Fold(const Half& a, const Half& b);
  Half a_, b_;                  // the count is the sum of one of each
  std::vector<double> above_, below_;  // of b: chances from an index on, and up to it
};

}  // namespace fairlead
