// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/edge_chain.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <utility>

#include "imaging/trace/blur_search.h"
#include "imaging/trace/chord.h"

namespace fairlead {
namespace {

// All chosen on phantoms of seeds 3001 to 3060 (docs/methods-trace.md).
constexpr double kUnlikeness = 0.3;        // sd of the darkness along one vessel, as a share of it
constexpr double kRough = 0.04;            // what the lumen of a vessel is not round by, of its depth
constexpr double kWeight = 0.5;            // of a line's cost: neighbouring lines are one look
constexpr double kMove = 0.3, kGrow = 0.6; // for a step of the middle, of the radius, from line to line
constexpr double kMostCost = 12.0;         // of an edge that is not there
constexpr double kMostMiddle = 8.0;        // pixels
constexpr double kOfExpected = 0.1;
constexpr double kAnchorSd = 1.5, kMostAnchor = 4.5;  // pixels; a line
constexpr int kAnchorLines = 8;            // on each side of a click that it holds
constexpr double kLeastDarkness = 1e-3;
constexpr double kRadiusStep = 0.5, kInside = 2.5, kOutside = 2.0;

const BlurredChord& Chord() {
  static const BlurredChord chord;
  return chord;
}

// What a window about one edge looks like, less a straight line.
struct EdgeShape {
  std::vector<double> shape;  // per sample of the window
  double squares = 0.0;
};

void TakeLine(std::vector<double>& v) {
  const double n = static_cast<double>(v.size()), half = 0.5 * (n - 1.0);
  double sum = 0.0, along = 0.0, spread = 0.0;
  for (std::size_t i = 0; i < v.size(); ++i) {
    const double x = static_cast<double>(i) - half;
    sum += v[i], along += x * v[i], spread += x * x;
  }
  for (std::size_t i = 0; i < v.size(); ++i) v[i] -= sum / n + along / spread * (static_cast<double>(i) - half);
}

class Chain {
 public:
  Chain(const Straightened& straight, double blur, double expected, double most)
      : straight_(straight), radii_(std::max(2, static_cast<int>((most - 0.75) / kRadiusStep) + 1)), expected_(expected) {
    const double widest = 0.75 + kRadiusStep * (radii_ - 1);
    half_ = std::min(static_cast<int>(kMostMiddle / kAcrossStep), static_cast<int>((straight.reach - widest - kOutside) / kAcrossStep) - 1);
    half_ = std::max(half_, 2);
    middles_ = 2 * half_ + 1;
    before_ = static_cast<int>(kOutside / kAcrossStep), after_ = static_cast<int>(kInside / kAcrossStep);
    for (int k = 0; k < radii_; ++k) {
      EdgeShape e;
      for (int i = -before_; i <= after_; ++i) e.shape.push_back(blur * Chord()((i * kAcrossStep - Radius(k)) / blur, Radius(k) / blur));
      TakeLine(e.shape);
      for (const double s : e.shape) e.squares += s * s;
      shapes_.push_back(std::move(e));
    }
  }

  std::vector<SectionStart> Find(std::span<const double> darkness, double noise, std::span<const Anchor> anchors) {
    const int states = radii_ * middles_;
    std::vector<double> total(static_cast<std::size_t>(states), 0.0), next(total.size()), own(total.size());
    std::vector<std::int8_t> from(static_cast<std::size_t>(states) * static_cast<std::size_t>(straight_.lines));
    for (int l = 0; l < straight_.lines; ++l) {
      Costs(l, darkness[static_cast<std::size_t>(l)], noise, own);
      for (const Anchor& a : anchors) {
        if (std::abs(a.line - l) > kAnchorLines) continue;
        for (int s = 0; s < states; ++s) {
          const double z = (Middle(s) - a.middle) / kAnchorSd;
          own[static_cast<std::size_t>(s)] += std::min(kMostAnchor, 0.5 * z * z);
        }
      }
      for (int s = 0; s < states; ++s) {
        double least = l == 0 ? 0.0 : std::numeric_limits<double>::infinity();
        int way = 4;
        if (l > 0) {
          const int r = s / middles_, m = s % middles_;
          for (int w = 0; w < 9; ++w) {
            const int dr = w / 3 - 1, dm = w % 3 - 1;
            if (r + dr < 0 || r + dr >= radii_ || m + dm < 0 || m + dm >= middles_) continue;
            const double cost = total[static_cast<std::size_t>(s + dr * middles_ + dm)] + kGrow * std::abs(dr) + kMove * std::abs(dm);
            if (cost < least) least = cost, way = w;
          }
        }
        from[static_cast<std::size_t>(l) * static_cast<std::size_t>(states) + static_cast<std::size_t>(s)] = static_cast<std::int8_t>(way);
        next[static_cast<std::size_t>(s)] = own[static_cast<std::size_t>(s)] + least;
      }
      total.swap(next);
    }
    std::vector<SectionStart> chain(static_cast<std::size_t>(straight_.lines));
    int s = static_cast<int>(std::min_element(total.begin(), total.end()) - total.begin());
    for (int l = straight_.lines - 1; l >= 0; --l) {
      chain[static_cast<std::size_t>(l)] = {Middle(s), Radius(s / middles_)};
      const int w = static_cast<unsigned char>(from[static_cast<std::size_t>(l) * static_cast<std::size_t>(states) + static_cast<std::size_t>(s)]);
      s += (w / 3 - 1) * middles_ + w % 3 - 1;
    }
    return chain;
  }

