// SPDX-License-Identifier: Apache-2.0
// The views of a segment: maps, the best few with what each costs, the partner of a view, the view of the collateral, the
// view along the vessel, and the nearest view that leaves a burdened place of the skin.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "reasoning/views/view_cost.h"
#include "reasoning/views/view_map.h"

namespace fairlead {

struct ViewQuestion {
  VesselTree tree;
  ViewGrid grid;
  GantryReach gantry;
  Body body = DefaultBody();
  std::optional<SkinSoFar> skin;
  ViewWeights weights;
  std::optional<GantryAngles> held;  // the view that is in use now
};

// One view in figures.
struct WorkingView {
  GantryAngles angles;
  double foreshortening = 0.0;       // by the rays through the segment's pieces
  double along_beam = 0.0;           // by the central beam, as the map has it
  double overlap = 0.0;              // by definition, not painted
  double rate = 1.0;                 // entrance dose rate against a frontal view
  double skin_gray = 0.0;            // highest so far in its field
  bool tube_at_operator = false;
  Reach reach = Reach::kFree;
  CostParts cost;
  std::string why;                   // what is to be looked at: "steep: check the reach with this patient"
};
WorkingView LookAt(const ViewQuestion& question, const TreeBalls& balls, const GantryAngles& angles);

struct ViewMaps {
  std::vector<float> foreshortening, overlap, rate, skin_gray, cost;  // by cell; skin_gray empty without a skin map
  std::vector<Reach> reach;
};

struct ViewAdvice {
  TreeBalls balls;
  ViewMaps maps;
  std::vector<WorkingView> best;            // cheapest first, at least 20 degrees apart
  std::optional<WorkingView> second;        // shows most that the best does not
  std::optional<GantryAngles> ideal_second; // at right angles to it about the vessel; may be beyond reach
  double second_about = 0.0;                // degrees between the two, seen along the vessel
  double second_between = 0.0;              // degrees between the two beams
  std::optional<WorkingView> collateral;
  double collateral_foreshortening = 0.0, collateral_overlap = 0.0;  // of the collateral in that view
  GantryAngles axis;                        // straight along the segment
  WorkingView barrel;                       // the reachable view nearest to it
  std::optional<WorkingView> away;          // 35 degrees or more from the most burdened beam, its whole field below half of the peak
  std::optional<WorkingView> held;
  std::vector<std::string> notes;
};
ViewAdvice Advise(const ViewQuestion& question, int threads = 2);

// The smallest turn of a view that keeps foreshortening under the limit and whose field leaves the skin that has at least
// `spared` Gy. Nothing if no reachable view does.
struct Spared {
  WorkingView from, to;
  double turn = 0.0;                 // degrees between the two beams
  double moved = 0.0;                // mm between the places where the central beams enter
  double lost = 0.0;                 // foreshortening given up, 0 to 1
};
std::optional<Spared> SpareSkin(const ViewQuestion& question, const TreeBalls& balls, const ViewMaps& maps, const GantryAngles& view, double spared);

}  // namespace fairlead
