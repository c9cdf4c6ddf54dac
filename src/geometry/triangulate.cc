// SPDX-License-Identifier: Apache-2.0
#include "geometry/triangulate.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <string>
#include <vector>

namespace fairlead {
namespace {

struct Beam {
  Ray ray;
  double weight = 1.0;
};

// Normal equations of the point nearest to all rays, by Cramer's rule: the matrix is 3x3, symmetric and, with rays 15
// degrees apart, well conditioned.
Vec3 NearestTo(const std::vector<Beam>& beams) {
  double xx = 0, xy = 0, xz = 0, yy = 0, yz = 0, zz = 0;
  Vec3 right;
  for (const auto& [ray, w] : beams) {
    const Vec3 u = ray.direction, o = ray.from;
    xx += w * (1 - u.x * u.x), yy += w * (1 - u.y * u.y), zz += w * (1 - u.z * u.z);
    xy -= w * u.x * u.y, xz -= w * u.x * u.z, yz -= w * u.y * u.z;
    right = right + w * (o - Dot(o, u) * u);
  }
  const Vec3 a{xx, xy, xz}, b{xy, yy, yz}, c{xz, yz, zz};
  const double det = Dot(a, Cross(b, c));
  return Vec3{Dot(right, Cross(b, c)), Dot(right, Cross(c, a)), Dot(right, Cross(a, b))} / det;
}

double AcuteBetween(Vec3 u, Vec3 v) { return std::atan2(Norm(Cross(u, v)), std::abs(Dot(u, v))); }

// Relative to the last point, so that the rounding of sources 750 mm away does not enter twice.
Vec3 Refine(const std::vector<Beam>& beams, Vec3 around) {
  std::vector<Beam> moved = beams;
  for (auto& beam : moved) {
    const Vec3 o = beam.ray.from - around;
    beam.ray.from = o - Dot(o, beam.ray.direction) * beam.ray.direction;
  }
  return around + NearestTo(moved);
}

}  // namespace

Result<Triangulated> Triangulate(std::span<const SeenAt> pictures) {
  if (pictures.size() < 2) return Error{"a point in 3D needs its place in at least two views", "", "mark it in a second view"};
  std::vector<Beam> beams;
  for (std::size_t i = 0; i < pictures.size(); ++i) {
    if (const Status good = CheckView(pictures[i].view); !good) return Within("view " + std::to_string(i + 1), good.error());
    if (!std::isfinite(pictures[i].at.column + pictures[i].at.row)) {
      return Error{"a point in the picture is not a number", "view " + std::to_string(i + 1), "mark the point again"};
    }
    beams.push_back({RayOf(pictures[i].view, pictures[i].at), 1.0});
  }
  Triangulated found;
  for (std::size_t i = 0; i < beams.size(); ++i) {
    for (std::size_t j = i + 1; j < beams.size(); ++j) {
      const Vec3 u = beams[i].ray.direction, v = beams[j].ray.direction, n = Cross(u, v);
      found.between = std::max(found.between, Angle::Radians(AcuteBetween(u, v)));
      if (Norm(n) < 1e-9) continue;
      const double gap = std::abs(Dot(n, beams[j].ray.from - beams[i].ray.from)) / Norm(n);
      found.gap = std::max(found.gap, Length::Millimetres(gap));
    }
  }
  if (found.between < kRefuseBelow) {
    return Error{"the views are less than 15 degrees apart, so depth cannot be told", "",
                 "use a second view at least 30 degrees from the first"};
  }
  found.narrow = found.between < kWarnBelow;
  found.point = Refine(beams, NearestTo(beams));
  for (std::size_t i = 0; i < beams.size(); ++i) {
    const double pixel = PixelSizeAt(pictures[i].view, DepthOf(pictures[i].view, found.point)).millimetres();
    beams[i].weight = 1.0 / std::max(pixel * pixel, 1e-6);
  }
  found.point = Refine(beams, found.point);
  return found;
}

double DistanceTo(const ImageLine& line, ImagePoint at) { return std::abs(line.a * at.column + line.b * at.row + line.c); }

Result<ImageLine> EpipolarLine(const View& view, ImagePoint at, const View& other) {
  for (const View* each : {&view, &other}) {
    if (const Status good = CheckView(*each); !good) return good.error();
  }
  const Ray ray = RayOf(view, at);
  const double sod = view.source_to_isocentre.millimetres();
  // Two points of the ray, 100 mm to either side of the isocentre: where a heart is.
  const auto near = Project(other, ray.from + (sod - 100.0) * ray.direction);
  const auto far = Project(other, ray.from + (sod + 100.0) * ray.direction);
  if (!near || !far || Distance(*near, *far) < 1.0) {
    return Error{"the second view looks along the first view's ray, so there is no line to search on", "",
                 "use a second view at least 30 degrees from the first"};
  }
  const double d = Distance(*near, *far);
  double a = (far->row - near->row) / d, b = (near->column - far->column) / d;
  if (b < 0.0 || (b == 0.0 && a < 0.0)) a = -a, b = -b;
  return ImageLine{a, b, -(a * near->column + b * near->row)};
}

TriangulationSpread SpreadOf(Angle between) {
  const double s = std::sin(between.radians()), c = std::abs(std::cos(between.radians()));
  return {1.0 / std::sqrt(1.0 - c), 1.0 / std::sqrt(1.0 + c), std::sqrt(0.5 + 2.0 / (s * s))};
}

}  // namespace fairlead
