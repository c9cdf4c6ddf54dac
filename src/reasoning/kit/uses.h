// SPDX-License-Identifier: Apache-2.0
// What is left of a shelf after packages were opened. The list of stock is never written by a use: what is left is the list
// less the uses that the journals hold, so that a use taken back is on the shelf again.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "reasoning/kit/shelf.h"

namespace fairlead {

// One package that was opened. Named by the number of its label, or by the lab's name of the device where no label was read.
struct PackageUse {
  std::string gtin;    // 14 digits; empty: no label
  std::string lot, serial;
  std::string name;    // name or id of the shelf; empty where the shelf did not know the number
  std::string visit{}; // case; empty: not known
  bool opened = false; // its label was read, and nothing was said of its going in
};

// A number that no device of the shelf has: it was used, and nothing else is known of it.
struct Provisional {
  std::string gtin;
  int used = 0;
};

struct ShelfLeft {
  Shelf shelf;                           // `used` and `short_by` of each device filled, counts of its batches fallen
  std::vector<Provisional> provisional;  // by number
};

// In one case a device that goes in by its name is the package whose label was read before, as long as one of it is open.
// A use takes from the batch of its lot, else from the one that expires first. A serial number that was read twice is one
// package. Of what the list does not hold, the device's `short_by` is counted: the list is behind.
ShelfLeft LessUses(const Shelf& shelf, std::span<const PackageUse> uses);

}  // namespace fairlead
