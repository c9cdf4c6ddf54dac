// SPDX-License-Identifier: Apache-2.0
// A route as JSON: what to lay along it, what to bring out, what to exchange, what to snare. docs/methods-kit.md has
// the members; each question may be left out.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "measure/result.h"
#include "reasoning/kit/reach.h"
#include "reasoning/kit/shelf.h"

namespace fairlead {

struct NamedLength {
  std::string name;
  Length length;
};

struct SnareQuestion {
  std::string name;
  Length snare;
  std::optional<Length> loop, vessel;
};

struct RouteQuestion {
  std::optional<DeviceRoute> route;
  std::vector<RouteDevice> devices;
  std::optional<Externalising> externalise;
  std::vector<NamedLength> wires;            // to be brought out
  std::optional<Exchanging> exchange;
  std::optional<SnareQuestion> snare;
  std::optional<Stretch> access;             // to the ostium
  std::optional<Length> tunnel, wanted_depth;// of a guide extension
  bool wire_in_aorta = false;                // beside the guide
};

// Errors name the member; a length that is missing and has no usual value is asked for, never assumed.
Result<RouteQuestion> RouteFromJson(std::string_view json, const Shelf& shelf);

std::string ReachJson(const RouteQuestion& question, const ReachRules& rules = {});

}  // namespace fairlead
