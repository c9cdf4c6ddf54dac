// SPDX-License-Identifier: Apache-2.0
// How contrast medium spreads from an injected ostium: along arteries, slower and thinner through collaterals, never
// across the occlusion.
#pragma once

#include <cstddef>
#include <vector>

#include "imaging/phantom/scene.h"

namespace fairlead {

struct Arrival {
  double seconds = -1.0;  // after the injection's start; below 0: never reached
  double share = 0.0;     // of the undiluted medium's attenuation, 0 to 1
};

// One list a vessel, one arrival a node. Empty lists where the scene has no catheter at that ostium.
std::vector<std::vector<Arrival>> ArrivalsFrom(const Scene& scene, Injected ostium);

// Share of the medium at a node at a time after the injection's start; `length` is how long is injected. All in seconds.
double FillingAt(const Arrival& arrival, double time, double length);

}  // namespace fairlead
