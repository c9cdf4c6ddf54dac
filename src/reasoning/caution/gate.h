// SPDX-License-Identifier: Apache-2.0
// Gates: short lists that must be looked at before going on; and drills: what trouble asks for, as ticks with timers.
// Data, not code. An item is done, not done (with why), or does not apply; nothing is ever ticked by the program.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/run/run_state.h"
#include "reasoning/budget/patient.h"

namespace fairlead {

struct GateItem {
  std::string_view id;      // "consent": as typed in `tick before consent done`
  std::string_view says;    // "consent names the planned ways"
  std::string_view source;  // of drills: evidence; empty: practice
};

struct Gate {
  std::string_view id;      // "before", "time-out", "last-wire", "close", "externalise"
  std::string_view title;
  std::span<const GateItem> items;
};
std::span<const Gate> Gates();
std::span<const GateItem> ItemsOf(std::string_view gate);

struct DrillStep {
  std::string_view item;        // "balloon": typed as `tick drill perforation-balloon done`
  std::string_view says;
  std::optional<double> within_min;  // a timer from the trouble's start
};
struct Drill {
  std::string_view kind;        // of the trouble: "perforation"
  std::string_view site;        // "", or "main", "wire", "cavity", "distal", "septal", "epicardial", "graft"
  std::string_view title;
  std::string_view reverse;     // what is said of reversing heparin
  std::string_view kit;         // items of the gate *before* and nicknames of the shelf, separated by blanks
  std::span<const DrillStep> steps;
  std::string_view evidence;
};
std::span<const Drill> Drills();
// The drill of a trouble: that of its site if there is one, else the general one. Null if there is none. Of a perforation its
// class "cavity" has one of its own, and a hole of the main vessel by a wire, unless it is class III.
const Drill* DrillOf(std::string_view kind, std::string_view site, std::string_view grade = {}, std::string_view cause = {});

// An item as it stands, with what the program can say of it from facts and entries.
struct ItemState {
  const GateItem* item = nullptr;
  std::string state;            // "open", "done", "not", "na"
  std::string why;
  std::optional<Instant> at;
  std::string known;            // "haemoglobin 13.2 g/dL, 3 days old"; empty if nothing is known
};
std::vector<ItemState> StateOfGate(const RunState& run, const RunPatient& patient, const Gate& gate, Instant now);

}  // namespace fairlead
