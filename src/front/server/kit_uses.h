// SPDX-License-Identifier: Apache-2.0
// Packages that were opened, as the journals tell it, and what the lab's shelf has left after them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "casebook/fold.h"
#include "casebook/knowledge.h"
#include "measure/instant.h"
#include "measure/result.h"
#include "reasoning/kit/label.h"
#include "reasoning/kit/uses.h"

namespace fairlead {

// A use with the moment at which the store had it: a list of stock made later has counted it already.
struct RecordedUse {
  PackageUse use;
  Instant recorded;
};

// The note of a package that was opened; `name` empty: the shelf does not have the number. UsesOf reads it back.
std::string UsedNote(const Label& label, std::string_view name);

// Of the entries of one case that stand: notes of labels ("used; ..."), and lines that name a device by kit: or by a label.
// A device is counted when it first goes in, by its number in the log (w3, m1); a balloon once, however often it is blown
// up; each stent. With a label in the line the label counts; a
// package that was scanned alone and then goes in by its name is one package.
std::vector<RecordedUse> UsesOf(const State& state);

// The lab's list less those uses that came after it was kept; of the invented shelf, less all.
Result<ShelfLeft> ShelfLeftOf(const Knowledge& lab, const std::vector<RecordedUse>& uses);

}  // namespace fairlead
