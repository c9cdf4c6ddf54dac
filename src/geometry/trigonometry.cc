// SPDX-License-Identifier: Apache-2.0
#include "geometry/trigonometry.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

namespace fairlead {
namespace {

// pi/2 and ln 2 in parts whose products with a small whole number are exact.
constexpr double kHalfPi1 = 1.57079632673412561417e+00;
constexpr double kHalfPi2 = 6.07710050630396597660e-11;
constexpr double kHalfPi3 = 2.02226624879595063154e-21;
constexpr double kLn2High = 6.93147180369123816490e-01;
constexpr double kLn2Low = 1.90821492927058770002e-10;
constexpr double kLog2E = 1.44269504088896338700e+00;

// Taylor series to the term below 1e-19 on |x| <= pi/4.
double SineNear(double x) {
  const double q = x * x;
  double term = 0.0;
  for (int n = 17; n >= 3; n -= 2) term = q * (1.0 + term) / (-static_cast<double>((n - 1) * n));
  return x + x * term;
}

double CosineNear(double x) {
  const double q = x * x;
  double term = 0.0;
  for (int n = 18; n >= 2; n -= 2) term = q * (1.0 + term) / (-static_cast<double>((n - 1) * n));
  return 1.0 + term;
}

}  // namespace

SineCosine SineCosineOf(Angle angle) {
  const double x = angle.radians();
  const double quarter = std::floor(x / kHalfPi1 + 0.5);
  const double r = ((x - quarter * kHalfPi1) - quarter * kHalfPi2) - quarter * kHalfPi3;
  const double s = SineNear(r), c = CosineNear(r);
  const double turn = quarter - 4.0 * std::floor(quarter / 4.0);
  if (turn < 0.5) return {s, c};
  if (turn < 1.5) return {c, -s};
  if (turn < 2.5) return {-s, -c};
  return {-c, s};
}

double ExpOf(double x) {
  const double held = std::clamp(x, -700.0, 700.0);
  const double k = std::floor(held * kLog2E + 0.5);
  const double r = (held - k * kLn2High) - k * kLn2Low;
  // 1/2! to 1/13!: the next term is below 4e-18 on |r| <= ln(2)/2.
  static constexpr std::array<double, 12> kInverse{
      1.0 / 6227020800.0, 1.0 / 479001600.0, 1.0 / 39916800.0, 1.0 / 3628800.0, 1.0 / 362880.0, 1.0 / 40320.0,
      1.0 / 5040.0,       1.0 / 720.0,       1.0 / 120.0,      1.0 / 24.0,      1.0 / 6.0,      1.0 / 2.0};
  double p = 0.0;
  for (const double c : kInverse) p = p * r + c;
  return std::ldexp(1.0 + (r + r * r * p), static_cast<int>(k));
}

double LogOf(double x) {
  int exponent = 0;
  double m = std::frexp(x, &exponent);  // [0.5, 1)
  if (m < 0.70710678118654752) {
    m *= 2.0;
    exponent -= 1;
  }
  const double s = (m - 1.0) / (m + 1.0);
  const double q = s * s;
  double p = 0.0;
  for (int n = 23; n >= 3; n -= 2) p = q * (p + 1.0 / static_cast<double>(n));
  const double e = exponent;
  return e * kLn2High + (2.0 * s + (2.0 * s * p + e * kLn2Low));
}

}  // namespace fairlead
