// SPDX-License-Identifier: Apache-2.0
// What a console's totals say of each view, where nobody has a report: the totals and the views that were typed into the
// log of the run, in the order of time.
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "casebook/irradiation.h"
#include "casebook/run/run_state.h"

namespace fairlead {

struct ConsoleShare {
  std::optional<GantryAngles> angles;  // none: typed before any view, or no view was typed
  double kerma_gy = 0.0;
  bool by_time = false;                // several views stood between two totals: shared by minutes and rate
};

// How a rise over several views is shared.
struct ConsoleSharing {
  std::function<double(const GantryAngles&)> rate;  // of a view against a frontal one; none: all alike
  std::optional<GantryAngles> all_to;               // the whole of such a rise, where this view stood in it: an extreme
};

// What the totals rose by, view by view in the order of first use; together the last total. A rise between two totals
// belongs to the view that stood, and is shared by time and rate where the view changed in between; up to the first total time
// counts from access, or from the first view typed. A total that fell takes nothing back from a view: the shares are
// scaled to the last total.
std::vector<ConsoleShare> ConsoleByView(const RunState& run, const ConsoleSharing& sharing = {});

// The shares as events that give `kerma_gy` together, named "console, LAO 45/CRA 25".
std::vector<IrradiationEvent> EventsOfConsole(const std::vector<ConsoleShare>& shares, double kerma_gy);

}  // namespace fairlead
