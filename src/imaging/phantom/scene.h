// SPDX-License-Identifier: Apache-2.0
// An invented heart with its coronary arteries: courses in mm, radii, an occlusion, collaterals, catheters, calcium.
// Everything follows from the scene's name and a seed. Sizes and courses are chosen to be plausible, not taken from a
// patient; the heart is an ellipsoid whose grooves the arteries follow.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/vector.h"
#include "measure/quantity.h"
#include "measure/result.h"

namespace fairlead {

// A point of the wall of the heart or of something tied to it.
struct Node {
  Vec3 at;              // at the end of diastole and of expiration, mm
  Vec3 swing;           // from there to the end of systole, mm
  double breathes = 1;  // share of the heart's breathing motion that it follows, 0 to 1
  double radius = 0.0;  // of the lumen, mm
};

enum class VesselKind { kArtery, kCollateral, kGraft };

struct Joint {
  int vessel = -1;        // index in Scene::vessels; -1 for none
  std::size_t node = 0;
};

struct Vessel {
  std::string name;              // "LCX", "OM1", "channel 1"
  VesselKind kind = VesselKind::kArtery;
  std::vector<Node> nodes;
  Joint from;                    // where it leaves; none for a vessel that begins at an ostium
  Joint into;                    // where a collateral or graft ends; none otherwise
};

enum class CapShape { kTapered, kBlunt };

// No contrast between two nodes of one vessel. Both are nodes exactly.
struct Occlusion {
  int vessel = -1;
  std::size_t proximal = 0, distal = 0;
  CapShape proximal_cap = CapShape::kBlunt, distal_cap = CapShape::kTapered;
  int side_branch = -1;          // vessel that leaves at the proximal cap; -1 for none
};

enum class Injected { kLeft, kRight, kGraft };  // the ostium that a catheter fills

struct GuideCatheter {
  Injected ostium = Injected::kLeft;
  double french = 6.0;
  std::vector<Node> course;      // from the tip outwards; radius = outer radius
  int vessel = -1;               // that it fills, from node 0
};

struct CalciumFleck {
  Node at;                       // radius = half its short side
  Vec3 towards;                  // half its long side, mm
};

struct WireLoop {
  std::vector<Vec3> course;      // sternal wire; does not move
};

struct Scene {
  std::string name;
  std::uint64_t seed = 0;
  std::vector<Vessel> vessels;
  std::optional<Occlusion> occlusion;
  std::vector<GuideCatheter> catheters;
  std::vector<CalciumFleck> calcium;
  std::vector<WireLoop> wires;
  double heart_rate = 70.0;      // beats a minute
};

// "circumflex-marginal": occlusion at a marginal branch that hides the cap, same-side channel.
// "graft-anterior": occluded anterior descending artery after bypass surgery, vein graft, sternal wires.
// "short-right": short tapered occlusion of the right artery, filled from the left by septal channels.
// "open-left", "open-right": no occlusion.
std::span<const std::string_view> SceneNames();

// Errors: no scene of that name.
Result<Scene> MakeScene(std::string_view name, std::uint64_t seed);

// Where a node is at a moment: the beat is at its end-diastole at time 0, breathing at its end-expiration.
struct Moment {
  double contraction = 0.0;  // 0 end of diastole, 1 end of systole
  double breath = 0.0;       // 0 end of expiration; mm towards the feet
};
Moment MomentAt(const Scene& scene, Duration since_start, bool breathing);
Vec3 PlaceOf(const Node& node, const Moment& moment);

// The course of the occlusion at the end of diastole, from cap to cap; empty where there is none.
std::vector<Vec3> OcclusionCourse(const Scene& scene);

}  // namespace fairlead
