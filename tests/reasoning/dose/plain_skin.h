// SPDX-License-Identifier: Apache-2.0
// The skin dose again, in the plainest way and without the program's geometry, factors or map: rotation matrices from
// the axes, the table of factors typed in a second time for one beam quality, and a brute walk over the skin.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

namespace fairlead::plain {

using V = std::array<double, 3>;
inline double DotOf(V a, V b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }

struct Shot {
  double alpha, beta;              // degrees
  double kerma, sid, sod, ref;     // Gy, mm
  double width, height;            // of the field at the detector, mm
  V shift;                         // of the patient
};
struct Person {
  double a, b, xc, yc, table_y, table_half, table_x;
  double t0, fs, medium;
};

// 80 kV, 0.1 mm Cu
inline double Backscatter(double side) {
  constexpr std::array<double, 7> s{50, 75, 100, 125, 150, 200, 250}, v{1.278, 1.347, 1.394, 1.428, 1.453, 1.483, 1.500};
  if (side <= s[0]) return v[0];
  for (std::size_t i = 1; i < s.size(); ++i) {
    if (side <= s[i]) return v[i - 1] + (v[i] - v[i - 1]) * (side - s[i - 1]) / (s[i] - s[i - 1]);
  }
  return v.back();
}

// Turns about the long axis by alpha, then tilts the beam's plane by beta: R = Rz(alpha) Rx(-beta).
inline V Turn(V p, double alpha, double beta) {
  const double a = alpha * std::numbers::pi / 180, b = -beta * std::numbers::pi / 180;
  const V q{p[0], std::cos(b) * p[1] - std::sin(b) * p[2], std::sin(b) * p[1] + std::cos(b) * p[2]};
  return {std::cos(a) * q[0] - std::sin(a) * q[1], std::sin(a) * q[0] + std::cos(a) * q[1], q[2]};
}

inline double Dose(const Shot& s, const Person& who, double phi, double z) {
  const V p{who.xc + who.a * std::sin(phi), who.yc + who.b * std::cos(phi), z};
  const V n{std::sin(phi) / who.a, std::cos(phi) / who.b, 0};
  const V d = Turn({0, -1, 0}, s.alpha, s.beta), u = Turn({1, 0, 0}, s.alpha, s.beta), v = Turn({0, 0, -1}, s.alpha, s.beta);
  V source{}, q{};
  for (std::size_t i = 0; i < 3; ++i) source[i] = -s.sod * d[i] - s.shift[i], q[i] = p[i] - source[i];
  const double w = DotOf(q, d);
  if (DotOf(n, q) >= 0 || w <= 0) return 0;
  if (std::abs(s.sid * DotOf(q, u) / w) > s.width / 2 || std::abs(s.sid * DotOf(q, v) / w) > s.height / 2) return 0;
  const double r = std::sqrt(DotOf(q, q));
  double table = 1;
  if (source[1] > who.table_y && p[1] < who.table_y) {
    const double t = (who.table_y - source[1]) / q[1];
    if (std::abs(source[0] + t * q[0] - who.table_x) <= who.table_half) table = who.fs * std::pow(who.t0, r / -q[1]);
  }
  return s.kerma * (s.ref / r) * (s.ref / r) * Backscatter(std::sqrt(s.width * s.height) * w / s.sid) * table * who.medium;
}

struct Peak {
  double gray = 0, x = 0, y = 0, z = 0;
};
inline Peak PeakOf(const std::vector<Shot>& shots, const Person& who, double step) {
  Peak peak;
  const double turn = step / std::max(who.a, who.b);
  for (double phi = -std::numbers::pi; phi < std::numbers::pi; phi += turn) {
    for (double z = -300; z <= 300; z += step) {
      double sum = 0;
      for (const Shot& s : shots) sum += Dose(s, who, phi, z);
      if (sum > peak.gray) peak = {sum, who.xc + who.a * std::sin(phi), who.yc + who.b * std::cos(phi), z};
    }
  }
  return peak;
}

}  // namespace fairlead::plain
