// SPDX-License-Identifier: Apache-2.0
// Run lengths of the cumulative sum. State i of the chain stands for the value i h / N; an increment that falls between
// two states goes to both in proportion, which keeps its mean. Plain rounding is up to 6 % off and does not settle.
#include <algorithm>
#include <cmath>
#include <vector>

#include "practice/audit/cusum.h"

namespace fairlead {
namespace {

struct Step {
  int by = 0;  // states
  double chance = 0;
};

std::vector<Step> Steps(double h, std::span<const MixClass> mix, double factor, double truth, int states) {
  const double width = h / states;
  std::vector<Step> steps;
  const auto add = [&](double weight, double chance) {
    const double at = weight / width, whole = std::floor(at);
    steps.push_back({static_cast<int>(whole), chance * (1 - (at - whole))});
    steps.push_back({static_cast<int>(whole) + 1, chance * (at - whole)});
  };
  for (const MixClass& each : mix) {
    const double q = truth * each.chance / (1 - each.chance + truth * each.chance);
    add(CusumWeight({each.chance, false}, factor), each.share * (1 - q));
    add(CusumWeight({each.chance, true}, factor), each.share * q);
  }
  return steps;
}

// (I - Q) L = 1 over the states below h. A step moves few states, so only a band of Q is not zero; rows are weakly dominated by
// their diagonals, so elimination needs no pivots and the band does not widen.
double RunLengthOn(int states, double h, std::span<const MixClass> mix, double factor, double truth) {
  const auto steps = Steps(h, mix, factor, truth, states);
  int down = 0, up = 0;
  for (const Step& step : steps) down = std::max(down, -step.by), up = std::max(up, step.by);
  down = std::min(down, states - 1), up = std::min(up, states - 1);
  const int wide = down + 1 + up;
  std::vector<double> band(static_cast<std::size_t>(states) * static_cast<std::size_t>(wide), 0.0), length(static_cast<std::size_t>(states), 1.0);
  const auto row = [&](int i) { return band.data() + static_cast<std::ptrdiff_t>(i) * wide + (down - i); };  // row(i)[j] is the entry i, j
  for (int from = 0; from < states; ++from) row(from)[from] = 1;
  for (const Step& step : steps) {
    for (int from = 0; from < states; ++from) {
      const int to = std::max(0, from + step.by);
      if (to < states) row(from)[to] -= step.chance;
    }
  }
  for (int k = 0; k < states; ++k) {
    const int last = std::min(states - 1, k + up);
    const double* pivot = row(k);
    for (int i = k + 1; i <= std::min(states - 1, k + down); ++i) {
      double* other = row(i);
      const double times = other[k] / pivot[k];
      if (times == 0) continue;
      for (int j = k + 1; j <= last; ++j) other[j] -= times * pivot[j];
      length[static_cast<std::size_t>(i)] -= times * length[static_cast<std::size_t>(k)];
    }
  }
  for (int k = states - 1; k >= 0; --k) {
    double rest = length[static_cast<std::size_t>(k)];
    for (int j = k + 1; j <= std::min(states - 1, k + up); ++j) rest -= row(k)[j] * length[static_cast<std::size_t>(j)];
    length[static_cast<std::size_t>(k)] = rest / row(k)[k];
  }
  return length.front();
}

}  // namespace

double AverageRunLength(double h, std::span<const MixClass> mix, double factor, double truth, int states) {
  return 2 * RunLengthOn(2 * states, h, mix, factor, truth) - RunLengthOn(states, h, mix, factor, truth);
}

double ChanceOfSignal(double h, std::span<const MixClass> mix, double factor, double truth, int cases, int states) {
  const auto steps = Steps(h, mix, factor, truth, states);
  std::vector<double> held(static_cast<std::size_t>(states), 0.0), next(held.size());
  held[0] = 1;
  for (int n = 0; n < cases; ++n) {
    std::fill(next.begin(), next.end(), 0.0);
    for (const Step& step : steps) {
      for (int from = 0; from < states; ++from) {
        const int to = std::max(0, from + step.by);
        if (to < states) next[static_cast<std::size_t>(to)] += held[static_cast<std::size_t>(from)] * step.chance;
      }
    }
    held.swap(next);
  }
  double inside = 0;
  for (const double share : held) inside += share;
  return 1 - inside;
}

Threshold ThresholdFor(double wanted, std::span<const MixClass> mix, double factor) {
  constexpr int kCoarse = 50, kFine = 120;  // the search needs two digits, the answer three
  double low = 0.05, high = 0.1;
  while (high < 12 && AverageRunLength(high, mix, factor, 1, kCoarse) < wanted) low = high, high *= 1.5;
  for (int i = 0; i < 12; ++i) {
    const double middle = (low + high) / 2;
    (AverageRunLength(middle, mix, factor, 1, kCoarse) < wanted ? low : high) = middle;
  }
  double attained = AverageRunLength(high, mix, factor, 1, kFine);
  while (attained < wanted && high < 12) attained = AverageRunLength(high *= 1.003, mix, factor, 1, kFine);
  return {.h = high, .run_length = attained};
}

}  // namespace fairlead
