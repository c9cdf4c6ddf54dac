// SPDX-License-Identifier: Apache-2.0
// A view of a C-arm: how points of the patient reach the picture, and which ray of the patient a pixel sees.
//
// The angles say where the detector is: primary +LAO -RAO, secondary +CRA -CAU, the tilt taken in the plane of the long
// axis and the beam (DICOM PS3.3 C.8.7.5 and C.8.19). The picture is seen from the detector's side, head up, so the
// axes (column, row, beam) are left-handed: their determinant is -1. Routines that demand a rotation must not get them.
#pragma once

#include <array>
#include <optional>

#include "geometry/vector.h"
#include "measure/quantity.h"
#include "measure/result.h"

namespace fairlead {

struct View {
  Angle primary;                   // +LAO, -RAO
  Angle secondary;                 // +CRA, -CAU
  Length source_to_detector;       // SID
  Length source_to_isocentre;      // SOD
  Length row_spacing;              // of the detector, between rows
  Length column_spacing;           // of the detector, between columns
  int rows = 0, columns = 0;       // the isocentre projects to the middle of the picture
  Vec3 patient_shift;              // where the patient lies against the reference run (table motion)
};

// Unit vectors in the patient's axes.
struct BeamAxes {
  Vec3 beam;    // isocentre towards the detector
  Vec3 column;  // the direction in which image columns increase
  Vec3 row;     // the direction in which image rows increase, downwards
};

struct Ray {
  Vec3 from;       // the X-ray source, in the patient's axes
  Vec3 direction;  // unit, towards the detector
};

// Refuses a view outside what a C-arm can be (distances, spacing, matrix, angles), naming the quantity.
Status CheckView(const View& view);

BeamAxes AxesOf(const View& view);
Vec3 SourceOf(const View& view);

// Distance from the source along the central beam. A point nearer than 50 mm to the source has no picture.
Length DepthOf(const View& view, Vec3 point);
inline constexpr Length kNearestDepth = Length::Millimetres(50.0);  // practice, no source

// The picture of a point; empty when it is nearer than kNearestDepth.
std::optional<ImagePoint> Project(const View& view, Vec3 point);
Ray RayOf(const View& view, ImagePoint at);

// The 3x4 matrix, row by row: (column*w, row*w, w) of the point (x, y, z, 1) in mm.
std::array<double, 12> ProjectionMatrix(const View& view);

// Millimetres in the patient that one column pixel spans, at a depth and at the isocentre.
Length PixelSizeAt(const View& view, Length depth);
Length PixelSizeAtIsocentre(const View& view);

// Angle between the central beams of two views, 0 to 180 degrees.
Angle AngleBetweenBeams(const View& a, const View& b);

// --- Many points of one view: the axes are worked out once.
class Projector {
 public:
  explicit Projector(const View& view);
  struct Hit {
    ImagePoint at;
    double depth = 0.0;          // mm
    double pixels_per_mm = 0.0;  // across the beam, at that depth
  };
  // No check of the depth: the caller keeps points away from the source.
  Hit operator()(Vec3 point) const;
  const BeamAxes& axes() const { return axes_; }
  Vec3 source() const { return source_; }

 private:
  BeamAxes axes_;
  Vec3 source_, shift_;
  double sod_, sid_, column_spacing_, row_spacing_, column0_, row0_;
};

}  // namespace fairlead
