// SPDX-License-Identifier: Apache-2.0
// A device named in a line of the log, looked up on the lab's shelf.
#pragma once

#include <vector>

#include "casebook/run/run_check.h"
#include "casebook/run_event.h"
#include "measure/result.h"
#include "reasoning/kit/shelf.h"

namespace fairlead {

// "wire a in kit:long-1": length, tip load, size, diameter and lumens are filled in as the shelf has them, where the line
// leaves them out; where it says something else, that is asked. A name that the shelf does not have is kept as typed.
// Errors: the shelf has that name for another class of device.
Result<std::vector<LogQuestion>> FillFromShelf(RunEvent& event, const Shelf& shelf);

}  // namespace fairlead
