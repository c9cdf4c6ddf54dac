// SPDX-License-Identifier: Apache-2.0
// Air kerma and kerma-area product as types. Absorbed dose in skin is kept in the same unit (gray) and the same type.
#pragma once

#include "measure/quantity.h"

namespace fairlead {

class Kerma : public Quantity<Kerma> {
 public:
  static constexpr Kerma Gray(double v) { return Of(v); }
  static constexpr Kerma Milligray(double v) { return Of(v / 1000.0); }
  constexpr double gray() const { return held_; }
};

class AreaProduct : public Quantity<AreaProduct> {
 public:
  static constexpr AreaProduct GraySquareMetres(double v) { return Of(v); }
  static constexpr AreaProduct GraySquareCentimetres(double v) { return Of(v * 1e-4); }
  constexpr double gray_square_metres() const { return held_; }
  constexpr double gray_square_centimetres() const { return held_ * 1e4; }
};

}  // namespace fairlead
