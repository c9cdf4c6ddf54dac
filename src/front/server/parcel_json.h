// SPDX-License-Identifier: Apache-2.0
// What came of a case that was taken in: for the wire and for people.
#pragma once

#include <string>

#include "keeping/parcel/parcel.h"

namespace fairlead {

// ParcelTaken of docs/wire.md.
std::string TakenJson(const ParcelTaken& taken);
// One or two sentences.
std::string TakenText(const ParcelTaken& taken);

}  // namespace fairlead
