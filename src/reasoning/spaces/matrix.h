// SPDX-License-Identifier: Apache-2.0
// Two wires from both ends that will not meet: which case it is, what it means, what the trade lists for it in order,
// which balloon sizes the rule allows, and what to look at before and after. It works from five typed values.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "measure/quantity.h"
#include "measure/reading.h"
#include "measure/result.h"
#include "measure/source.h"
#include "reasoning/spaces/balloon.h"
#include "reasoning/spaces/space.h"

namespace fairlead {

struct JoiningQuestion {
  SpaceOdds near_wire, far_wire;
  bool signs_disagree = false;              // FarWire::contradiction
  std::optional<VesselSize> vessel;         // none: no size is derived
  std::optional<Length> overlap;            // along which both wires are seen in one cross-section; 0 = nowhere
  std::optional<Reading<Length>> tissue;    // between the imaged channel and the other wire, where thinnest
  std::optional<Length> thin_part;          // length along which the tissue is about that thin
  int balloon_cycles = 0;                   // at this place, without entry
  int places = 1;                           // tried so far, this one included
  std::optional<Duration> minutes;          // spent on joining so far
};

struct JoiningAnswer {
  WireCase which = WireCase::kUnknown;
  std::string near_space, far_space;        // SpaceText
  std::string title;                        // "near wire in plaque, far wire outside"
  std::string meaning;
  std::vector<std::string> manoeuvres;      // in the trade's order
  std::string avoid;
  BalloonSizes balloon;
  std::vector<std::string> cautions;        // that hold for this question
  std::vector<std::string> look_first;      // before the case is believed
  std::vector<std::string> before_out;      // before a wire is brought out of the other guide
  std::vector<SourceId> sources;
};

std::string_view CaseTitle(WireCase which);

// Errors: CheckOdds, CheckVessel; an overlap, thickness or minutes below 0, counts outside 0 to 100.
Result<JoiningAnswer> HowToJoin(const JoiningQuestion& question);

}  // namespace fairlead
