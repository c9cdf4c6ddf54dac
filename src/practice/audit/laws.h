// SPDX-License-Identifier: Apache-2.0
// The few laws of chance that the audit needs; Boost.Math stands behind them, in one file.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <vector>

namespace fairlead {

inline constexpr double kZ95 = 1.959963984540054;  // two-sided 95 % of the normal law

double NormalCdf(double z);
double NormalQuantile(double p);                             // p in (0, 1)
double BetaQuantile(double p, double a, double b);           // a, b > 0
double BinomialCdf(std::int64_t k, std::int64_t n, double p);  // P(X <= k); 0 below 0, 1 from n on
double BinomialPmf(std::int64_t k, std::int64_t n, double p);
// Smallest k with P(X <= k) >= q.
std::int64_t BinomialQuantile(double q, std::int64_t n, double p);
double ChiSquareAbove(double x, double degrees);
double LogBeta(double a, double b);

// Root of a function that changes sign between the two ends, to the last bits; nothing if it does not.
std::optional<double> RootBetween(const std::function<double(double)>& f, double low, double high);

double Logit(double p);
double Logistic(double x);
double LogOnePlusExp(double x);  // without overflow

// Law of a count of independent events of unequal chances: P(X = 0 .. n). Cost n^2.
std::vector<double> PoissonBinomial(std::span<const double> chances);

}  // namespace fairlead
