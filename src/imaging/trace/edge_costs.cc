// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/edge_costs.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <utility>

#include "imaging/trace/chord.h"

namespace fairlead {
namespace {

// All chosen on phantoms of seeds 3001 to 3060 (docs/methods-trace.md).
constexpr double kUnlikeness = 0.3;   // sd of the darkness along one vessel, as a share of it
constexpr double kRough = 0.04;       // what the lumen of a vessel is not round by, of its depth
constexpr double kWeight = 0.5;       // of a line's cost: neighbouring lines are one look
constexpr double kMostCost = 12.0;    // of an edge that is not there
constexpr double kMostMiddle = 8.0;   // pixels
constexpr double kOfExpected = 0.1;
constexpr double kLeastRadius = 0.75, kRadiusStep = 0.5, kInside = 2.5, kOutside = 2.0;
constexpr int kBefore = static_cast<int>(kOutside / kAcrossStep), kAfter = static_cast<int>(kInside / kAcrossStep), kWindow = kBefore + kAfter + 1;

const BlurredChord& Chord() {
  static const BlurredChord chord;
  return chord;
}

void TakeLine(std::vector<double>& v) {
  const double n = static_cast<double>(v.size()), half = 0.5 * (n - 1.0);
  double sum = 0.0, along = 0.0, spread = 0.0;
  for (std::size_t i = 0; i < v.size(); ++i) {
    const double x = static_cast<double>(i) - half;
    sum += v[i], along += x * v[i], spread += x * x;
  }
  for (std::size_t i = 0; i < v.size(); ++i) v[i] -= sum / n + along / spread * (static_cast<double>(i) - half);
}

// What a fifth of the values stay below.
double FifthOf(std::span<const float> values) {
  std::vector<float> sorted(values.begin(), values.end());
  const auto fifth = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 5);
  std::nth_element(sorted.begin(), fifth, sorted.end());
  return static_cast<double>(*fifth);
}

}  // namespace

double EdgeCosts::Radius(Eigen::Index k) { return kLeastRadius + kRadiusStep * static_cast<double>(k); }

Eigen::ArrayXd EdgeCosts::Middles() const { return kAcrossStep * Eigen::ArrayXd::LinSpaced(middles_, -half_, half_); }

// In samples. Radii are in quarters of a step off them; the nearer sample will do for a start.
int EdgeCosts::Reach(Eigen::Index k) { return static_cast<int>(std::lround(Radius(k) / kAcrossStep)); }

EdgeCosts::EdgeCosts(const Straightened& straight, double blur, double expected, double most)
    : straight_(straight), radii_(std::max(2, static_cast<int>((most - kLeastRadius) / kRadiusStep) + 1)), expected_(expected) {
  const double widest = Radius(radii_ - 1);
  half_ = std::min(static_cast<int>(kMostMiddle / kAcrossStep), static_cast<int>((straight.reach - widest - kOutside) / kAcrossStep) - 1);
  half_ = std::max(half_, 2);
  middles_ = 2 * half_ + 1;
  for (int k = 0; k < radii_; ++k) {
    Shape shape;
    for (int i = -kBefore; i <= kAfter; ++i) shape.samples.push_back(blur * Chord()((i * kAcrossStep - Radius(k)) / blur, Radius(k) / blur));
    TakeLine(shape.samples);
    for (const double s : shape.samples) shape.squares += s * s;
    shapes_.push_back(std::move(shape));
  }
  spare_ = Reach(radii_ - 1) + half_;
  const int places = straight.across + 2 * spare_;
  rise_ = fall_ = {Eigen::ArrayXXd::Zero(places, kWindow), Eigen::ArrayXd::Constant(places, std::numeric_limits<double>::infinity())};
  above_.resize(places);
}

