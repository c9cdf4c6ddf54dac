// SPDX-License-Identifier: Apache-2.0
// ivus: a pullback, or what was seen on one, typed.
#include "front/cli/commands.h"
#include "front/cli/terminal.h"

namespace fairlead {

int ShowIvus(const Arguments& arguments) {
  const IvusArguments& given = arguments.ivus;
  if (given.near_wire.empty()) {
    return Fail(Error{"nothing is given to work on", "ivus", "give --near and --far, or --near with --same-side and --in-ring", Fault::kUsage});
  }
  return ShowSpaces(arguments);
}

}  // namespace fairlead
