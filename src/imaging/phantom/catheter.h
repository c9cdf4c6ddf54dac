// SPDX-License-Identifier: Apache-2.0
// What the operator and the surgeon put in: guide catheters from the groin, a vein graft, sternal wires.
#pragma once

#include <vector>

#include "imaging/phantom/heart.h"
#include "imaging/phantom/random.h"
#include "imaging/phantom/scene.h"

namespace fairlead {

// Wall and bore of a guide catheter: a sixth of the outer diameter is wall, both sides together; chosen.
inline constexpr double kBoreShare = 0.84;

// A catheter whose tip stands 3 mm inside the vessel's ostium, up the ascending aorta, over the arch and down.
GuideCatheter CatheterInto(const Scene& scene, Injected ostium, int vessel, double french);

// From the front of the ascending aorta over the heart to a node of an artery.
std::vector<Node> GraftCourse(const Heart& heart, const Node& into, SeededRandom& random);

void AddSternalWires(Scene& scene, SeededRandom& random);

}  // namespace fairlead
