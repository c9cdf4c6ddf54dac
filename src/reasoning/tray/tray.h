// SPDX-License-Identifier: Apache-2.0
// Which devices a plan needs, which of them are on the shelf, and what does not go together. Takes the strategies in
// the order of the ladder, as their letter codes.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "reasoning/kit/fit.h"
#include "reasoning/kit/reach.h"
#include "reasoning/kit/shelf.h"

namespace fairlead {

enum class Approach { kAntegrade, kRetrograde };
std::string_view WordOf(Approach side);

struct TrayQuestion {
  std::vector<std::string> strategies;      // "AW", "ADR", "RW", "RDR"
  std::vector<Stretch> antegrade;           // from the guide's tip to beyond the lesion
  std::vector<Stretch> retrograde;          // from the donor's ostium to the other guide's tip
  Stretch valve = TypicalValve();
  std::optional<Length> vessel;             // reference diameter
  std::optional<Length> radial_artery;      // inner diameter, where a guide goes in by the wrist
  std::string today;                        // "2026-11-25": what has expired does not count
};

enum class NeedState { kReady, kDoubtful, kMissing };
std::string_view WordOf(NeedState state);   // "ready", "doubtful", "missing"

// One thing that a strategy asks for.
struct TrayNeed {
  std::string id, what, why;
  Approach side = Approach::kAntegrade;
  std::vector<std::string> strategies;      // those that ask for it
  int count = 1;
  std::vector<std::size_t> candidates;      // indices of the shelf, best first; at most 5
  NeedState state = NeedState::kMissing;
  std::string remark;                       // why it is doubtful or missing
  std::optional<Spare> reach;               // of the first candidate
};

// Devices that lie side by side in one guide.
struct TrayGroup {
  std::string why;
  Approach side = Approach::kAntegrade;
  std::vector<std::string> strategies;
  std::vector<std::size_t> devices;         // first in first, after the best order was sought
  OrderedFit fit;                           // in the guide chosen
};

struct TrayGuide {
  Approach side = Approach::kAntegrade;
  std::optional<std::size_t> guide, sheath;
  FitClass fit = FitClass::kUnknown;        // of its worst group
  std::vector<TrayGroup> groups;
  std::optional<double> artery_ratio;       // artery's inner over sheath's outer diameter
  std::vector<std::string> conflicts;
};

struct TrayAnswer {
  std::vector<TrayNeed> needs;              // in the order in which the ladder asks
  std::vector<TrayGuide> guides;            // the fewest and smallest that serve every strategy
  std::vector<TrayNeed> bailout;
  std::vector<std::string> by_eye;          // what no shelf holds
  std::vector<std::string> conflicts;
};

// Errors: a strategy that is not known.
Result<TrayAnswer> ChooseTray(const TrayQuestion& question, const Shelf& shelf);

// Everything to be laid out, once each, with how many: for the pick list.
struct Pick {
  std::size_t device = 0;
  int count = 1;
  std::vector<std::string> what_for;
};
std::vector<Pick> PickList(const TrayAnswer& answer);

}  // namespace fairlead