 private:
  static double Radius(int k) { return 0.75 + kRadiusStep * k; }
  double Middle(int state) const { return kAcrossStep * (state % middles_ - half_); }

  void Costs(int l, double dark, double noise, std::vector<double>& own) {
    const auto line = straight_.At(l).values;
    const int count = straight_.across, centre = count / 2, window = before_ + after_ + 1;
    // Rising edge at sample e: window e - before .. e + after. Falling: mirrored.
    std::vector<std::vector<double>> rise(static_cast<std::size_t>(count)), fall(static_cast<std::size_t>(count));
    std::vector<double> rise_squares(static_cast<std::size_t>(count), 0.0), fall_squares(rise_squares);
    const int first = std::max(before_, after_), last = count - 1 - first;
    for (int e = first; e <= last; ++e) {
      std::vector<double>&r = rise[static_cast<std::size_t>(e)], &f = fall[static_cast<std::size_t>(e)];
      for (int i = -before_; i <= after_; ++i) {
        r.push_back(static_cast<double>(line[static_cast<std::size_t>(e + i)]));
        f.push_back(static_cast<double>(line[static_cast<std::size_t>(e - i)]));
      }
      TakeLine(r), TakeLine(f);
      for (int i = 0; i < window; ++i) rise_squares[static_cast<std::size_t>(e)] += r[static_cast<std::size_t>(i)] * r[static_cast<std::size_t>(i)], fall_squares[static_cast<std::size_t>(e)] += f[static_cast<std::size_t>(i)] * f[static_cast<std::size_t>(i)];
    }
    // The ground beneath all shadows, by what a fifth of each half stays below.
    std::vector<float> side(line.begin(), line.begin() + centre);
    std::nth_element(side.begin(), side.begin() + centre / 5, side.end());
    const double left = static_cast<double>(side[static_cast<std::size_t>(centre / 5)]);
    side.assign(line.end() - centre, line.end());
    std::nth_element(side.begin(), side.begin() + centre / 5, side.end());
    const double right = static_cast<double>(side[static_cast<std::size_t>(centre / 5)]);
    const auto ground = [&](int i) { return 0.5 * (left + right) + 0.5 * (right - left) * std::clamp(2.0 * (i - centre) / centre, -1.0, 1.0); };
    for (int k = 0; k < radii_; ++k) {
      const double radius = Radius(k), off = std::log(radius / expected_);
      const EdgeShape& shape = shapes_[static_cast<std::size_t>(k)];
      const double rough = kRough * dark * 2.0 * std::min(radius, expected_), var = noise * noise + rough * rough;
      const auto edge = [&](const std::vector<double>& w, double squares) {
        if (w.empty()) return kMostCost;
        double dot = 0.0;
        for (int i = 0; i < window; ++i) dot += w[static_cast<std::size_t>(i)] * shape.shape[static_cast<std::size_t>(i)];
        const double found = dot / shape.squares, rest = std::max(0.0, squares - found * dot);
        const double z2 = (found - dark) * (found - dark) / (var / shape.squares + kUnlikeness * kUnlikeness * dark * dark);
        return std::min(kMostCost, z2 + rest / var / 3.0);
      };
      for (int m = 0; m < middles_; ++m) {
        const int at = centre + m - half_, reach = static_cast<int>(std::lround(radius / kAcrossStep));
        // Radii are in quarters of a step off the samples; the nearer sample will do for a start.
        double cost = 0.5 * (edge(EdgeAt(rise, at - reach), SquaresAt(rise_squares, at - reach)) + edge(EdgeAt(fall, at + reach), SquaresAt(fall_squares, at + reach)));
        // Shadows only add: nowhere inside may it be lighter than the vessel alone.
        double lack = 0.0;
        for (int q = -2; q <= 2; ++q) {
          const int i = std::clamp(at + static_cast<int>(std::lround(0.35 * q * reach)), 0, count - 1);
          const double wanted = 2.0 * dark * radius * std::sqrt(1.0 - 0.35 * 0.35 * q * q);
          const double z = (0.75 * wanted - (static_cast<double>(line[static_cast<std::size_t>(i)]) - ground(i))) / (0.25 * wanted + noise);
          if (z > 0.0) lack += std::min(9.0, z * z);
        }
        cost += lack / 5.0;
        own[static_cast<std::size_t>(k * middles_ + m)] = kWeight * cost + kOfExpected * off * off;
      }
    }
  }
  static const std::vector<double>& EdgeAt(const std::vector<std::vector<double>>& edges, int at) {
    static const std::vector<double> none;
    return at >= 0 && at < static_cast<int>(edges.size()) ? edges[static_cast<std::size_t>(at)] : none;
  }
  static double SquaresAt(const std::vector<double>& squares, int at) { return at >= 0 && at < static_cast<int>(squares.size()) ? squares[static_cast<std::size_t>(at)] : 0.0; }

