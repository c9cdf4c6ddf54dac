// SPDX-License-Identifier: Apache-2.0
// The shelf and the day that a command of the kit asks for.
#pragma once

#include "front/cli/command.h"
#include "reasoning/kit/label.h"
#include "reasoning/kit/shelf.h"
#include "reasoning/kit/uses.h"

namespace fairlead {

// --shelf FILE.csv, else the invented one.
Result<Shelf> ShelfAsked(const Arguments& arguments);

// The same less what the journals say was used since the list was kept; of a file, the file as it stands.
Result<ShelfLeft> LeftAsked(const Arguments& arguments);

// --on DAY, else today.
Result<CalendarDay> DayAsked(const Arguments& arguments);

}  // namespace fairlead
