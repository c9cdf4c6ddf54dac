// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/profile.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

namespace fairlead {
namespace {

constexpr double kMedianWindow = 1.0;  // mm
constexpr double kDropBelow = 1.5;     // sd
constexpr double kLeastSpread = 0.1;   // mm
constexpr int kMostRounds = 20;
constexpr double kBackAt = 0.95;       // of the reference
// Neighbouring sections share grey values: about 1 mm of vessel is one independent look.
constexpr double kIndependentMm = 1.0;
// Of the healthy line the sections share part of their errors: chosen on phantoms (docs/methods-trace.md).
constexpr double kShared = 0.45;

struct Fit {
  double start = 0.0, taper = 0.0, spread = 0.0;
  std::size_t used = 0;
  int rounds = 0;
};

// Least squares over the places kept; a line that would widen downstream is level instead.
Fit LineThrough(std::span<const double> along, std::span<const double> wide, const std::vector<bool>& kept) {
  double n = 0, sx = 0, sy = 0, sxx = 0, sxy = 0;
  for (std::size_t i = 0; i < along.size(); ++i) {
    if (!kept[i]) continue;
    n += 1, sx += along[i], sy += wide[i], sxx += along[i] * along[i], sxy += along[i] * wide[i];
  }
  Fit fit;
  fit.used = static_cast<std::size_t>(n);
  const double below = n * sxx - sx * sx;
  fit.taper = below > 1e-9 ? std::min(0.0, (n * sxy - sx * sy) / below) : 0.0;
  fit.start = (sy - fit.taper * sx) / n;
  double squares = 0;
  for (std::size_t i = 0; i < along.size(); ++i) {
    const double off = wide[i] - fit.start - fit.taper * along[i];
    if (kept[i]) squares += off * off;
  }
  fit.spread = std::sqrt(squares / n);
  return fit;
}

Fit Robust(std::span<const double> along, std::span<const double> wide, const std::vector<bool>& counts) {
  std::vector<bool> kept = counts;
  Fit fit = LineThrough(along, wide, kept);
  for (fit.rounds = 1; fit.rounds < kMostRounds; ++fit.rounds) {
    const double limit = kDropBelow * std::max(kLeastSpread, fit.spread);
    std::vector<bool> next = counts;
    std::size_t left = 0;
    for (std::size_t i = 0; i < along.size(); ++i) {
      if (wide[i] < fit.start + fit.taper * along[i] - limit) next[i] = false;
      if (next[i]) ++left;
    }
    if (next == kept || left < 5) break;
    kept = std::move(next);
    const int rounds = fit.rounds;
    fit = LineThrough(along, wide, kept);
    fit.rounds = rounds;
  }
  return fit;
}

struct Plain {
  std::vector<double> along, wide, sd;
  std::vector<bool> counts;
  double spacing = 0.2;
};

Plain PlainOf(std::span<const ProfilePoint> points) {
  Plain plain;
  const auto median = RunningMedian(points);
  for (std::size_t i = 0; i < points.size(); ++i) {
    plain.along.push_back(points[i].along.millimetres());
    plain.wide.push_back(median[i].millimetres());
    plain.sd.push_back(points[i].sd.millimetres());
    plain.counts.push_back(points[i].counts);
  }
  plain.spacing = (plain.along.back() - plain.along.front()) / static_cast<double>(points.size() - 1);
  return plain;
}

// Sd of the line at the narrowest place: the scatter about it, over the independent looks, and what the sections share.
double LineSd(const Plain& plain, const Fit& fit) {
  const double looks = std::max(2.0, static_cast<double>(fit.used) * std::min(1.0, plain.spacing / kIndependentMm));
  std::vector<double> sds = plain.sd;
  const auto middle = sds.begin() + static_cast<std::ptrdiff_t>(sds.size() / 2);
  std::nth_element(sds.begin(), middle, sds.end());
  return std::hypot(fit.spread / std::sqrt(looks), kShared * *middle);
}

// The places on each side of the narrowest where the diameter is back.
std::pair<std::size_t, std::size_t> WhereBack(const Plain& plain, const Fit& fit, std::size_t least) {
  const auto back = [&](std::size_t i) { return plain.counts[i] && plain.wide[i] >= kBackAt * (fit.start + fit.taper * plain.along[i]); };
  std::size_t first = least, last = least;
  while (first > 0 && !back(first)) --first;
  while (last + 1 < plain.wide.size() && !back(last)) ++last;
  return {first, last};
}

}  // namespace

std::vector<Length> RunningMedian(std::span<const ProfilePoint> points) {
  std::vector<Length> out;
  const double half = 0.5 * kMedianWindow - 1e-9;
  for (std::size_t i = 0; i < points.size(); ++i) {
    std::vector<double> near;
    const double here = points[i].along.millimetres();
    for (std::size_t k = i; k < points.size() && points[k].along.millimetres() - here <= half; ++k) {
      if (points[k].counts) near.push_back(points[k].diameter.millimetres());
    }
    for (std::size_t k = i; k-- > 0 && here - points[k].along.millimetres() <= half;) {
      if (points[k].counts) near.push_back(points[k].diameter.millimetres());
    }
    if (near.empty() || !points[i].counts) {
      out.push_back(points[i].diameter);
      continue;
    }
    std::sort(near.begin(), near.end());
    const std::size_t m = near.size() / 2;
    out.push_back(Length::Millimetres(near.size() % 2 == 1 ? near[m] : 0.5 * (near[m - 1] + near[m])));
  }
  return out;
}

Result<Narrowing> NarrowingOf(std::span<const ProfilePoint> points, std::span<const HealthyStretch> healthy) {
  const auto counted = static_cast<std::size_t>(std::count_if(points.begin(), points.end(), [](const ProfilePoint& p) { return p.counts; }));
  if (counted < 10 || (points.back().along - points.front().along) < Length::Millimetres(3.0)) {
    return Error{"too little of the vessel is seen to judge a narrowing", "through", "trace at least 3 mm, beyond the narrowing on both sides"};
  }
  const Plain plain = PlainOf(points);
  Fit fit;
  if (healthy.empty()) {
    fit = Robust(plain.along, plain.wide, plain.counts);
  } else {
    std::vector<bool> chosen(points.size(), false);
    for (std::size_t i = 0; i < points.size(); ++i) {
      for (const HealthyStretch& stretch : healthy) {
        if (plain.counts[i] && points[i].along >= stretch.from && points[i].along <= stretch.to) chosen[i] = true;
      }
    }
    if (std::count(chosen.begin(), chosen.end(), true) < 2) {
      return Error{"the stretches chosen as healthy hold no seen part of the vessel", "reference", "choose stretches of the traced vessel"};
    }
    fit = LineThrough(plain.along, plain.wide, chosen);
  }
  std::size_t least = points.size();
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (plain.counts[i] && (least == points.size() || plain.wide[i] < plain.wide[least])) least = i;
  }
  const double reference = fit.start + fit.taper * plain.along[least];
  if (!(reference > 0.05)) return Error{"the reference line falls to nothing at the narrowest place", "reference", "choose healthy stretches on both sides of it"};
  const double reference_sd = LineSd(plain, fit), share = plain.wide[least] / reference;
  const auto [first, last] = WhereBack(plain, fit, least);
  Narrowing narrowing;
  narrowing.least = Length::Millimetres(plain.wide[least]);
  narrowing.least_sd = points[least].sd;
  narrowing.at = points[least].along;
  narrowing.reference = Length::Millimetres(reference);
  narrowing.reference_sd = Length::Millimetres(reference_sd);
  narrowing.stenosis_pct = 100.0 * (1.0 - share);
  narrowing.stenosis_sd_pct = 100.0 * std::hypot(plain.sd[least] / reference, share * reference_sd / reference);
  narrowing.begins = points[first].along, narrowing.ends = points[last].along;
  narrowing.line = {Length::Millimetres(fit.start), fit.taper, Length::Millimetres(reference_sd), fit.rounds};
  return narrowing;
}

}  // namespace fairlead
