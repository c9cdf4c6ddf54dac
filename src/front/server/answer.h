// SPDX-License-Identifier: Apache-2.0
// Answers that every path gives: a refusal as JSON.
#pragma once

#include <string>

#include "front/server/http.h"
#include "measure/result.h"

namespace fairlead {

// {"error": {"what", "where", "to_do"}}.
Response Refusal(int status, const Error& error);

// 400 for what was given, 503 for what failed outside.
Response Refusal(const Error& error);

Response Json(std::string text);

}  // namespace fairlead
