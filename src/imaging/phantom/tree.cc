// SPDX-License-Identifier: Apache-2.0
#include "imaging/phantom/tree.h"

#include <cmath>
#include <cstddef>
#include <string>
#include <utility>

namespace fairlead {
namespace {

// Diameters after Circulation 1992;86:232-246 (normal right-dominant hearts: LM 4.5, LAD 3.7, LCX 3.4, RCA 3.9 mm),
// from memory, rounded down for the older arteries of this work.
struct Trunk {
  std::string name;
  std::vector<WallPlace> places;
  double radius, radius_end;  // mm
};

void Waver(SeededRandom& random, std::vector<Node>& nodes, double amplitude) {
  // One draw a line: the order in which arguments are worked out differs between compilers.
  const double swell = amplitude * random.Within(0.5, 1.0);
  const double wavelength = random.Within(14.0, 24.0);
  Wind(nodes, swell, wavelength, random.Within(0.0, 360.0));
  for (Node& node : nodes) node.radius *= random.Within(0.97, 1.03);  // the wall is never quite smooth
}

int AddTrunk(const Heart& heart, SeededRandom& random, const Trunk& trunk, Joint from, std::vector<Vessel>& vessels) {
  Vessel vessel;
  vessel.name = trunk.name;
  vessel.nodes = Course(heart, trunk.places, trunk.radius, trunk.radius_end);
  Waver(random, vessel.nodes, 0.9);
  vessel.from = from;
  if (from.vessel >= 0) {
    const Node& start = vessels[static_cast<std::size_t>(from.vessel)].nodes[from.node];
    vessel.nodes.front().at = start.at;
    vessel.nodes.front().swing = start.swing;
  }
  vessels.push_back(std::move(vessel));
  return static_cast<int>(vessels.size()) - 1;
}

// A branch that leaves `parent` where it passes nearest to the first place.
int AddBranch(const Heart& heart, SeededRandom& random, const Trunk& branch, int parent, std::vector<Vessel>& vessels) {
  const Vec3 leave = OnHeart(heart, branch.places.front()).at;
  const Joint from{parent, NearestNode(vessels[static_cast<std::size_t>(parent)], leave)};
  const int index = AddTrunk(heart, random, branch, from, vessels);
  // The first node was moved on to the parent: the next ones follow, so that no corner is left.
  auto& nodes = vessels[static_cast<std::size_t>(index)].nodes;
  const Vec3 gap = nodes.front().at - leave;
  const std::size_t eased = std::min<std::size_t>(nodes.size(), 14);
  for (std::size_t i = 1; i < eased; ++i) {
    const double left = 1.0 - static_cast<double>(i) / static_cast<double>(eased);
    nodes[i].at = nodes[i].at + left * gap;
  }
  return index;
}

}  // namespace

Heart VariedHeart(SeededRandom& random) {
  Heart heart;
  heart.half_length *= random.Within(0.95, 1.08);
  heart.half_width *= random.Within(0.95, 1.06);
  heart.turn = random.Within(36.0, 46.0);  // puts the grooves in front and below
  heart.centre = {-9.0 + random.Within(-2.0, 2.0), 4.0 + random.Within(-2.0, 2.0), 10.0 + random.Within(-2.0, 2.0)};
  return heart;
}

int AddLeftTree(const Heart& heart, SeededRandom& random, std::vector<Vessel>& vessels) {
  const int lm = AddTrunk(heart, random, {"LM", {{-9, 10, 0.60, 0}, {-4, 14, 0.80, 0}, {2, 15, 0.97, 0}}, 2.1, 2.0}, {}, vessels);
  const Joint fork{lm, vessels[static_cast<std::size_t>(lm)].nodes.size() - 1};
  const int lad = AddTrunk(heart, random,
                           {"LAD", {{2, 15, 0.97, 0}, {8, 9, 1.02, 0}, {18, 11, 1, 1}, {30, 16, 1, 1}, {45, 19, 1, 1},
                                    {60, 16, 1, 1}, {74, 9, 1, 1}, {86, 0, 1, 1}}, 1.75, 0.7}, fork, vessels);
  const int lcx = AddTrunk(heart, random,
                           {"LCX", {{2, 15, 0.97, 0}, {3, 28, 1.03, 0}, {1, 50, 1.02, 1}, {2, 78, 1, 1}, {3, 105, 1, 1},
                                    {7, 132, 1, 1}, {14, 148, 1, 1}}, 1.55, 0.65}, fork, vessels);
  const auto add = [&](const Trunk& branch, int parent) { AddBranch(heart, random, branch, parent, vessels); };
  add({"D1", {{18, 11, 1, 1}, {28, 27, 1, 1}, {42, 38, 1, 1}, {56, 42, 1, 1}, {66, 42, 1, 1}}, 1.05, 0.5}, lad);
  add({"D2", {{38, 18, 1, 1}, {47, 29, 1, 1}, {58, 35, 1, 1}, {70, 36, 1, 1}}, 0.85, 0.45}, lad);
  add({"S1", {{16, 10, 1, 0}, {22, 5, 0.72, 0}, {30, 1, 0.42, 0}, {38, 0, 0.2, 0}}, 0.65, 0.35}, lad);
  add({"S2", {{30, 16, 1, 0}, {36, 8, 0.72, 0}, {43, 4, 0.45, 0}, {49, 0, 0.25, 0}}, 0.6, 0.3}, lad);
  add({"S3", {{44, 19, 1, 0}, {49, 10, 0.74, 0}, {55, 5, 0.5, 0}, {60, 0, 0.3, 0}}, 0.5, 0.3}, lad);
  add({"OM1", {{1, 52, 1.02, 1}, {9, 62, 1, 1}, {24, 70, 1, 1}, {40, 74, 1, 1}, {56, 74, 1, 1}, {66, 70, 1, 1}}, 1.2, 0.5}, lcx);
  add({"OM2", {{3, 100, 1, 1}, {14, 106, 1, 1}, {28, 106, 1, 1}, {44, 102, 1, 1}, {54, 98, 1, 1}}, 0.95, 0.45}, lcx);
  return lm;
}

int AddRightTree(const Heart& heart, SeededRandom& random, std::vector<Vessel>& vessels) {
  const int rca = AddTrunk(heart, random,
                           {"RCA", {{-9, -32, 0.52, 0}, {-6, -44, 0.80, 0}, {-2, -58, 1.02, 2}, {0, -80, 1.04, 2}, {1, -105, 1.04, 2},
                                    {1, -130, 1.03, 2}, {0, -155, 1.02, 1}, {0, -176, 1, 1}, {2, -184, 1, 1}}, 1.9, 1.35}, {}, vessels);
  const Joint crux{rca, vessels[static_cast<std::size_t>(rca)].nodes.size() - 1};
  AddTrunk(heart, random, {"PDA", {{2, -184, 1, 1}, {9, -181, 1, 1}, {22, -178, 1, 1}, {38, -177, 1, 1}, {56, -178, 1, 1}, {68, -180, 1, 1}},
                           1.15, 0.5}, crux, vessels);
  AddTrunk(heart, random, {"PL", {{2, -184, 1, 1}, {1, -194, 1, 1}, {6, -206, 1, 1}, {18, -214, 1, 1}, {34, -218, 1, 1}, {46, -219, 1, 1}},
                           1.05, 0.5}, crux, vessels);
  const auto add = [&](const Trunk& branch, int parent) { AddBranch(heart, random, branch, parent, vessels); };
  add({"conus", {{-3, -54, 1, 2}, {6, -44, 1.05, 2}, {16, -32, 1.06, 2}, {26, -22, 1.04, 2}}, 0.6, 0.3}, rca);
  add({"RV", {{1, -108, 1.04, 2}, {14, -104, 1.04, 2}, {30, -97, 1.04, 2}, {46, -86, 1.03, 2}, {56, -76, 1.02, 2}}, 0.85, 0.4}, rca);
  const int pda = FindVessel(vessels, "PDA");
  add({"IS1", {{20, -178, 1, 0}, {24, -182, 0.75, 0}, {29, -184, 0.5, 0}}, 0.4, 0.28}, pda);
  add({"IS2", {{36, -177, 1, 0}, {40, -181, 0.75, 0}, {44, -183, 0.5, 0}}, 0.4, 0.28}, pda);
  return rca;
}

int FindVessel(const std::vector<Vessel>& vessels, std::string_view name) {
  for (std::size_t i = 0; i < vessels.size(); ++i) {
    if (vessels[i].name == name) return static_cast<int>(i);
  }
  return -1;
}

std::size_t NearestNode(const Vessel& vessel, Vec3 to) {
  std::size_t nearest = 0;
  double least = Dot(vessel.nodes[0].at - to, vessel.nodes[0].at - to);
  for (std::size_t i = 1; i < vessel.nodes.size(); ++i) {
    const Vec3 gap = vessel.nodes[i].at - to;
    if (Dot(gap, gap) < least) least = Dot(gap, gap), nearest = i;
  }
  return nearest;
}

}  // namespace fairlead
