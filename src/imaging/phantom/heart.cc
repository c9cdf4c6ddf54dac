// SPDX-License-Identifier: Apache-2.0
#include "imaging/phantom/heart.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "geometry/trigonometry.h"

namespace fairlead {
namespace {

constexpr double kNodeSpacing = 0.7;  // mm; chosen: a third of the thinnest artery
constexpr int kPiecesBetween = 24;    // of the smooth curve between two places

Vec3 Axis1() {
  const Vec3 forward{0, -1, 0}, a = LongAxis();
  return Unit(forward - Dot(forward, a) * a);
}

// `contraction` shortens the base ring by 15 %, pulls the base 10 mm towards the apex and twists by up to 8 degrees.
Vec3 Wall(const Heart& heart, const WallPlace& place, double contraction) {
  const Vec3 a = LongAxis(), e1 = Axis1(), e2 = Cross(e1, a);
  const double twist = 8.0 * contraction * place.latitude / 90.0;
  const auto [sine, cosine] = SineCosineOf(Angle::Degrees(place.latitude));
  const auto [sl, cl] = SineCosineOf(Angle::Degrees(place.longitude + heart.turn + twist));
  const double out = heart.half_width * (1.0 - 0.15 * contraction) * cosine * place.reach + place.lift;
  const double along = heart.half_length * sine + 10.0 * contraction * (1.0 - sine);
  return heart.centre + out * (cl * e1 + sl * e2) + along * a;
}

double Smooth(double p0, double p1, double p2, double p3, double t) {
  return p1 + 0.5 * t * ((p2 - p0) + t * ((2 * p0 - 5 * p1 + 4 * p2 - p3) + t * (3 * (p1 - p2) + p3 - p0)));
}

WallPlace Between(const std::vector<WallPlace>& places, std::size_t i, double t) {
  const WallPlace& b = places[i];
  const WallPlace& c = places[i + 1];
  const WallPlace& a = places[i > 0 ? i - 1 : 0];
  const WallPlace& d = places[std::min(i + 2, places.size() - 1)];
  return {Smooth(a.latitude, b.latitude, c.latitude, d.latitude, t),
          Smooth(a.longitude, b.longitude, c.longitude, d.longitude, t), Smooth(a.reach, b.reach, c.reach, d.reach, t),
          Smooth(a.lift, b.lift, c.lift, d.lift, t)};
}

}  // namespace

Vec3 LongAxis() { return {0.6, -0.48, -0.64}; }

Node OnHeart(const Heart& heart, const WallPlace& place) {
  const Vec3 rest = Wall(heart, place, 0.0);
  return {rest, Wall(heart, place, 1.0) - rest, 1.0, 0.0};
}

std::vector<Node> Course(const Heart& heart, const std::vector<WallPlace>& places, double radius, double radius_end) {
  std::vector<Node> dense;
  for (std::size_t i = 0; i + 1 < places.size(); ++i) {
    for (int k = 0; k < kPiecesBetween; ++k) dense.push_back(OnHeart(heart, Between(places, i, k / double{kPiecesBetween})));
  }
  dense.push_back(OnHeart(heart, places.back()));
  std::vector<double> at(dense.size(), 0.0);
  for (std::size_t i = 1; i < dense.size(); ++i) at[i] = at[i - 1] + Norm(dense[i].at - dense[i - 1].at);
  const int pieces = std::max(2, static_cast<int>(std::ceil(at.back() / kNodeSpacing)));
  std::vector<Node> even;
  std::size_t i = 0;
  for (int k = 0; k <= pieces; ++k) {
    const double share = k / static_cast<double>(pieces), want = share * at.back();
    while (i + 2 < dense.size() && at[i + 1] < want) ++i;
    const double t = std::clamp((want - at[i]) / std::max(1e-9, at[i + 1] - at[i]), 0.0, 1.0);
    even.push_back({dense[i].at + t * (dense[i + 1].at - dense[i].at), dense[i].swing + t * (dense[i + 1].swing - dense[i].swing),
                    1.0, radius + share * (radius_end - radius)});
  }
  return even;
}

void Wind(std::vector<Node>& nodes, double amplitude, double wavelength, double phase) {
  if (nodes.size() < 3) return;
  const Vec3 along = Unit(nodes.back().at - nodes.front().at);
  const Vec3 side = Unit(Cross(along, LongAxis() + Vec3{0.013, 0.007, 0.003})), other = Cross(along, side);
  std::vector<Node> wound = nodes;
  double at = 0.0;
  for (std::size_t i = 1; i + 1 < nodes.size(); ++i) {
    at += Norm(nodes[i].at - nodes[i - 1].at);
    const double share = static_cast<double>(i) / static_cast<double>(nodes.size() - 1);
    const double swell = amplitude * std::min(1.0, 5.0 * std::min(share, 1.0 - share));
    const double turns = 360.0 * at / wavelength;
    const double s = SineCosineOf(Angle::Degrees(turns + phase)).sine, c = SineCosineOf(Angle::Degrees(0.73 * turns + phase)).cosine;
    wound[i].at = nodes[i].at + swell * (s * side + 0.7 * c * other);
  }
  nodes = wound;
}

std::size_t NodeAtShare(const std::vector<Node>& nodes, double share) {
  const double place = share * static_cast<double>(nodes.size() - 1);
  return std::min(nodes.size() - 1, static_cast<std::size_t>(std::max(0.0, std::floor(place + 0.5))));
}

std::size_t NodeAfter(const std::vector<Node>& nodes, std::size_t start, double mm) {
  double at = 0.0;
  std::size_t i = start;
  while (i + 1 < nodes.size() && at < mm) {
    at += Norm(nodes[i + 1].at - nodes[i].at);
    ++i;
  }
  return i;
}

}  // namespace fairlead
