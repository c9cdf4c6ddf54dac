// SPDX-License-Identifier: Apache-2.0
// Which heading means which field. Only the room's own files include this header.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "reasoning/kit/device.h"
#include "reasoning/kit/size.h"

namespace fairlead {

struct Field {
  std::string_view name;                        // ours
  std::optional<Length> Device::*size = nullptr;// a size
  std::string Device::*text = nullptr;          // or a text
  SizeUnit unit = SizeUnit::kMillimetre;        // of a bare number, if the heading has none
  bool rounds = false;                          // its printed digits count for the fit
};

struct Heading {
  const Field* field = nullptr;                 // null: not understood
  std::optional<SizeUnit> unit;                 // said in the heading
};

// "Inner diameter (in)", "lumen_in", "ID [mm]", "Länge cm".
Heading ReadHeading(std::string_view heading);

}  // namespace fairlead
