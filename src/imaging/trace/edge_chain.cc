// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/edge_chain.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <utility>

#include "imaging/trace/blur_search.h"
#include "imaging/trace/edge_costs.h"

namespace fairlead {
namespace {

// All chosen on phantoms of seeds 3001 to 3060 (docs/methods-trace.md).
constexpr double kMove = 0.3, kGrow = 0.6; // for a step of the middle, of the radius, from line to line
constexpr double kAnchorSd = 1.5, kMostAnchor = 4.5;  // pixels; a line
constexpr int kAnchorLines = 8;            // on each side of a click that it holds
constexpr double kLeastDarkness = 1e-3;

using Table = EdgeCosts::Table;

double MovePrice(Eigen::Index by) { return kMove * static_cast<double>(std::abs(by)); }
double GrowPrice(Eigen::Index by) { return kGrow * static_cast<double>(std::abs(by)); }

// The least of a place's own and its neighbours' on the line before, with the price of the step from there.
Table Cheapest(const Table& before) {
  Table least = Table::Constant(before.rows(), before.cols(), std::numeric_limits<double>::infinity());
  const auto from = [](Eigen::Index by) { return std::max<Eigen::Index>(0, by); };
  for (const Eigen::Index dk : {-1, 0, 1}) {
    for (const Eigen::Index dm : {-1, 0, 1}) {
      const auto rows = before.rows() - std::abs(dm), columns = before.cols() - std::abs(dk);
      auto to = least.block(from(-dm), from(-dk), rows, columns);
      to = to.min(before.block(from(dm), from(dk), rows, columns) + GrowPrice(dk) + MovePrice(dm));
    }
  }
  return least;
}

struct Place {
  Eigen::Index m = 0, k = 0;  // middle, radius
};

// On the line before, the first of the places from which that least came.
Place CameFrom(const Table& before, Place to) {
  double least = std::numeric_limits<double>::infinity();
  Place best;
  for (Eigen::Index k = std::max<Eigen::Index>(0, to.k - 1); k < std::min(before.cols(), to.k + 2); ++k) {
    for (Eigen::Index m = std::max<Eigen::Index>(0, to.m - 1); m < std::min(before.rows(), to.m + 2); ++m) {
      const double cost = before(m, k) + GrowPrice(k - to.k) + MovePrice(m - to.m);
      if (cost < least) least = cost, best = {m, k};
    }
  }
  return best;
}

std::vector<SectionStart> CheapestChain(EdgeCosts& costs, std::span<const double> darkness, double noise, std::span<const Anchor> anchors) {
  std::vector<Table> totals;  // of each line, what the cheapest chain up to there costs
  for (int l = 0; l < static_cast<int>(darkness.size()); ++l) {
    Table own = costs.Of(l, darkness[static_cast<std::size_t>(l)], noise);
    for (const Anchor& a : anchors) {
      if (std::abs(a.line - l) <= kAnchorLines) own.colwise() += (0.5 * ((costs.Middles() - a.middle) / kAnchorSd).square()).min(kMostAnchor).eval();
    }
    if (l > 0) own += Cheapest(totals.back());
    totals.push_back(std::move(own));
  }
  Place at;
  totals.back().minCoeff(&at.m, &at.k);
  std::vector<SectionStart> chain(totals.size());
  for (std::size_t l = totals.size(); l-- > 0;) {
    chain[l] = {costs.Middle(at.m), EdgeCosts::Radius(at.k)};
    if (l > 0) at = CameFrom(totals[l - 1], at);
  }
  return chain;
}

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
  EdgeCosts costs(straight, kFirstBlur, expected, most);
  return CheapestChain(costs, DarknessAlong(rough), noise, anchors);
}

}  // namespace fairlead
