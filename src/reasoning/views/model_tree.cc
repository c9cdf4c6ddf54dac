// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>

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

// From one vessel into another: both courses, and a straight way between the places where the channel leaves and arrives.
std::vector<Vec3> ChannelBetween(const Tube& from, double leaves, const Tube& into, double arrives) {
  const auto node = [](const Tube& tube, double share) { return static_cast<std::ptrdiff_t>(share * static_cast<double>(tube.course.size() - 1)); };
  std::vector<Vec3> course(from.course.begin(), from.course.begin() + node(from, leaves) + 1);
  const Vec3 start = course.back(), end = into.course[static_cast<std::size_t>(node(into, arrives))];
  const int pieces = std::max(1, static_cast<int>(std::ceil(Norm(end - start) / 2.0)));  // of 2 mm
  for (int i = 1; i < pieces; ++i) course.push_back(start + (static_cast<double>(i) / pieces) * (end - start));
  for (std::ptrdiff_t at = node(into, arrives); at >= 0; --at) course.push_back(into.course[static_cast<std::size_t>(at)]);
  return course;
}

// The usual channel of an occluded vessel on this heart: through the septum, or between two marginal branches.
void AddChannel(VesselTree& tree, std::string_view occluded) {
  const bool marginal = occluded == "LCX" || occluded.starts_with("OM");
  const auto named = [&](std::string_view name) { return std::ranges::find(tree.vessels, name, &Tube::name); };
  const auto from = named(marginal ? "OM1" : "S1"), into = named(marginal ? "OM2" : "IS1");
  if (from == tree.vessels.end() || into == tree.vessels.end()) return;
  tree.collateral = marginal ? ChannelBetween(*from, 0.62, *into, 0.55) : ChannelBetween(*from, 1.0, *into, 1.0);
  tree.collateral_name = marginal ? "a marginal channel of the model" : "a septal channel of the model";
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
  AddChannel(tree, vessel);
  return tree;
}

}  // namespace fairlead