  const Straightened& straight_;
  int radii_, half_ = 2, middles_ = 5, before_ = 4, after_ = 5;
  double expected_;
  std::vector<EdgeShape> shapes_;
};

// What a pixel of chord darkens, along the vessel: less where other shadows lie upon it than a fit there says.
std::vector<double> DarknessAlong(std::span<const SectionFit> fits) {
  constexpr std::size_t kAbout = 60;    // lines on each side
  constexpr double kUsualShare = 0.3;   // of the fits there: two shadows on each other are darker than one
  std::vector<double> along;
  for (std::size_t l = 0; l < fits.size(); ++l) {
    std::vector<double> near;
    for (std::size_t k = l > kAbout ? l - kAbout : 0; k < std::min(fits.size(), l + kAbout + 1); ++k) {
      if (fits[k].darkness > 0.0) near.push_back(fits[k].darkness);
    }
    if (near.empty()) {
      along.push_back(kLeastDarkness);
      continue;
    }
    const auto usual = near.begin() + static_cast<std::ptrdiff_t>(kUsualShare * static_cast<double>(near.size()));
    std::nth_element(near.begin(), usual, near.end());
    along.push_back(std::max(kLeastDarkness, *usual));
  }
  return along;
}

// The lumen of a few about the course that leaves least over, each line for itself: enough to tell how dark it is.
std::vector<SectionFit> RoughFits(const Straightened& straight, double expected) {
  constexpr std::array<double, 4> kRadii = {0.6, 0.8, 1.0, 1.25};  // of the expected one
  constexpr std::array<double, 3> kPlaces = {0.0, -1.5, 1.5};      // pixels
  const SectionFitter fitter(kFirstBlur);
  std::vector<SectionFit> fits;
  for (int l = 0; l < straight.lines; ++l) {
    SectionFit best;
    best.misfit = std::numeric_limits<double>::infinity();
    for (const double radius : kRadii) {
      for (const double middle : kPlaces) {
        SectionFit fit = fitter.Held(straight.At(l), middle, radius * expected, kBackground);
        if (fit.darkness > 0.0 && fit.misfit < best.misfit) best = std::move(fit);
      }
    }
    fits.push_back(std::move(best));
  }
  return fits;
}

}  // namespace

std::vector<Anchor> AnchorsOf(std::span<const PixelPoint> clicks, std::span<const PixelPoint> course, std::span<const PixelPoint> normals) {
  std::vector<Anchor> anchors;
  for (const PixelPoint& click : clicks) {
    std::size_t best = 0;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t l = 0; l < course.size(); ++l) {
      const double away = std::hypot(click.x - course[l].x, click.y - course[l].y);
      if (away < least) least = away, best = l;
    }
    anchors.push_back({static_cast<int>(best), (click.x - course[best].x) * normals[best].x + (click.y - course[best].y) * normals[best].y});
  }
  return anchors;
}

std::vector<SectionStart> ChainOfEdges(const Straightened& straight, double expected, double most, std::span<const Anchor> anchors) {
  const std::vector<SectionFit> rough = RoughFits(straight, expected);
  std::vector<double> misfits;
  for (const SectionFit& fit : rough) {
    if (fit.darkness > 0.0) misfits.push_back(fit.misfit);
  }
  double noise = 1.0;
  if (!misfits.empty()) {
    const auto quarter = misfits.begin() + static_cast<std::ptrdiff_t>(misfits.size() / 4);
    std::nth_element(misfits.begin(), quarter, misfits.end());
    noise = std::max(kLeastDarkness, std::sqrt(*quarter));
  }
  return Chain(straight, kFirstBlur, expected, most).Find(DarknessAlong(rough), noise, anchors);
}

}  // namespace fairlead
