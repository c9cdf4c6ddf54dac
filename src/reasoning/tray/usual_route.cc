// SPDX-License-Identifier: Apache-2.0
#include "reasoning/tray/usual_route.h"

#include <initializer_list>

namespace fairlead {
namespace {

std::vector<Stretch> Along(std::initializer_list<std::string_view> names) {
  std::vector<Stretch> route;
  for (const std::string_view name : names) {
    if (const TypicalStretch* row = FindTypical(name)) route.push_back(TypicalOf(*row));
  }
  return route;
}

std::vector<Stretch> ToRight(std::string_view channel) {
  if (channel == "epicardial" || channel == "atrial") return Along({"left main", "circumflex", "epicardial channel", "posterolateral", "RCA"});
  if (channel == "ipsilateral") return Along({"RCA", "ipsilateral channel", "RCA"});
  if (channel == "graft") return Along({"vein graft", "posterior descending", "RCA"});
  return Along({"left main", "LAD to septal", "septal channel", "posterior descending", "RCA"});
}

std::vector<Stretch> ToAnterior(std::string_view channel) {
  if (channel == "epicardial" || channel == "atrial") return Along({"RCA", "right ventricular channel", "LAD", "left main"});
  if (channel == "ipsilateral") return Along({"left main", "LAD", "ipsilateral channel", "LAD", "left main"});
  if (channel == "graft") return Along({"mammary graft", "LAD", "left main"});
  return Along({"RCA", "posterior descending", "septal channel", "LAD to septal", "left main"});
}

std::vector<Stretch> ToCircumflex(std::string_view channel) {
  if (channel == "ipsilateral") return Along({"left main", "LAD", "ipsilateral channel", "circumflex", "left main"});
  if (channel == "graft") return Along({"vein graft", "circumflex", "left main"});
  return Along({"RCA", "posterolateral", "epicardial channel", "circumflex", "left main"});
}

}  // namespace

std::vector<Stretch> UsualAntegrade(std::string_view vessel) {
  if (vessel == "RCA") return Along({"RCA", "posterior descending"});
  if (vessel == "LAD") return Along({"left main", "LAD"});
  if (vessel == "LCX") return Along({"left main", "circumflex"});
  if (vessel == "LM") return Along({"left main", "LAD"});
  if (vessel == "graft") return Along({"vein graft"});
  return {};
}

std::vector<Stretch> UsualRetrograde(std::string_view vessel, std::string_view channel) {
  if (vessel == "RCA") return ToRight(channel);
  if (vessel == "LAD" || vessel == "LM") return ToAnterior(channel);
  if (vessel == "LCX") return ToCircumflex(channel);
  return {};
}

}  // namespace fairlead
