// SPDX-License-Identifier: Apache-2.0
// Scores and assessments as JSON text with the members of docs/wire.md.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "reasoning/assess/assess.h"

namespace fairlead {

// {"scores": [Definition]}.
std::string ScoreDefinitionsJson();

// One Result.
std::string ScoreResultJson(const ScoreResult& result);

// {"scores": [Result]}: what `fairlead score` prints. With `only`, the results of that score alone.
std::string ScoresJson(const Assessment& assessment, std::string_view only = {});

// Assessment; `seq` is the last entry of the case that it rests on (0 without a case).
std::string AssessmentJson(const Assessment& assessment, std::int64_t seq = 0);

}  // namespace fairlead
