// SPDX-License-Identifier: Apache-2.0
// From where the occluded segment of a case is seen best, and at what cost to the skin that the case knows of.
#pragma once

#include <string>
#include <string_view>

#include "front/server/http.h"
#include "front/server/practice.h"

namespace fairlead {

// Views of docs/wire.md. `query` as of GET /api/cases/{id}/panels/views. With `tree` (a file of docs/methods-views.md) its
// segment, measured or drawn; else a stretch of the model heart, marked so.
// Errors: a member of `query` that is no number or out of range; a tree or the lab's text "gantry" that cannot be read.
Result<std::string> ViewsOfCase(Practice& practice, const std::string& case_id, const NamedText& query, std::string_view tree = {});

}  // namespace fairlead
