// SPDX-License-Identifier: Apache-2.0
// A row from the text that CaseRowsJson wrote of it, several times faster than any text of a row is read: members in its order,
// plain words, nothing beside them. What is written otherwise, or is out of range, gives nothing and is for ParseCaseRows.
#pragma once

#include <optional>
#include <string_view>

#include "practice/audit/row.h"

namespace fairlead {

std::optional<CaseRow> ScanCaseRow(std::string_view text);

}  // namespace fairlead
