// SPDX-License-Identifier: Apache-2.0
// The words after a verb. Inside this room only.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "casebook/log/log_line.h"
#include "casebook/run_event.h"
#include "casebook/run_table.h"

namespace fairlead {

// Words as SplitLogLine gives them, without the verb. Errors: what is not understood, is said twice, cannot be, or lacks.
Result<RunEvent> ReadVerbWords(const VerbRow& row, std::span<const std::string> words, const LogRoom& room);

Error LogRefusal(std::string what, std::string to_do);
std::string QuotedWord(std::string_view word);  // at most 40 bytes of it

}  // namespace fairlead
