// SPDX-License-Identifier: Apache-2.0
#include "geometry/view.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "geometry/trigonometry.h"

namespace fairlead {
namespace {

bool Outside(double value, double low, double high) { return !(value >= low && value <= high); }  // NaN is outside

Error Bad(std::string what, std::string where) {
  return {std::move(what), std::move(where), "check the run's geometry, or measure with a catheter as the scale"};
}

}  // namespace

Status CheckView(const View& view) {
  const double sid = view.source_to_detector.millimetres(), sod = view.source_to_isocentre.millimetres();
  // What a C-arm can be: practice, no source.
  if (Outside(sid, 800.0, 1400.0)) return Bad("the distance from source to detector is not between 800 and 1400 mm", "view");
  if (Outside(sod, 550.0, 900.0)) return Bad("the distance from source to isocentre is not between 550 and 900 mm", "view");
  if (Outside(sid / sod, 1.1, 1.9)) return Bad("the magnification at the isocentre is not between 1.1 and 1.9", "view");
  for (const Length spacing : {view.row_spacing, view.column_spacing}) {
    if (Outside(spacing.millimetres(), 0.08, 0.80)) return Bad("the detector's pixel is not between 0.08 and 0.80 mm", "view");
  }
  if (view.rows < 1 || view.columns < 1 || view.rows > 8192 || view.columns > 8192) {
    return Bad("the picture has no usable number of rows and columns", "view");
  }
  if (Outside(view.primary.degrees(), -180.0, 180.0)) return Bad("the primary angle is not between -180 and 180 degrees", "view");
  if (Outside(view.secondary.degrees(), -90.0, 90.0)) return Bad("the secondary angle is not between -90 and 90 degrees", "view");
  const Vec3 t = view.patient_shift;
  if (!std::isfinite(t.x + t.y + t.z)) return Bad("the patient's shift is not a number", "view");
  return Done{};
}

BeamAxes AxesOf(const View& view) {
  const auto [sa, ca] = SineCosineOf(view.primary);
  const auto [sb, cb] = SineCosineOf(view.secondary);
  return {{sa * cb, -ca * cb, sb}, {ca, sa, 0.0}, {sa * sb, -ca * sb, -cb}};
}

Vec3 SourceOf(const View& view) {
  return -view.source_to_isocentre.millimetres() * AxesOf(view).beam - view.patient_shift;
}

Length DepthOf(const View& view, Vec3 point) {
  return Length::Millimetres(Dot(point + view.patient_shift, AxesOf(view).beam)) + view.source_to_isocentre;
}

std::optional<ImagePoint> Project(const View& view, Vec3 point) {
  const Projector::Hit hit = Projector(view)(point);
  if (hit.depth < kNearestDepth.millimetres()) return std::nullopt;
  return hit.at;
}

Ray RayOf(const View& view, ImagePoint at) {
  const BeamAxes axes = AxesOf(view);
  const double x = (at.column - (view.columns - 1) / 2.0) * view.column_spacing.millimetres();
  const double y = (at.row - (view.rows - 1) / 2.0) * view.row_spacing.millimetres();
  const Vec3 onto = view.source_to_detector.millimetres() * axes.beam + x * axes.column + y * axes.row;
  return {SourceOf(view), Unit(onto)};
}

std::array<double, 12> ProjectionMatrix(const View& view) {
  const BeamAxes axes = AxesOf(view);
  const double sid = view.source_to_detector.millimetres();
  const double fc = sid / view.column_spacing.millimetres(), fr = sid / view.row_spacing.millimetres();
  const double c0 = (view.columns - 1) / 2.0, r0 = (view.rows - 1) / 2.0;
  const Vec3 c = fc * axes.column + c0 * axes.beam, r = fr * axes.row + r0 * axes.beam, w = axes.beam;
  const double sod = view.source_to_isocentre.millimetres();
  const Vec3 t = view.patient_shift;
  return {c.x, c.y, c.z, Dot(c, t) + c0 * sod, r.x, r.y, r.z, Dot(r, t) + r0 * sod, w.x, w.y, w.z, Dot(w, t) + sod};
}

Length PixelSizeAt(const View& view, Length depth) { return view.column_spacing * (depth / view.source_to_detector); }

Length PixelSizeAtIsocentre(const View& view) { return PixelSizeAt(view, view.source_to_isocentre); }

Angle AngleBetweenBeams(const View& a, const View& b) {
  const Vec3 u = AxesOf(a).beam, v = AxesOf(b).beam;
  return Angle::Radians(std::atan2(Norm(Cross(u, v)), Dot(u, v)));
}

Projector::Projector(const View& view)
    : axes_(AxesOf(view)),
      source_(SourceOf(view)),
      shift_(view.patient_shift),
      sod_(view.source_to_isocentre.millimetres()),
      sid_(view.source_to_detector.millimetres()),
      column_spacing_(view.column_spacing.millimetres()),
      row_spacing_(view.row_spacing.millimetres()),
      column0_((view.columns - 1) / 2.0),
      row0_((view.rows - 1) / 2.0) {}

Projector::Hit Projector::operator()(Vec3 point) const {
  const Vec3 q = point + shift_;
  const double depth = Dot(q, axes_.beam) + sod_;
  const double scale = sid_ / depth;
  return {{column0_ + scale * Dot(q, axes_.column) / column_spacing_, row0_ + scale * Dot(q, axes_.row) / row_spacing_},
          depth,
          scale / column_spacing_};
}

}  // namespace fairlead