// A rising edge at sample e: window e - kBefore .. e + kAfter. Falling, direction -1: mirrored.
void EdgeCosts::TakeWindows(std::span<const float> line, int direction, Windows& windows) const {
  constexpr int kFirst = std::max(kBefore, kAfter);
  constexpr double kHalf = 0.5 * (kWindow - 1.0);
  const int count = static_cast<int>(line.size()) - 2 * kFirst;
  if (count <= 0) return;
  const Eigen::Map<const Eigen::ArrayXf> values(line.data(), static_cast<Eigen::Index>(line.size()));
  auto samples = windows.samples.middleRows(kFirst + spare_, count);
  Eigen::ArrayXd sum = Eigen::ArrayXd::Zero(count), along = sum, squares = sum;
  double spread = 0.0;
  for (int i = 0; i < kWindow; ++i) {
    samples.col(i) = values.segment(kFirst + direction * (i - kBefore), count).cast<double>();
    sum += samples.col(i), along += (i - kHalf) * samples.col(i), spread += (i - kHalf) * (i - kHalf);
  }
  for (int i = 0; i < kWindow; ++i) {
    samples.col(i) -= sum / kWindow + along / spread * (i - kHalf);
    squares += samples.col(i).square();
  }
  windows.squares.segment(kFirst + spare_, count) = squares;
}

// What stands above the ground beneath all shadows, by what a fifth of each half of the line stays below.
void EdgeCosts::TakeAbove(std::span<const float> line) {
  const int count = static_cast<int>(line.size()), centre = count / 2;
  const double left = FifthOf(line.first(static_cast<std::size_t>(centre))), right = FifthOf(line.last(static_cast<std::size_t>(centre)));
  for (int i = -spare_; i < count + spare_; ++i) {
    const int on = std::clamp(i, 0, count - 1);
    const double ground = 0.5 * (left + right) + 0.5 * (right - left) * std::clamp(2.0 * (on - centre) / centre, -1.0, 1.0);
    above_[i + spare_] = static_cast<double>(line[static_cast<std::size_t>(on)]) - ground;
  }
}

// Half of what an edge of that shape costs where each middle has it, the first of them at sample `first`.
void EdgeCosts::AddEdge(const Windows& windows, const Shape& shape, int first, double dark, double var, Eigen::ArrayXd& costs) const {
  Eigen::ArrayXd dots = Eigen::ArrayXd::Zero(middles_);
  for (int i = 0; i < kWindow; ++i) dots += windows.samples.col(i).segment(first + spare_, middles_) * shape.samples[static_cast<std::size_t>(i)];
  const Eigen::ArrayXd found = dots / shape.squares, rest = (windows.squares.segment(first + spare_, middles_) - found * dots).max(0.0);
  costs += 0.5 * ((found - dark).square() / (var / shape.squares + kUnlikeness * kUnlikeness * dark * dark) + rest / var / 3.0).min(kMostCost);
}

// Shadows only add: nowhere inside may it be lighter than the vessel alone. The first middle at sample `first`.
void EdgeCosts::AddLack(int first, Eigen::Index k, double dark, double noise, Eigen::ArrayXd& costs) const {
  Eigen::ArrayXd lack = Eigen::ArrayXd::Zero(middles_);
  for (int q = -2; q <= 2; ++q) {
    const double wanted = 2.0 * dark * Radius(k) * std::sqrt(1.0 - 0.35 * 0.35 * q * q);
    const auto above = above_.segment(first + spare_ + std::lround(0.35 * q * Reach(k)), middles_);
    lack += ((0.75 * wanted - above) / (0.25 * wanted + noise)).max(0.0).square().min(9.0);
  }
  costs += lack / 5.0;
}

EdgeCosts::Table EdgeCosts::Of(int line, double dark, double noise) {
  const auto values = straight_.At(line).values;
  TakeWindows(values, 1, rise_);
  TakeWindows(values, -1, fall_);
  TakeAbove(values);
  const int first = straight_.across / 2 - half_;
  Table table(middles_, radii_);
  for (int k = 0; k < radii_; ++k) {
    const Shape& shape = shapes_[static_cast<std::size_t>(k)];
    const double off = std::log(Radius(k) / expected_);
    const double rough = kRough * dark * 2.0 * std::min(Radius(k), expected_), var = noise * noise + rough * rough;
    Eigen::ArrayXd costs = Eigen::ArrayXd::Zero(middles_);
    AddEdge(rise_, shape, first - Reach(k), dark, var, costs);
    AddEdge(fall_, shape, first + Reach(k), dark, var, costs);
    AddLack(first, k, dark, noise, costs);
    table.col(k) = kWeight * costs + kOfExpected * off * off;
  }
  return table;
}

}  // namespace fairlead
