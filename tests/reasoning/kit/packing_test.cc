// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/packing.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "measure/random.h"

namespace fairlead {
namespace {

std::vector<Length> Mm(const std::vector<double>& values) {
  std::vector<Length> lengths;
  for (const double v : values) lengths.push_back(Length::Millimetres(v));
  return lengths;
}

// By the coordinates alone: no overlap, nothing outside.
void ExpectHolds(const Packing& packing, const std::vector<Length>& given) {
  ASSERT_EQ(packing.places.size(), given.size());
  for (std::size_t i = 0; i < given.size(); ++i) {
    const Place& a = packing.places[i];
    EXPECT_EQ(a.diameter, given[i]);
    EXPECT_LE(std::hypot(a.x.millimetres(), a.y.millimetres()) + a.diameter.millimetres() / 2,
              packing.smallest.millimetres() / 2 + 1e-9);
    for (std::size_t j = 0; j < i; ++j) {
      const Place& b = packing.places[j];
      EXPECT_GE(std::hypot((a.x - b.x).millimetres(), (a.y - b.y).millimetres()),
                (a.diameter + b.diameter).millimetres() / 2 - 1e-9) << i << " and " << j;
    }
  }
}

double Smallest(const std::vector<double>& diameters) {
  const auto given = Mm(diameters);
  const Packing packing = Pack(given);
  ExpectHolds(packing, given);
  EXPECT_LE(packing.proved, packing.smallest);
  return packing.smallest.millimetres();
}

TEST(Packing, OneIsItsOwnLumenAndTwoLieSideBySide) {
  EXPECT_DOUBLE_EQ(Smallest({0.93}), 0.93);
  EXPECT_NEAR(Smallest({0.93, 0.62}), 1.55, 1e-12);
}

// Descartes' theorem with the enclosing circle's curvature negative: k4 = k1 + k2 + k3 - 2 sqrt(k1 k2 + k2 k3 + k3 k1).
TEST(Packing, ThreeObeyDescartes) {
  SeededRandom random(11);
  for (int trial = 0; trial < 300; ++trial) {
    SCOPED_TRACE(trial);
    const double a = random.Within(0.5, 1.5), b = random.Within(0.5, 1.5), c = random.Within(0.2, 1.5);
    const double p = 2 / a, q = 2 / b, s = 2 / c;
    const double outer = -(p + q + s - 2 * std::sqrt(p * q + q * s + s * p));
    double largest[3] = {a, b, c};
    std::sort(largest, largest + 3, std::greater<>());
    const double two = largest[0] + largest[1];
    // Where the smallest lies loose beside the other two, their sum is the answer, and Descartes' circle is no larger.
    const bool loose = Length::Millimetres(largest[2]) <= GapBeside(Length::Millimetres(largest[0]), Length::Millimetres(largest[1]));
    const double held = Smallest({a, b, c});
    EXPECT_NEAR(held, loose ? two : 2 / outer, 1e-9);
    EXPECT_GE(held, two - 1e-12);
  }
}

// The third circle beside two that fill a lumen is Descartes' circle once more: k = k1 + k2 - K, and the root vanishes.
TEST(Packing, TheGapBesideTwoObeysDescartes) {
  for (const auto& [a, b] : {std::pair{0.93, 0.62}, {0.97, 0.80}, {1.2, 0.6}, {1.0, 1.0}}) {
    const double p = 2 / a, q = 2 / b, lumen = -2 / (a + b);
    EXPECT_NEAR(GapBeside(Length::Millimetres(a), Length::Millimetres(b)).millimetres(), 2 / (p + q + lumen), 1e-12);
  }
  EXPECT_NEAR(GapBeside(Length::Millimetres(1), Length::Millimetres(1)).millimetres(), 2.0 / 3, 1e-12);
}

// Published optima for n equal circles (Math Mag 1967;40:65-70; Math Nachr 1969;40:111-124, and later proofs to n = 13).
TEST(Packing, EqualCirclesMeetThePublishedOptima) {
  const double ratio[] = {1,      2, 1 + 2 / std::sqrt(3.0), 1 + std::sqrt(2.0), 1 + std::sqrt(2 * (1 + 1 / std::sqrt(5.0))), 3,
                          3,      1 + 1 / std::sin(std::acos(-1.0) / 7), 1 + std::sqrt(2 * (2 + std::sqrt(2.0))), 3.8130256};
  for (std::size_t n = 1; n <= 10; ++n) {
    SCOPED_TRACE(n);
    const double held = Smallest(std::vector<double>(n, 0.8));
    EXPECT_NEAR(held, 0.8 * ratio[n - 1], 1e-6);
    EXPECT_NEAR(LowerBound(Mm(std::vector<double>(n, 0.8))).millimetres(), 0.8 * ratio[n - 1], 1e-6);
  }
}

// Unequal circles: values of an independent damped search with bisection on the radius (practice, no source).
TEST(Packing, UnequalCirclesMeetAnIndependentSearch) {
  const std::vector<std::pair<std::vector<double>, double>> known = {
      {{0.93, 0.62, 0.36}, 1.5500}, {{0.97, 0.80, 0.36}, 1.7700}, {{1.06, 0.93, 0.83}, 2.0430}, {{1.00, 1.00, 0.70}, 2.0026},
      {{1.20, 0.60, 0.50}, 1.8000}, {{0.87, 0.87, 0.83}, 1.8467}, {{0.93, 0.93, 0.36, 0.36}, 1.8600},
      {{0.93, 0.87, 0.86, 0.36}, 1.9124}, {{1.00, 0.80, 0.60, 0.40}, 1.8003}, {{0.87, 0.87, 0.87, 0.62}, 1.9636},
      {{0.93, 0.93, 0.93, 0.93}, 2.2452}, {{0.62, 0.62, 0.62, 0.36, 0.36, 0.36}, 1.4438},
      {{1.00, 0.90, 0.80, 0.70, 0.60}, 2.1553}, {{1.06, 0.93, 0.83, 0.36, 0.36}, 2.0430},
      {{0.93, 0.93, 0.83, 0.36, 0.36, 0.36}, 1.9373}, {{1.0, 1.0, 0.5, 0.5, 0.5, 0.5}, 2.0000}};
  for (const auto& [diameters, held] : known) EXPECT_NEAR(Smallest(diameters), held, 1e-4) << diameters.size();
  const double seven = Smallest({1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4});
  EXPECT_GE(seven, 2.1995);
  EXPECT_LE(seven, 2.2050);
}

TEST(Packing, OrderAndScaleDoNotMatter) {
  SeededRandom random(5);
  for (int trial = 0; trial < 12; ++trial) {
    SCOPED_TRACE(trial);
    std::vector<double> given;
    for (int i = 0; i < 3 + trial % 2; ++i) given.push_back(random.Within(0.3, 1.1));
    const double held = Smallest(given);
    std::vector<double> turned(given.rbegin(), given.rend());
    EXPECT_NEAR(Smallest(turned), held, 1e-6);
    for (double& each : turned) each *= 7;
    EXPECT_NEAR(Smallest(turned) / 7, held, 1e-6);
  }
}

TEST(Packing, AddingACircleNeverHelps) {
  SeededRandom random(6);
  for (int trial = 0; trial < 20; ++trial) {
    std::vector<double> given;
    double before = 0;
    for (int i = 0; i < 5; ++i) {
      given.push_back(random.Within(0.3, 1.0));
      const double held = Smallest(given);
      EXPECT_GE(held, before - 1e-6) << trial << " with " << i + 1;
      before = held;
    }
  }
}

// The known optimum of four or five equal circles stands on both sides of the proof.
TEST(Packing, AProofEndsWhereAPlacementBegins) {
  const auto four = Mm({0.93, 0.93, 0.93, 0.90});
  const Packing packing = Pack(four);
  EXPECT_TRUE(ProvedTooSmall(four, packing.smallest * 0.999));
  EXPECT_FALSE(ProvedTooSmall(four, packing.smallest));
  EXPECT_FALSE(ProvedTooSmall(four, packing.smallest * 1.01));
  const auto ten = Mm({0.87, 0.87, 0.87, 0.62});
  EXPECT_TRUE(ProvedTooSmall(ten, Length::Millimetres(1.955)));
}

// A lumen that holds a random placement is never proved empty.
TEST(Packing, AProofNeverContradictsAPlacement) {
  SeededRandom random(7);
  for (int trial = 0; trial < 30; ++trial) {
    SCOPED_TRACE(trial);
    std::vector<Length> given;
    for (int i = 0; i < 4 + trial % 3; ++i) given.push_back(Length::Millimetres(random.Within(0.4, 1.0)));
    const Packing packing = Pack(given, {.starts = 6, .boxes = 2000});
    EXPECT_FALSE(ProvedTooSmall(given, packing.smallest, {.starts = 6, .boxes = 2000}));
  }
}

TEST(Packing, ShaftsRestWithoutOverlap) {
  const auto given = Mm({0.93, 0.83, 0.356});
  const auto rest = Rest(given, Length::Millimetres(2.057));
  ASSERT_TRUE(rest);
  ExpectHolds({Length::Millimetres(2.057), {}, Proof::kExact, *rest}, given);
  EXPECT_FALSE(Rest(given, Length::Millimetres(1.7)));
}

}  // namespace
}  // namespace fairlead
