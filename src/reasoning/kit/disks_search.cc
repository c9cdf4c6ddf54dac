// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

#include "measure/random.h"
#include "reasoning/kit/disks.h"

namespace fairlead::disks {
namespace {

// x0, y0, x1, y1, ..., R; lengths in units of the largest radius.
using Vector = std::vector<double>;
constexpr std::size_t kProvable = 7;   // disks up to which a proof takes about as long as one start
constexpr double kNearly = 5e-7;       // share of the radius below a minimum at which the proof is tried
constexpr int kProofBoxes = 4000;
constexpr std::size_t kMemory = 7;  // steps that the descent remembers

// Minimise R subject to |c_i| + r_i <= R and |c_i - c_j| >= r_i + r_j: value and slope of the augmented Lagrangian.
struct Lagrangian {
  std::span<const double> r;
  double stiffness = 10.0;
  Vector pressure;  // multipliers: walls first, then pairs in order

  explicit Lagrangian(std::span<const double> radii) : r(radii), pressure(radii.size() * (radii.size() + 1) / 2, 0.0) {}

  // Calls each(index, overlap, i, j, ux, uy): the unit vector along which moving i shrinks the overlap; j = n: the wall.
  template <typename Each>
  void Overlaps(const Vector& v, Each each) const {
    const std::size_t n = r.size();
    for (std::size_t i = 0; i < n; ++i) {
      const double d = std::hypot(v[2 * i], v[2 * i + 1]);
      const double scale = d > 0 ? 1 / d : 0.0;
      each(i, d + r[i] - v[2 * n], i, n, -v[2 * i] * scale, -v[2 * i + 1] * scale);
    }
    for (std::size_t i = 0, at = n; i < n; ++i) {
      for (std::size_t j = i + 1; j < n; ++j, ++at) {
        const double dx = v[2 * i] - v[2 * j], dy = v[2 * i + 1] - v[2 * j + 1];
        const double d = std::hypot(dx, dy);
        each(at, r[i] + r[j] - d, i, j, d > 0 ? dx / d : 1.0, d > 0 ? dy / d : 0.0);
      }
    }
  }

  double Value(const Vector& v, Vector& slope) const {
    const std::size_t n = r.size();
    std::ranges::fill(slope, 0.0);
    slope[2 * n] = 1.0;
    double value = v[2 * n];
    Overlaps(v, [&](std::size_t at, double overlap, std::size_t i, std::size_t j, double ux, double uy) {
      const double push = pressure[at] + stiffness * overlap;
      if (push <= 0.0) return;
      value += push * push / (2 * stiffness);
      slope[2 * i] -= push * ux;
      slope[2 * i + 1] -= push * uy;
      if (j == n) {
        slope[2 * n] -= push;
      } else {
        slope[2 * j] += push * ux;
        slope[2 * j + 1] += push * uy;
      }
    });
    return value;
  }

  void Press(const Vector& v) {
    Overlaps(v, [&](std::size_t at, double overlap, std::size_t, std::size_t, double, double) {
      pressure[at] = std::max(0.0, pressure[at] + stiffness * overlap);
    });
  }
};

double Dot(const Vector& a, const Vector& b) {
  double sum = 0.0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
  return sum;
}

// Limited-memory BFGS: Math Program 1989;45:503-528, doi 10.1007/BF01589116. Keeps its own room between runs.
class Descent {
 public:
  Descent(const Lagrangian& problem, std::size_t size)
      : problem_(problem), slope_(size), next_(size), next_slope_(size), way_(size) {
    for (Pair& pair : kept_) pair = {Vector(size), Vector(size), 0.0};
  }

  // Until nothing falls by more than `least`, or the steps are used up.
  void Run(Vector& v, int steps, double least) {
    count_ = 0;
    double value = problem_.Value(v, slope_);
    int still = 0;
    for (int step = 0; step < steps && still < 2; ++step) {
      Aim();
      double down = Dot(way_, slope_);
      if (down >= 0.0) { count_ = 0; Aim(); down = Dot(way_, slope_); }
      if (down > -1e-24) return;
      double length = count_ == 0 ? std::min(1.0, 0.1 / std::sqrt(-down)) : 1.0;
      double next_value = value;
      int halvings = 0;
      for (; halvings < 20; ++halvings, length *= 0.4) {
        for (std::size_t i = 0; i < v.size(); ++i) next_[i] = v[i] + length * way_[i];
        next_value = problem_.Value(next_, next_slope_);
        if (next_value <= value + 1e-4 * length * down) break;
      }
      if (halvings == 20) { if (count_ == 0) return; count_ = 0; continue; }
      still = value - next_value < least ? still + 1 : 0;
      Remember(v);
      v.swap(next_);
      slope_.swap(next_slope_);
      value = next_value;
    }
  }

 private:
  struct Pair {
    Vector s, y;
    double rho = 0.0;
  };
  Pair& Kept(std::size_t back) { return kept_[(count_ - 1 - back) % kMemory]; }  // 0: the newest

  void Aim() {
    way_ = slope_;
    const std::size_t held = std::min(count_, kMemory);
    std::array<double, kMemory> alpha{};
    for (std::size_t back = 0; back < held; ++back) {
      const Pair& pair = Kept(back);
      alpha[back] = pair.rho * Dot(pair.s, way_);
      for (std::size_t k = 0; k < way_.size(); ++k) way_[k] -= alpha[back] * pair.y[k];
    }
    const double scale = held > 0 ? 1.0 / (Kept(0).rho * Dot(Kept(0).y, Kept(0).y)) : 1.0;
    for (double& each : way_) each *= -scale;
    for (std::size_t back = held; back-- > 0;) {
      const Pair& pair = Kept(back);
      const double beta = pair.rho * Dot(pair.y, way_);
      for (std::size_t k = 0; k < way_.size(); ++k) way_[k] -= (alpha[back] + beta) * pair.s[k];
    }
  }

