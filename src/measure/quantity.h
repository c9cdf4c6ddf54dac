// SPDX-License-Identifier: Apache-2.0
// Quantities as types: a millimetre never meets a degree, and a bare double is a ratio or a count.
// Each type keeps one unit inside and names every unit at its door.
#pragma once

#include <compare>
#include <numbers>

namespace fairlead {

// Sums, differences, scaling and order, for a type that is one double inside. The ratio of two is a plain number.
template <typename Self>
class Quantity {
 public:
  friend constexpr Self operator+(Self a, Self b) { return Of(a.held_ + b.held_); }
  friend constexpr Self operator-(Self a, Self b) { return Of(a.held_ - b.held_); }
  friend constexpr Self operator-(Self a) { return Of(-a.held_); }
  friend constexpr Self operator*(Self a, double k) { return Of(a.held_ * k); }
  friend constexpr Self operator*(double k, Self a) { return Of(a.held_ * k); }
  friend constexpr Self operator/(Self a, double k) { return Of(a.held_ / k); }
  friend constexpr double operator/(Self a, Self b) { return a.held_ / b.held_; }
  friend constexpr auto operator<=>(Self a, Self b) { return a.held_ <=> b.held_; }
  friend constexpr bool operator==(Self a, Self b) { return a.held_ == b.held_; }

 protected:
  static constexpr Self Of(double held) {
    Self made;
    made.held_ = held;
    return made;
  }
  double held_ = 0.0;
};

class Length : public Quantity<Length> {
 public:
  static constexpr Length Millimetres(double v) { return Of(v); }
  static constexpr Length Centimetres(double v) { return Of(v * 10.0); }
  static constexpr Length French(double v) { return Of(v / 3.0); }  // the French scale: three to the millimetre
  static constexpr Length Inches(double v) { return Of(v * 25.4); }
  constexpr double millimetres() const { return held_; }
  constexpr double french() const { return held_ * 3.0; }
};

class Angle : public Quantity<Angle> {
 public:
  static constexpr Angle Radians(double v) { return Of(v); }
  static constexpr Angle Degrees(double v) { return Of(v * (std::numbers::pi / 180.0)); }
  constexpr double radians() const { return held_; }
  constexpr double degrees() const { return held_ * (180.0 / std::numbers::pi); }
};

class Duration : public Quantity<Duration> {
 public:
  static constexpr Duration Seconds(double v) { return Of(v); }
  static constexpr Duration Milliseconds(double v) { return Of(v / 1000.0); }
  static constexpr Duration Minutes(double v) { return Of(v * 60.0); }
  constexpr double seconds() const { return held_; }
  constexpr double milliseconds() const { return held_ * 1000.0; }
  constexpr double minutes() const { return held_ / 60.0; }
};

}  // namespace fairlead
