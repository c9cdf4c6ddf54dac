// SPDX-License-Identifier: Apache-2.0
// The question of two wires that will not meet, and its answer, as JSON (docs/wire.md, POST /api/spaces).
#pragma once

#include <string>
#include <string_view>

#include "measure/result.h"
#include "reasoning/spaces/matrix.h"

namespace fairlead {

// Errors: an unknown member (with the nearest known name), a value of another kind, what ParseSpace says.
Result<JoiningQuestion> ParseJoining(std::string_view body);

// The far wire's odds and contradiction from the two signs, seen from a catheter whose own odds are `near_wire`. Sure
// signs cannot make the far wire surer than the catheter.
void TakeSigns(JoiningQuestion& question, Sign same_side, Sign inside_ring);

std::string JoiningJson(const JoiningQuestion& question, const JoiningAnswer& answer);

// The line under everything that could be acted on.
inline constexpr std::string_view kStanding =
    "Decision support for trained operators. Not a medical device. Local protocol and the responsible physician decide.";

}  // namespace fairlead
