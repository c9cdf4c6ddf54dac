// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>
#include <numbers>

#include "reasoning/kit/disks.h"

namespace fairlead::disks {
namespace {

constexpr std::size_t kMost = 8;       // disks in one proof; more orders than a proof can walk through beyond
constexpr double kSlack = 1e-9;        // rad
constexpr double kFull = 2 * std::numbers::pi;

struct Span {
  double low = 0.0, high = 0.0;
};

// Distances of the disks from the centre.
struct Box {
  std::array<Span, kMost> distance;
};

class Proof {
 public:
  Proof(std::span<const double> radii, double radius, int boxes) : r_(radii), radius_(radius), left_(boxes) {}

  bool Run() {
    Box whole{};
    for (std::size_t i = 0; i < r_.size(); ++i) whole.distance[i] = {0.0, radius_ - r_[i]};
    std::vector<Box> open{whole};
    while (!open.empty()) {
      if (--left_ < 0) return false;
      const Box box = open.back();
      open.pop_back();
      if (Empty(box)) continue;
      const std::size_t at = Widest(box);
      const Span span = box.distance[at];
      if (span.high - span.low < 1e-9 * radius_) return false;  // a placement may well be here
      // The inner part first: most of it is empty, and the outer part then holds the hard corner alone.
      const double middle = 0.5 * (span.low + span.high);
      Box half = box;
      half.distance[at] = {middle, span.high};
      open.push_back(half);
      half.distance[at] = {span.low, middle};
      open.push_back(half);
    }
    return true;
  }

 private:
  std::size_t Widest(const Box& box) const {
    std::size_t best = 0;
    for (std::size_t i = 1; i < r_.size(); ++i) {
      const auto width = [&](std::size_t k) { return box.distance[k].high - box.distance[k].low; };
      if (width(i) > width(best) * (1 + 1e-12)) best = i;
    }
    return best;
  }

  // The greatest cosine of the angle between i and j that any distances of the box allow: at a corner, since for one
  // distance held it is convex or rising in the other. Above 1: any angle.
  double GreatestCosine(Span a, Span b, double apart) const {
    double greatest = -2.0;
    for (const double p : {a.low, a.high}) {
      for (const double q : {b.low, b.high}) {
        const double top = p * p + q * q - apart * apart, bottom = 2 * p * q;
        if (bottom <= 1e-300) { if (top >= 0) return 2.0; continue; }
        greatest = std::max(greatest, top / bottom);
      }
    }
    return greatest;
  }

  bool Empty(const Box& box) {
    const std::size_t n = std::min(r_.size(), kMost);
    for (std::size_t i = 0; i < n; ++i) {
      if (box.distance[i].high < 0.0) return true;
      for (std::size_t j = i + 1; j < n; ++j) {
        const double apart = r_[i] + r_[j];
        if (box.distance[i].high + box.distance[j].high < apart * (1 - 1e-12)) return true;
        const double cosine = GreatestCosine(box.distance[i], box.distance[j], apart);
        if (cosine < -1.0 - 1e-12) return true;
        angle_[i][j] = angle_[j][i] = cosine >= 1.0 ? 0.0 : std::acos(std::max(-1.0, cosine));
      }
      // Equal disks change places freely: only orders of falling distance are walked.
      if (i > 0 && r_[i] == r_[i - 1] && box.distance[i - 1].high < box.distance[i].low) return true;
    }
    return !Closes();
  }

  // Is there an order around the centre in which every pair keeps its angle?
  bool Closes() {
    order_[0] = 0;
    at_[0] = 0.0;
    return Extend(1, 1u);
  }

  bool Extend(std::size_t placed, unsigned used) {
    const std::size_t n = std::min(r_.size(), kMost);
    if (placed >= n) return Settles();
    for (std::size_t k = 1; k < n; ++k) {
      if ((used >> k & 1u) != 0) continue;
      double earliest = 0.0;
      for (std::size_t p = 0; p < placed; ++p) earliest = std::max(earliest, at_[p] + angle_[order_[p]][k]);
      if (earliest + angle_[0][k] > kFull + kSlack) continue;
      order_[placed] = k;
      at_[placed] = earliest;
      if (Extend(placed + 1, used | 1u << k)) return true;
    }
    return false;
  }

  // The order is complete: pairs also keep their angle across the seam. Raises positions until nothing moves.
  bool Settles() const {
    const std::size_t n = std::min(r_.size(), kMost);
    std::array<double, kMost> at = at_;
    for (std::size_t round = 0; round <= n; ++round) {
      bool moved = false;
      for (std::size_t k = 0; k < n; ++k) {
        for (std::size_t j = 0; j < k; ++j) {
          const double angle = angle_[order_[j]][order_[k]];
          if (at[k] < at[j] + angle - kSlack) { at[k] = at[j] + angle; moved = true; }
          if (at[j] < at[k] + angle - kFull - kSlack) { at[j] = at[k] + angle - kFull; moved = true; }
        }
      }
      if (at[0] > kSlack * static_cast<double>(n)) return false;
      if (!moved) return true;
    }
    return true;  // not settled in time: nothing is proved
  }

  std::span<const double> r_;
  double radius_;
  int left_;
  std::array<std::array<double, kMost>, kMost> angle_{};
  std::array<std::size_t, kMost> order_{};
  std::array<double, kMost> at_{};
};

}  // namespace

bool ProvedEmpty(std::span<const double> radii, double radius, int boxes) {
  if (radius < LowerRadius(radii) * (1 - 1e-12)) return true;
  // The largest alone often settle it, at a small part of the work.
  for (std::size_t k = 4; k <= std::min(radii.size(), kMost); ++k) {
    const bool last = k == std::min(radii.size(), kMost);
    if (Proof(radii.first(k), radius, last ? boxes : boxes / 4).Run()) return true;
  }
  return false;
}

}  // namespace fairlead::disks
