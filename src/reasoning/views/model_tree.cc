// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "imaging/phantom/tree.h"
#include "reasoning/views/tree.h"

namespace fairlead {
namespace {

std::vector<Vessel> ModelHeart() {
  const Heart heart;
  SeededRandom random(1);
  std::vector<Vessel> vessels;
  AddLeftTree(heart, random, vessels);
  AddRightTree(heart, random, vessels);
  return vessels;
}

Tube TubeOf(const Vessel& vessel) {
  Tube tube;
  tube.name = vessel.name;
  for (const Node& node : vessel.nodes) {
    tube.course.push_back(node.at);
    tube.radius.push_back(node.radius);
  }
  return tube;
}

}  // namespace

std::vector<std::string> ModelVessels() {
  std::vector<std::string> names;
  for (const Vessel& vessel : ModelHeart()) names.push_back(vessel.name);
  return names;
}

Result<VesselTree> ModelTree(std::string_view vessel, double from, double to) {
  if (!(from >= 0.0 && to <= 1.0 && from < to)) return Error{"the segment is no range within the vessel", "from and to", "give shares of its length, 0 to 1, the smaller first"};
  VesselTree tree;
  for (const Vessel& each : ModelHeart()) tree.vessels.push_back(TubeOf(each));
  const auto tube = std::ranges::find(tree.vessels, vessel, &Tube::name);
  if (tube == tree.vessels.end()) {
    std::string known;
    for (const Tube& each : tree.vessels) known += (known.empty() ? "" : ", ") + each.name;
    return Error{"the model has no such vessel", std::string(vessel.substr(0, 40)), "choose from " + known};
  }
  const auto last = static_cast<double>(tube->course.size() - 1);
  const auto first = static_cast<std::ptrdiff_t>(from * last), end = std::max(first + 1, static_cast<std::ptrdiff_t>(to * last)) + 1;
  tree.target.assign(tube->course.begin() + first, tube->course.begin() + end);
  tree.target_radius.assign(tube->radius.begin() + first, tube->radius.begin() + end);
  tree.target_name = std::string(vessel) + " of the model heart";
  return tree;
}

}  // namespace fairlead
