// SPDX-License-Identifier: Apache-2.0
// A fit as it is asked: lumens and devices by printed size or by the shelf's name.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "reasoning/kit/fit.h"
#include "reasoning/kit/flow.h"
#include "reasoning/kit/shelf.h"

namespace fairlead {

struct FitQuestion {
  std::vector<std::string> lumens;   // "1.80mm", or a guide, extension or sheath of the shelf
  std::vector<std::string> items;    // "2.6F", "0.014in", or a device of the shelf; first in first
  std::optional<Length> clearance;   // instead of the rules'
  bool together = false;             // all working elements at one place
  bool as_given = false;             // this order only
  bool with_flow = true;
};

struct FitHostAnswer {
  ChainFit chain;                    // best order first
  std::optional<FlowLeft> flow;      // with the shafts of the worst pairing lying at the wall; empty if they do not pass
  std::vector<Place> resting;        // where they lie then
};

struct FitReport {
  FitRules rules;
  std::vector<FitHostAnswer> hosts;
  std::size_t narrowest = 0;         // the host that decides
  std::vector<std::string> names;    // of the items
  bool circles = false;              // sizes alone: order and sections do not matter
};

// Errors: no lumen, no item, a size or a name that is not understood, more than 24 items or more than 8 devices.
Result<FitReport> AnswerFit(const FitQuestion& question, const Shelf& shelf);

// Names of the shelf that are nearest to a mistyped one, for the error; at most three.
std::vector<std::string> NamesLike(const Shelf& shelf, std::string_view name);

}  // namespace fairlead