  void Remember(const Vector& v) {
    Pair& pair = kept_[count_ % kMemory];
    for (std::size_t k = 0; k < v.size(); ++k) {
      pair.s[k] = next_[k] - v[k];
      pair.y[k] = next_slope_[k] - slope_[k];
    }
    const double curvature = Dot(pair.s, pair.y);
    if (curvature < 1e-18) return;
    pair.rho = 1.0 / curvature;
    ++count_;
  }

  const Lagrangian& problem_;
  std::array<Pair, kMemory> kept_;
  std::size_t count_ = 0;  // pairs ever kept in this run
  Vector slope_, next_, next_slope_, way_;
};

// What is left of overlaps is scaled away; the container is measured on the result.
Placement Settled(const Vector& v, std::span<const double> radii, const Vector& pressure) {
  const std::size_t n = radii.size();
  double scale = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = i + 1; j < n; ++j) {
      const double d = std::hypot(v[2 * i] - v[2 * j], v[2 * i + 1] - v[2 * j + 1]);
      scale = std::max(scale, d > 0 ? (radii[i] + radii[j]) / d : 1e9);
    }
  }
  scale = std::max(scale, 1.0) * (1.0 + 1e-14);
  Placement placement;
  for (std::size_t i = 0; i < n; ++i) {
    placement.disks.push_back({v[2 * i] * scale, v[2 * i + 1] * scale, radii[i]});
    placement.radius = std::max(placement.radius, std::hypot(v[2 * i], v[2 * i + 1]) * scale + radii[i]);
  }
  placement.weight.assign(n, 0.0);
  for (std::size_t i = 0, at = n; i < n; ++i) {
    placement.weight[i] += pressure[i];
    for (std::size_t j = i + 1; j < n; ++j, ++at) { placement.weight[i] += pressure[at]; placement.weight[j] += pressure[at]; }
  }
  return placement;
}

Placement Minimise(Vector& v, std::span<const double> radii, bool finely) {
  Lagrangian problem(radii);
  Descent descent(problem, v.size());
  if (!finely) {
    for (const double stiffness : {4.0, 40.0}) {
      problem.stiffness = stiffness;
      descent.Run(v, 40, 1e-6);
    }
  }
  problem.stiffness = 400.0;
  descent.Run(v, 40, 1e-8);
  for (int round = 0; finely && round < 12; ++round) {
    problem.Press(v);
    descent.Run(v, 40, 1e-15);
  }
  return Settled(v, radii, problem.pressure);
}

Vector Thrown(std::span<const double> radii, double lower, SeededRandom& random) {
  Vector v(2 * radii.size() + 1, lower * 1.2);
  for (std::size_t i = 0; i < radii.size(); ++i) {
    double x = 1, y = 1;
    while (x * x + y * y > 1) { x = random.Within(-1, 1); y = random.Within(-1, 1); }
    v[2 * i] = x * lower;
    v[2 * i + 1] = y * lower;
  }
  return v;
}

// The best so far with two disks changed over, or one thrown elsewhere.
Vector Shaken(const Placement& best, SeededRandom& random) {
  const std::size_t n = best.disks.size();
  Vector v(2 * n + 1, best.radius);
  for (std::size_t i = 0; i < n; ++i) { v[2 * i] = best.disks[i].x; v[2 * i + 1] = best.disks[i].y; }
  const std::size_t i = random.Next() % n, j = random.Next() % n;
  if (i != j && best.disks[i].r != best.disks[j].r) {
    std::swap(v[2 * i], v[2 * j]);
    std::swap(v[2 * i + 1], v[2 * j + 1]);
  } else {
    v[2 * i] = best.radius * random.Within(-0.7, 0.7);
    v[2 * i + 1] = best.radius * random.Within(-0.7, 0.7);
  }
  return v;
}

}  // namespace

Placement Search(std::span<const double> radii, double enough, int starts) {
  const double unit = radii.front();
  std::vector<double> scaled(radii.begin(), radii.end());
  for (double& r : scaled) r /= unit;
  const double lower = LowerRadius(scaled);
  SeededRandom random(UINT64_C(0x5eed));
  Placement best;
  double best_coarse = 1e300;
  for (int start = 0; start < starts; ++start) {
    Vector v = start % 3 == 0 || best.disks.empty() ? Thrown(scaled, lower, random) : Shaken(best, random);
    const Placement coarse = Minimise(v, scaled, false);
    // Worse, or the same minimum once more: nothing to gain from the fine steps.
    if (coarse.radius > best_coarse - 1e-5) continue;
    best_coarse = coarse.radius;
    const Placement fine = Minimise(v, scaled, true);
    if (best.disks.empty() || fine.radius < best.radius * (1 - 1e-12)) best = fine;
    if (best.radius * unit <= enough * (1 + 1e-9)) break;
    // Where the proof is cheap, the first global minimum ends the search.
    if (scaled.size() <= kProvable && ProvedEmpty(scaled, best.radius * (1 - kNearly), kProofBoxes)) {
      best.proved = best.radius * (1 - kNearly);
      break;
    }
  }
  for (Disk& disk : best.disks) { disk.x *= unit; disk.y *= unit; }
  for (std::size_t i = 0; i < radii.size(); ++i) best.disks[i].r = radii[i];
  best.radius *= unit;
  best.proved *= unit;
  return best;
}

}  // namespace fairlead::disks
