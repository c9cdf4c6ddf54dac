// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/lumen_choice.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>

namespace fairlead {
namespace {

// All chosen on phantoms of seeds 11001 to 13200 (docs/methods-trace.md). Costs are halves of squares, as of a logarithm of odds.
constexpr double kUsualGain = 1.0;         // of two lumens where there is one
constexpr double kOtherNumber = 1.0;       // for a change of how many lumens there are
constexpr double kPlaceSd = 0.35, kWideSd = 0.3, kDarkSd = 0.15;  // change from line to line; pixels, pixels, logarithm
constexpr double kMostJump = 4.0;
constexpr double kPassed = 2.0;            // for a line that is passed over
constexpr std::size_t kMostPassed = 8, kEnd = 20;  // lines; at an end
constexpr double kAnchorSd = 2.0, kMostAnchor = 4.5;  // pixels; a line
constexpr int kAnchorLines = 8;            // on each side of a click that it holds
constexpr double kOfStray = 0.5, kStraySd = 1.5;   // of what both edges by themselves say; pixels
constexpr double kCostOfDoubt = 4.0;       // another way that costs so much more is as likely as exp(-1)

double Jump(double difference, double sd) { return std::min(kMostJump, 0.5 * difference * difference / (sd * sd)); }

struct Place {
  double middle = 0.0, radius = 0.0, dark = 0.0, cost = 0.0;
  int lumens = 1;
};

double Between(const Place& a, const Place& b, std::size_t lines) {
  const double apart = static_cast<double>(lines), root = std::sqrt(apart);
  return Jump(a.middle - b.middle, kPlaceSd * apart) + Jump(a.radius - b.radius, kWideSd * root) + Jump(a.dark - b.dark, kDarkSd * root) +
         (a.lumens != b.lumens ? kOtherNumber : 0.0) + kPassed * (apart - 1.0);
}

std::vector<std::vector<Place>> PlacesOf(std::span<const std::vector<Explanation>> all, std::span<const Anchor> anchors, std::span<const SectionStart> chain) {
  std::vector<std::vector<Place>> places(all.size());
  for (std::size_t l = 0; l < all.size(); ++l) {
    for (const Explanation& e : all[l]) {
      Place p{e.fit.middle, e.fit.radius, std::log(std::max(1e-6, e.fit.darkness)), e.lumens > 1 ? kUsualGain - e.gain : 0.0, e.lumens};
      p.cost += kOfStray * Jump(p.middle - chain[l].middle, kStraySd);
      for (const Anchor& a : anchors) {
        if (std::abs(a.line - static_cast<int>(l)) <= kAnchorLines) p.cost += std::min(kMostAnchor, 0.5 * std::pow((p.middle - a.middle) / kAnchorSd, 2));
      }
      places[l].push_back(p);
    }
  }
  return places;
}

struct Step {
  std::size_t line = 0, which = 0;
  bool first = true;
};

struct Ways {
  std::vector<std::vector<double>> costs;  // of the cheapest way that ends at each explanation, its own cost counted
  std::vector<std::vector<Step>> before;
};

Ways WaysTo(std::span<const std::vector<Place>> places) {
  Ways ways{std::vector<std::vector<double>>(places.size()), std::vector<std::vector<Step>>(places.size())};
  for (std::size_t l = 0; l < places.size(); ++l) {
    for (const Place& place : places[l]) {
      double least = kPassed * static_cast<double>(l);
      Step best;
      for (std::size_t k = 1; k <= std::min(l, kMostPassed); ++k) {
        for (std::size_t v = 0; v < places[l - k].size(); ++v) {
          const double cost = ways.costs[l - k][v] + Between(places[l - k][v], place, k);
          if (cost < least) least = cost, best = {l - k, v, false};
        }
      }
      ways.costs[l].push_back(least + place.cost);
      ways.before[l].push_back(best);
    }
  }
  return ways;
}

Step CheapestEnd(const Ways& ways) {
  const std::size_t lines = ways.costs.size();
  Step end;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t l = lines > kEnd ? lines - kEnd : 0; l < lines; ++l) {
    for (std::size_t v = 0; v < ways.costs[l].size(); ++v) {
      const double cost = ways.costs[l][v] + kPassed * static_cast<double>(lines - 1 - l);
      if (cost < least) least = cost, end = {l, v, false};
    }
  }
  return end;
}

// What the diameter would be off by if the cheapest way through each other explanation of its line held, by how much dearer it is.
double Otherwise(std::span<const Place> places, std::span<const double> to, std::span<const double> back, std::size_t chosen) {
  const auto through = [&](std::size_t v) { return to[v] + back[v] - places[v].cost; };
  double weights = 0.0, squares = 0.0;
  for (std::size_t v = 0; v < places.size(); ++v) {
    const double weight = std::exp(-std::max(0.0, through(v) - through(chosen)) / kCostOfDoubt);
    weights += weight, squares += weight * 4.0 * (places[v].radius - places[chosen].radius) * (places[v].radius - places[chosen].radius);
  }
  return std::sqrt(squares / weights);
}

// Those passed over lie between their neighbours; what was fitted to them is kept for the record.
void FillPassed(std::span<const std::vector<Explanation>> all, LumenChoice& choice, std::span<SectionStart> chain) {
  const std::size_t lines = chain.size();
  for (std::size_t l = 0; l < lines; ++l) {
    if (choice.found[l]) continue;
    std::size_t before = l, after = l;
    while (before > 0 && !choice.found[before]) --before;
    while (after + 1 < lines && !choice.found[after]) ++after;
    if (!choice.found[before]) before = after;
    if (!choice.found[after]) after = before;
    const double t = after > before ? static_cast<double>(l - before) / static_cast<double>(after - before) : 0.0;
    const SectionFit &a = choice.fits[before], &b = choice.fits[after];
    chain[l] = {(1.0 - t) * a.middle + t * b.middle, (1.0 - t) * a.radius + t * b.radius};
    choice.fits[l] = all[l].front().fit;
  }
}

}  // namespace

LumenChoice ChooseLumens(std::span<const std::vector<Explanation>> all, std::span<const Anchor> anchors, std::span<SectionStart> chain) {
  const std::size_t lines = all.size();
  auto places = PlacesOf(all, anchors, chain);
  const Ways to = WaysTo(places);
  std::reverse(places.begin(), places.end());
  Ways back = WaysTo(places);
  std::reverse(places.begin(), places.end()), std::reverse(back.costs.begin(), back.costs.end());
  LumenChoice choice{std::vector<SectionFit>(lines), std::vector<bool>(lines, false), std::vector<double>(lines, 0.0)};
  for (Step at = CheapestEnd(to); !at.first; at = to.before[at.line][at.which]) {
    const std::size_t l = at.line;
    choice.fits[l] = all[l][at.which].fit;
    choice.found[l] = true;
    choice.otherwise[l] = Otherwise(places[l], to.costs[l], back.costs[l], at.which);
    if (all[l][at.which].lumens > 1) chain[l] = {choice.fits[l].middle, choice.fits[l].radius};
  }
  FillPassed(all, choice, chain);
  return choice;
}

}  // namespace fairlead
