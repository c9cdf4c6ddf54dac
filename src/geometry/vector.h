// SPDX-License-Identifier: Apache-2.0
// Points and directions in the patient's axes. The frame, once for the whole program: origin at the isocentre, +x to
// the patient's left, +y posterior, +z to the head (the DICOM axes LPS), millimetres. Directions are unit vectors.
#pragma once

#include <cmath>

namespace fairlead {

struct Vec3 {
  double x = 0.0, y = 0.0, z = 0.0;

  friend constexpr Vec3 operator+(Vec3 a, Vec3 b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
  friend constexpr Vec3 operator-(Vec3 a, Vec3 b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
  friend constexpr Vec3 operator-(Vec3 a) { return {-a.x, -a.y, -a.z}; }
  friend constexpr Vec3 operator*(double k, Vec3 a) { return {k * a.x, k * a.y, k * a.z}; }
  friend constexpr Vec3 operator*(Vec3 a, double k) { return k * a; }
  friend constexpr Vec3 operator/(Vec3 a, double k) { return {a.x / k, a.y / k, a.z / k}; }
  friend constexpr bool operator==(const Vec3&, const Vec3&) = default;
};

constexpr double Dot(Vec3 a, Vec3 b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
constexpr Vec3 Cross(Vec3 a, Vec3 b) { return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x}; }
inline double Norm(Vec3 a) { return std::sqrt(Dot(a, a)); }

// The zero vector stays zero.
inline Vec3 Unit(Vec3 a) {
  const double n = Norm(a);
  return n > 0.0 ? a / n : a;
}

// A place in a picture: column to the right, row downwards, 0-based, pixel centres at integers; may lie outside it.
struct ImagePoint {
  double column = 0.0, row = 0.0;
};

inline double Distance(ImagePoint a, ImagePoint b) {
  const double c = a.column - b.column, r = a.row - b.row;
  return std::sqrt(c * c + r * r);
}

}  // namespace fairlead
