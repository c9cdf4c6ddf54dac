// SPDX-License-Identifier: Apache-2.0
// Which space of the vessel a wire lies in, as odds, and what two signs on ultrasound say of the second wire.
// The near wire comes from the occluded vessel's own ostium (antegrade), the far wire through a collateral (retrograde).
#pragma once

#include <string>
#include <string_view>

#include "measure/result.h"

namespace fairlead {

enum class Space { kTrueLumen, kInPlaque, kOutsidePlaque };
enum class Side { kInside, kOutside, kUnknown };  // of the plaque's media; true lumen and plaque are both inside

// Chances of each space; what is missing to 1 is "cannot tell".
struct SpaceOdds {
  double lumen = 0.0, plaque = 0.0, outside = 0.0;
  bool by_reader = false;  // a person's mark: it always wins over what was measured
};

constexpr double kSureEnough = 0.8;  // practice: below it a space is printed "unknown" and nothing is derived from it

Side SideOf(const SpaceOdds& odds);
// "in the true lumen", "in plaque", "inside, true lumen or plaque", "outside plaque", "unknown".
std::string_view SpaceText(const SpaceOdds& odds);

// Errors: a chance outside 0 to 1, or more than 1 together.
Status CheckOdds(const SpaceOdds& odds);

// "lumen", "plaque", "outside", "unknown", one with a chance ("plaque=0.9"), or several ("lumen=0.3,plaque=0.6").
Result<SpaceOdds> ParseSpace(std::string_view text);

// The measured odds unless a person has marked the space.
SpaceOdds WithReader(const SpaceOdds& measured, const SpaceOdds& mark);

enum class Sign { kYes, kNo, kUnknown };
Result<Sign> ParseSign(std::string_view text);  // "yes", "no", "unknown"

// Where the far wire is, from the catheter on the near wire: does no media line lie between catheter and wire in three
// or more frames over 2 mm or more (`same_side`), and does the wire's dot lie inside the plaque's media ring?
struct FarWire {
  Side side = Side::kUnknown;
  bool contradiction = false;  // the three answers cannot all be true: image again
};
FarWire FarWireFrom(Side catheter, Sign same_side, Sign inside_ring);

}  // namespace fairlead
