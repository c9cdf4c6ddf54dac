// SPDX-License-Identifier: Apache-2.0
// The law of a count of events where cases share few chances, as those of one class of difficulty do: the binomials of the
// classes folded into two halves, whose tails are joined when they are asked for. Where every case has a chance of its own it
// is the plain convolution (Poisson-binomial). Where the count spreads widely each tail is an integral instead (ManyCases): a
// few microseconds whether the cases are ten thousand or a million.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "practice/audit/expected.h"

namespace fairlead {

std::vector<ChanceClass> ClassesOf(std::span<const Judged> cases);  // by chance
std::vector<ChanceClass> ClassesOf(std::span<const double> chances);

// Of very many cases, by their generating function: exact as well, to some 1e-11 of each tail. Cost: some 40 points a tail,
// times the classes.
class ManyCases {
 public:
  explicit ManyCases(std::span<const ChanceClass> classes);
  double Exactly(std::int64_t count) const;
  double AtLeast(std::int64_t count) const;
  double AtMost(std::int64_t count) const;
  std::int64_t Quantile(double q) const;
  double variance() const { return variance_; }

 private:
  std::vector<ChanceClass> classes_;  // of which neither outcome is certain
  std::int64_t cases_ = 0, certain_ = 0;
  double mean_ = 0, variance_ = 0;
};

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
  std::optional<ManyCases> many_;  // in place of what follows
  Half a_, b_;                  // the count is the sum of one of each
  std::vector<double> above_, below_;  // of b: chances from an index on, and up to it
};

}  // namespace fairlead
