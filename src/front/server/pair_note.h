// SPDX-License-Identifier: Apache-2.0
// What was marked for an accepted measurement in two views, so that the engine can measure the same places again: from the
// pictures of its origin or, in older journals, from the line that its fact carries as its note (docs/wire.md, "The pictures
// of a measurement").
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "casebook/entry.h"

namespace fairlead {

// Points of docs/wire.md with "image" naming the run of each frame; nothing where the note is not such a line or cannot be
// read whole. What it gives is JSON of numbers and of names made of letters, digits and blanks.
std::optional<std::string> PointsOfNote(std::string_view note);

// The same of a fact: from the pictures that its origin names, or, as it was written before they were named there, from its note.
std::optional<std::string> PointsOfFact(const FactStated& fact);

}  // namespace fairlead
