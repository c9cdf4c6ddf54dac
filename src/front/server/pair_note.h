// SPDX-License-Identifier: Apache-2.0
// The second view of an accepted measurement, read from the line that its fact carries as its note (docs/wire.md, "The note
// of a measurement in two views"), so that the engine can measure the same places again.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace fairlead {

// Points of docs/wire.md with "image" naming the run of each frame; nothing where the note is not such a line or cannot be
// read whole. What it gives is JSON of numbers and of names made of letters, digits and blanks.
std::optional<std::string> PointsOfNote(std::string_view note);

}  // namespace fairlead
