// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/proportion.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include "practice/audit/laws.h"

namespace fairlead {
namespace {

constexpr double kTail = 0.025;

Status Countable(Count count) {
  if (count.cases <= 0) return Error{"there is no case to count", "", "choose a wider slice"};
  if (count.events < 0 || count.events > count.cases) {
    return Error{"there are more events than cases", "", "check the rows: an outcome is 0 or 1"};
  }
  return Done{};
}

double AsDouble(std::int64_t n) { return static_cast<double>(n); }

// Quantiles of the two beta laws whose first parameters are a_low + x and a_high + x; 0 and 1 at the ends.
Interval BetaInterval(Count count, double low_shift, double high_shift) {
  const double x = AsDouble(count.events), rest = AsDouble(count.cases - count.events);
  return {.low = count.events == 0 ? 0 : BetaQuantile(kTail, x + low_shift, rest + 1 - low_shift),
          .high = rest == 0 ? 1 : BetaQuantile(1 - kTail, x + high_shift, rest + 1 - high_shift)};
}

}  // namespace

Result<Interval> ExactInterval(Count count) {
  if (auto fits = Countable(count); !fits) return fits.error();
  return BetaInterval(count, 0, 1);
}

Result<Interval> JeffreysInterval(Count count) {
  if (auto fits = Countable(count); !fits) return fits.error();
  return BetaInterval(count, 0.5, 0.5);
}

Result<Interval> WilsonInterval(Count count) {
  if (auto fits = Countable(count); !fits) return fits.error();
  const double n = AsDouble(count.cases), share = AsDouble(count.events) / n, z2 = kZ95 * kZ95;
  const double centre = (share + z2 / (2 * n)) / (1 + z2 / n);
  const double half = kZ95 * std::sqrt(share * (1 - share) / n + z2 / (4 * n * n)) / (1 + z2 / n);
  return Interval{.low = count.events == 0 ? 0 : std::max(0.0, centre - half),
                  .high = count.events == count.cases ? 1 : std::min(1.0, centre + half)};
}

Result<Interval> MidPInterval(Count count) {
  if (auto fits = Countable(count); !fits) return fits.error();
  const std::int64_t x = count.events, n = count.cases;
  const auto above = [x, n](double p) { return 1 - BinomialCdf(x, n, p) + BinomialPmf(x, n, p) / 2 - kTail; };
  const auto below = [x, n](double p) { return BinomialCdf(x - 1, n, p) + BinomialPmf(x, n, p) / 2 - kTail; };
  constexpr double kEdge = 1e-12;
  return Interval{.low = x == 0 ? 0 : RootBetween(above, kEdge, 1 - kEdge).value_or(0),
                  .high = x == n ? 1 : RootBetween(below, kEdge, 1 - kEdge).value_or(1)};
}

}  // namespace fairlead
