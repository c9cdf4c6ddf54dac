// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/blur_search.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace fairlead {
namespace {

// What every few sections leave over, as one function of the blur.
class BlurSearch {
 public:
  BlurSearch(const Straightened& straight, std::span<const SectionStart> chain)
      : straight_(straight), chain_(chain), every_(std::max<std::size_t>(3, chain.size() / 40)) {
    for (const double blur : kBlurs) tried_.push_back(LeftOver(blur));
    for (std::size_t i = 0; i < tried_.front().size(); ++i) {
      std::vector<double> own;
      for (const auto& row : tried_) own.push_back(row[i]);
      usual_.push_back(std::max(1e-12, MedianOf(own)));
    }
  }

  // By a parabola through the least of a coarse grid and its neighbours, and once more closer by. Nothing where the
  // least lies at an end: the vessel is too thin, or the picture not of this kind.
  std::optional<BlurFound> Find() const {
    std::array<double, kBlurs.size()> costs{};
    for (std::size_t b = 0; b < kBlurs.size(); ++b) costs[b] = Sum(tried_[b]);
    const auto least = static_cast<std::size_t>(std::min_element(costs.begin(), costs.end()) - costs.begin());
    if (least == 0 || least + 1 == kBlurs.size()) return std::nullopt;
    const Parabola coarse = Through({kBlurs[least - 1], kBlurs[least], kBlurs[least + 1]}, {costs[least - 1], costs[least], costs[least + 1]});
    const double low = coarse.top - kCloser, high = coarse.top + kCloser;
    const double middle = Sum(LeftOver(coarse.top));
    const Parabola fine = Through({low, coarse.top, high}, {Sum(LeftOver(low)), middle, Sum(LeftOver(high))});
    // The chi-square of the samples rises by one at one sd; about a third of the samples are independent.
    double samples = 0.0;
    for (std::size_t l = every_ / 2; l < chain_.size(); l += every_) samples += 2.0 * (chain_[l].radius + BackgroundBeyond(1.0)) / kAcrossStep / 3.0;
    const double sd = fine.bend > 0.0 ? std::sqrt(std::max(0.0, middle) / (samples * fine.bend)) : kAssumedBlurSd;
    return BlurFound{std::clamp(fine.top, low, high), std::clamp(sd, kLeastBlurSd, kAssumedBlurSd)};
  }

 private:
  static constexpr std::array<double, 9> kBlurs = {0.45, 0.6, 0.75, 0.9, 1.05, 1.25, 1.5, 1.8, 2.1};
  static constexpr double kCloser = 0.08, kLeastBlurSd = 0.03;

  struct Parabola {
    double top = 0.0, bend = 0.0;
  };
  static Parabola Through(const std::array<double, 3>& x, const std::array<double, 3>& y) {
    const double d1 = (y[1] - y[0]) / (x[1] - x[0]), d2 = (y[2] - y[1]) / (x[2] - x[1]), bend = 2.0 * (d2 - d1) / (x[2] - x[0]);
    if (!(bend > 0.0)) return {x[1], 0.0};
    return {std::clamp(0.5 * (x[0] + x[1]) - d1 / bend, x[0], x[2]), bend};
  }
  std::vector<double> LeftOver(double blur) const {
    const SectionFitter fitter(blur);
    std::vector<double> misfits;
    for (std::size_t l = every_ / 2; l < chain_.size(); l += every_) {
      misfits.push_back(fitter.Refined(straight_.At(static_cast<int>(l)), chain_[l].middle, chain_[l].radius, BackgroundBeyond(1.0)).misfit);
    }
    return misfits;
  }
  // Each section against its own usual misfit, so that one under another shadow does not decide.
  double Sum(const std::vector<double>& misfits) const {
    double sum = 0.0;
    for (std::size_t i = 0; i < misfits.size(); ++i) sum += std::sqrt(misfits[i] / usual_[i]);
    return sum;
  }

  const Straightened& straight_;
  std::span<const SectionStart> chain_;
  std::size_t every_;
  std::vector<std::vector<double>> tried_;
  std::vector<double> usual_;
};

}  // namespace

std::optional<BlurFound> FindBlur(const Straightened& straight, std::span<const SectionStart> chain) {
  return BlurSearch(straight, chain).Find();
}

double RadiusByBlur(const Straightened& straight, std::span<const SectionFit> fits, double blur) {
  constexpr double kStepOfBlur = 0.1;
  const SectionFitter other(blur + kStepOfBlur);
  std::vector<double> slopes;
  const std::size_t every = std::max<std::size_t>(3, fits.size() / 20);
  for (std::size_t l = every / 2; l < fits.size(); l += every) {
    slopes.push_back((other.Refined(straight.At(static_cast<int>(l)), fits[l].middle, fits[l].radius, BackgroundBeyond(blur), fits[l].others).radius - fits[l].radius) / kStepOfBlur);
  }
  return MedianOf(slopes);
}

double MedianOf(std::vector<double> values) {
  if (values.empty()) return 0.0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace fairlead
