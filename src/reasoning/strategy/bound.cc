// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/bound.h"

#include <algorithm>
#include <bit>
#include <cmath>

namespace fairlead {
namespace {

constexpr int kCoarseLevels = 192;   // chosen: a level is then well under a minute of most sessions
constexpr int kFinestLevels = 4096;
constexpr double kMostWork = 4e6;   // additions for one table; beyond it the levels are coarse
constexpr double kWhole = 1e-7;

// The largest step of which every set-up and rate of this budget is a whole multiple; 0 if none of these.
double Lattice(const LadderModel& model, std::size_t r) {
  for (const double unit : {60.0, 50.0, 25.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.25, 0.2, 0.1}) {
    const auto whole = [unit](double x) { return std::abs(x / unit - std::round(x / unit)) < kWhole; };
    if (std::ranges::all_of(model.strategies, [&](const StrategyModel& s) { return whole(s.setup[r]) && whole(s.per_min[r]); })) {
      return unit;
    }
  }
  return 0.0;
}

struct Straight {
  double value, a, b;
};

// own = max(own, value + a's share + b's share); the three never overlap.
void Widen(double* __restrict own, const double* __restrict a, const double* __restrict b, const Straight& line, std::size_t count) {
  const double value = line.value, wa = line.a, wb = line.b;
  for (std::size_t n = 0; n < count; ++n) {
    const double worth = value + wa * a[n] + wb * b[n];
    own[n] = own[n] < worth ? worth : own[n];
  }
}
void Widen(double* __restrict own, const double* __restrict a, const Straight& line, std::size_t count) {
  const double value = line.value, wa = line.a;
  for (std::size_t n = 0; n < count; ++n) {
    const double worth = value + wa * a[n];
    own[n] = own[n] < worth ? worth : own[n];
  }
}

}  // namespace

UpperBound::UpperBound(const Blocks& blocks, const BeliefGrid& grid, const Spending& mix, int finer)
    : blocks_(&blocks), grid_(&grid), mix_(mix) {
  const LadderModel& model = blocks.model();
  for (std::size_t r = 0; r < mix_.size(); ++r) mix_[r] = model.budget[r] && *model.budget[r] > 0.0 ? mix_[r] / *model.budget[r] : 0.0;
  ChooseLevels(finer);
  Fill();
}

void UpperBound::ChooseLevels(int finer) {
  const LadderModel& model = blocks_->model();
  int used = 0;
  std::size_t only = 0;
  for (std::size_t r = 0; r < mix_.size(); ++r) {
    if (mix_[r] > 0.0) ++used, only = r;
  }
  if (used == 0) return;
  double work = 0.0;  // of one level
  for (std::size_t k = 0; k < blocks_->strategies(); ++k) work += blocks_->most(k);
  work *= static_cast<double>(grid_->size()) * std::ldexp(1.0, static_cast<int>(blocks_->strategies()) - 1) * 0.5;
  if (used == 1) {
    const double lattice = Lattice(model, only);
    const double levels = lattice > 0.0 ? *model.budget[only] / lattice : 1e9;
    if (levels <= kCoarseLevels || (levels <= kFinestLevels && levels * work < kMostWork * finer)) {
      unit_ = lattice * mix_[only];
      levels_ = static_cast<int>(std::floor(levels + kWhole));
      return;
    }
  }
  levels_ = static_cast<int>(std::clamp(kMostWork * finer / std::max(work, 1.0), 64.0, static_cast<double>(kCoarseLevels) * std::min(finer, 4)));
  double whole = 0.0;
  for (std::size_t r = 0; r < mix_.size(); ++r) whole += model.budget[r] ? mix_[r] * *model.budget[r] : 0.0;
  unit_ = whole / levels_;
}

// Whole levels of an amount: rounded down, so that the table never forbids what the budget allows.
int UpperBound::LevelsOf(const Spending& taken) const {
  double sum = 0.0;
  for (std::size_t r = 0; r < mix_.size(); ++r) sum += mix_[r] * taken[r];
  return static_cast<int>(std::floor(sum / unit_ + kWhole));
}

std::vector<UpperBound::Step> UpperBound::StepsOf(std::size_t strategy, int minutes) const {
  const LadderModel& model = blocks_->model();
  std::vector<Step> steps(grid_->size());
  for (std::size_t g = 0; g < grid_->size(); ++g) {
    std::array<double, kMostClasses> belief{};
    Step& step = steps[g];
    for (std::size_t c = 0; c < grid_->classes(); ++c) {
      const BlockOdds& block = blocks_->At(strategy, c, minutes);
      const double weight = grid_->point(g)[c];
      step.value += weight * (block.cross - model.objective.complication_weight * block.complication -
                              model.objective.minute_cost * block.minutes);
      belief[c] = weight * block.alive;
      step.alive += belief[c];
    }
    if (!(step.alive > 0.0)) continue;
    for (std::size_t c = 0; c < grid_->classes(); ++c) belief[c] /= step.alive;
    step.then = grid_->Mix(belief.data());
  }
  return steps;
}

void UpperBound::Raise(unsigned left, std::size_t strategy, const std::vector<Step>& steps, int cost) {
  const auto width = static_cast<std::size_t>(levels_) + 1;
  const auto first = static_cast<std::size_t>(cost);
  const std::vector<double>& after = best_[left & ~(1U << strategy)];
  for (std::size_t g = 0; g < steps.size(); ++g) {
    const Step& step = steps[g];
    double* own = best_[left].data() + g * width;
    // At most two corners matter with two classes; the common case gets the short loop, which the compiler widens.
    if (grid_->classes() <= 2) {
      const double* a = after.data() + step.then.point[0] * width;
      const double* b = after.data() + step.then.point[1] * width;
      const double wa = step.alive * step.then.share[0], wb = step.alive * step.then.share[1];
      if (wb > 0.0) Widen(own + first, a, b, {step.value, wa, wb}, width - first);
      else Widen(own + first, a, {step.value, wa, 0.0}, width - first);
      continue;
    }
    for (std::size_t n = first; n < width; ++n) {
      double value = step.value;
      for (std::size_t c = 0; c < grid_->classes(); ++c) {
        value += step.alive * step.then.share[c] * after[step.then.point[c] * width + n - first];
      }
      own[n] = std::max(own[n], value);
    }
  }
}

void UpperBound::Fill() {
  const std::size_t count = blocks_->strategies();
  const unsigned subsets = 1U << count;
  best_.assign(subsets, std::vector<double>(grid_->size() * (static_cast<std::size_t>(levels_) + 1),
                                            blocks_->model().objective.stop_value));
  // By number of strategies left, so that what follows a block is ready; a block's steps serve every subset.
  for (int size = 1; size <= static_cast<int>(count); ++size) {
    for (std::size_t k = 0; k < count; ++k) {
      for (int d = 1; d <= blocks_->most(k); ++d) {
        const int cost = LevelsOf(TakenBy(blocks_->model().strategies[k], d));
        if (cost > levels_) break;
        const auto steps = StepsOf(k, d);
        for (unsigned left = 1; left < subsets; ++left) {
          if (std::popcount(left) == size && (left >> k & 1U) != 0) Raise(left, k, steps, cost);
        }
      }
    }
  }
}

double UpperBound::At(unsigned left, const Spending& taken, const double* alive) const {
  double sum = 0.0;
  for (std::size_t c = 0; c < grid_->classes(); ++c) sum += alive[c];
  if (!(sum > 0.0)) return 0.0;
  const auto width = static_cast<std::size_t>(levels_) + 1;
  const auto level = static_cast<std::size_t>(std::clamp(levels_ - LevelsOf(taken), 0, levels_));
  if (grid_->classes() == 1) return sum * best_[left][level];
  std::array<double, kMostClasses> belief{};
  for (std::size_t c = 0; c < grid_->classes(); ++c) belief[c] = alive[c] / sum;
  const GridMix mix = grid_->Mix(belief.data());
  double value = 0.0;
  for (std::size_t c = 0; c < grid_->classes(); ++c) {
    if (mix.share[c] > 0.0) value += mix.share[c] * best_[left][mix.point[c] * width + level];
  }
  return sum * value;
}

}  // namespace fairlead
