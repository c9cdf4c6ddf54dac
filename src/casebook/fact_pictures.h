// SPDX-License-Identifier: Apache-2.0
// The pictures that a fact was measured on: one, or several with their own places.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "casebook/entry.h"

namespace fairlead {

// Content hashes, each once, the first picture's first; none where the fact rests on no picture.
std::vector<std::string> ImagesBehind(const FactOrigin& origin);

// Places that were marked in one frame of one image, each kind for itself and none without a point.
std::vector<NamedPlaces> PlacesIn(const FactOrigin& origin, std::string_view image, int frame);

// Every frame with its places, in the order of the views.
std::vector<ViewOrigin> PicturesBehind(const FactOrigin& origin);

}  // namespace fairlead
