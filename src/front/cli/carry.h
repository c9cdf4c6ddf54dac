// SPDX-License-Identifier: Apache-2.0
// Commands for whole cases, and for facts from another system; each gives the program's exit status.
#pragma once

#include "front/cli/command.h"

namespace fairlead {

int ExportCase(const Arguments& arguments);        // case export
int ExportDeidentified(const Arguments& arguments);  // case deidentify; `name` is the project, `only` "teaching" or empty
// "Oxbow, septl": possible names that were taken out, for the screen of whoever makes the file.
std::string TakenOutWords(const std::vector<std::string>& words);
int ImportCase(const Arguments& arguments);        // case import
int TakeCaseFacts(const Arguments& arguments);     // case facts; `proposal`: nothing is written

}  // namespace fairlead
