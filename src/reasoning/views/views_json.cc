// SPDX-License-Identifier: Apache-2.0
#include "reasoning/views/views_json.h"

#include <cmath>
#include <nlohmann/json.hpp>

namespace fairlead {
namespace {

using Json = nlohmann::json;

double Rounded(double value, double scale) { return std::round(value * scale) / scale + 0.0; }

Json AnglesJson(const GantryAngles& angles) {
  return {{"view", GantryText(angles)}, {"primary_deg", Rounded(angles.primary.degrees(), 1e4)}, {"secondary_deg", Rounded(angles.secondary.degrees(), 1e4)}};
}

Json ViewJson(const WorkingView& view, bool skin) {
  Json json = AnglesJson(view.angles);
  json["foreshortening_pct"] = Rounded(100.0 * view.foreshortening, 1e6);
  json["foreshortening_beam_pct"] = Rounded(100.0 * view.along_beam, 1e6);
  json["overlap_pct"] = Rounded(100.0 * view.overlap, 1e4);
  json["dose_rate"] = Rounded(view.rate, 1e4);
  json["skin_gy"] = skin ? Json(Rounded(view.skin_gray, 1e4)) : Json();
  json["tube_at_operator"] = view.tube_at_operator;
  json["reach"] = ReachName(view.reach);
  if (!view.why.empty()) json["why"] = view.why;
  const CostParts& c = view.cost;
  json["cost"] = {{"sum", Rounded(c.sum(), 1e4)}, {"foreshortening", Rounded(c.foreshortening, 1e4)}, {"overlap", Rounded(c.overlap, 1e4)},
                  {"dose_rate", Rounded(c.rate, 1e4)}, {"skin", Rounded(c.skin, 1e4)}, {"operator", Rounded(c.operator_side, 1e4)}};
  return json;
}

// The cells that are written, row by row.
std::vector<std::size_t> CellsOf(const ViewGrid& grid, int every) {
  std::vector<std::size_t> cells;
  for (int row = 0; row < grid.rows; row += every) {
    for (int column = 0; column < grid.columns; column += every) cells.push_back(static_cast<std::size_t>(row) * static_cast<std::size_t>(grid.columns) + static_cast<std::size_t>(column));
  }
  return cells;
}

Json Values(const std::vector<float>& map, const std::vector<std::size_t>& cells, double times, double scale) {
  Json values = Json::array();
  for (const std::size_t cell : cells) values.push_back(Rounded(times * static_cast<double>(map[cell]), scale));
  return values;
}

Json AxisJson(double from, double step, int count, int every) {
  const int written = (count + every - 1) / every;
  return {{"from", from}, {"to", from + step * every * (written - 1)}, {"step", step * every}, {"count", written}};
}

Json MapJson(const ViewGrid& grid, const ViewMaps& maps, int every) {
  Json json;
  const auto cells = CellsOf(grid, every);
  json["primary_deg"] = AxisJson(grid.primary0, grid.step, grid.columns, every);
  json["secondary_deg"] = AxisJson(grid.secondary0, grid.step, grid.rows, every);
  json["foreshortening_pct"] = Values(maps.foreshortening, cells, 100.0, 10.0);
  json["overlap_pct"] = Values(maps.overlap, cells, 100.0, 10.0);
  json["dose_rate"] = Values(maps.rate, cells, 1.0, 100.0);
  if (!maps.skin_gray.empty()) json["skin_gy"] = Values(maps.skin_gray, cells, 1.0, 100.0);
  std::string reach;
  for (const std::size_t cell : cells) reach += ReachName(maps.reach[cell]).front();
  json["reach"] = std::move(reach);
  return json;
}

}  // namespace

std::string AdviceJson(const ViewQuestion& question, const ViewAdvice& advice, const std::optional<Spared>& spared, int every) {
  const bool skin = question.skin.has_value();
  Json json;
  json["target"] = {{"name", question.tree.target_name}, {"length_mm", Rounded(LengthOf(question.tree.target), 1e4)}, {"measured", question.tree.measured}};
  json["considered"] = advice.balls.considered;
  json["best"] = Json::array();
  for (const WorkingView& view : advice.best) json["best"].push_back(ViewJson(view, skin));
  if (advice.second) {
    json["second"] = ViewJson(*advice.second, skin);
    json["second"]["about_vessel_deg"] = Rounded(advice.second_about, 100.0);
    json["second"]["between_beams_deg"] = Rounded(advice.second_between, 100.0);
  }
  if (advice.ideal_second) json["ideal_second"] = AnglesJson(*advice.ideal_second);
  if (advice.collateral) {
    json["collateral"] = ViewJson(*advice.collateral, skin);
    json["collateral"]["of"] = {{"name", question.tree.collateral_name}, {"foreshortening_pct", Rounded(100.0 * advice.collateral_foreshortening, 1e4)},
                                {"overlap_pct", Rounded(100.0 * advice.collateral_overlap, 1e4)}};
  }
  json["barrel"] = ViewJson(advice.barrel, skin);
  json["barrel"]["axis"] = AnglesJson(advice.axis);
  if (advice.away) json["away"] = ViewJson(*advice.away, skin);
  if (advice.held) json["held"] = ViewJson(*advice.held, skin);
  if (spared) {
    json["spare"] = {{"from", ViewJson(spared->from, skin)}, {"to", ViewJson(spared->to, skin)}, {"turn_deg", Rounded(spared->turn, 100.0)},
                     {"entry_moves_mm", Rounded(spared->moved, 10.0)}, {"foreshortening_lost_pct", Rounded(100.0 * spared->lost, 100.0)}};
  }
  json["notes"] = advice.notes;
  json["gantry"] = question.gantry.named.empty() ? "usual reach (practice); no lab has written its own" : question.gantry.named;
  if (every > 0) json["map"] = MapJson(question.grid, advice.maps, every);
  json["caution"] = "Geometry for trained operators: the heart moves, vessels not listed are not considered, collisions are not modelled. The operator decides.";
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace fairlead
