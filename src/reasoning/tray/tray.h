// SPDX-License-Identifier: Apache-2.0
// Which devices a plan needs, which of them are on the shelf, and what does not go together. Takes the strategies in
// the order of the ladder, as their letter codes.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "reasoning/kit/fit.h"
#include "reasoning/kit/flow.h"
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

struct TrayPiece {
  std::size_t device = 0;   // index of the shelf
  int count = 1;
};

// One thing that a strategy asks for.
struct TrayNeed {
  std::string id, what, why;
  Approach side = Approach::kAntegrade;
  std::vector<std::string> strategies;      // those that ask for it
  int count = 1, kinds = 1;                 // pieces of each of so many different devices
  std::string unlike;                       // id of the need whose device will not do here
  std::vector<std::size_t> candidates;      // indices of the shelf, best first; at most 5
  std::vector<TrayPiece> pieces;            // what is laid out for it, each piece once on the whole tray
  NeedState state = NeedState::kMissing;
  std::string remark;                       // why it is doubtful or missing
  std::vector<std::optional<Spare>> reaches;// of the candidates, where a route is known
  std::optional<Spare> reach;               // of the one that is laid out, else of the first candidate
};

// Devices that lie side by side in one guide.
struct TrayGroup {
  std::string why;
  Approach side = Approach::kAntegrade;
  std::vector<std::string> strategies;
  std::vector<std::string> needs;           // ids of those that meet here
  std::vector<std::size_t> devices;         // first in first, after the best order was sought
  OrderedFit fit;                           // in the guide chosen
  std::optional<FlowLeft> flow;             // beside them at rest; filled by AddFlow
  std::vector<Place> resting;
};

struct TrayGuide {
  Approach side = Approach::kAntegrade;
  std::optional<std::size_t> guide, sheath;
  FitClass fit = FitClass::kUnknown;        // of its worst group
  std::vector<TrayGroup> groups;
  std::optional<double> artery_ratio;       // artery's inner over sheath's outer diameter
  std::vector<std::string> conflicts;
};

// The retrograde wire brought out of the antegrade guide, with the pieces chosen.
struct TrayExternal {
  std::vector<ExternalNeed> needs;
  std::optional<ExternalWire> wire;
  std::string microcatheter, guide;
};

struct TrayAnswer {
  std::vector<TrayNeed> needs;              // in the order in which the ladder asks
  std::vector<TrayGuide> guides;            // the fewest and smallest that serve every strategy
  std::vector<TrayNeed> bailout;
  std::vector<std::string> by_eye;          // what no shelf holds
  std::optional<TrayExternal> external;     // of retrograde strategies
  std::vector<std::string> conflicts;
};

// Errors: a strategy that is not known.
Result<TrayAnswer> ChooseTray(const TrayQuestion& question, const Shelf& shelf);

// Solves the flow beside each group that passes; some 10 ms a group, so only for an answer that is shown.
void AddFlow(TrayAnswer& answer, const Shelf& shelf);

// Everything to be laid out, once each, with how many: for the pick list.
struct Pick {
  std::size_t device = 0;
  int count = 1;
  std::vector<std::string> what_for;
};
std::vector<Pick> PickList(const TrayAnswer& answer);

}  // namespace fairlead
