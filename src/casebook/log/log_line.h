// SPDX-License-Identifier: Apache-2.0
// The log bar: one line as a person types it, into an entry and back. Everything here reads the one table of run_table.h.
//   VERB [SIDE] [OBJECT] [VALUE][UNIT] [WORDS] [@TIME] [; REMARK]
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/entry.h"
#include "casebook/run_event.h"
#include "measure/instant.h"
#include "measure/result.h"

namespace fairlead {

// What the room is set to, and when the line is typed.
struct LogRoom {
  Instant now;
  Duration zone;               // of the lab's clock, east of UTC
  double kerma_unit = 1.0;     // Gy in one unit of the console: a bare air kerma is in it
  double area_unit = 1.0;      // Gy·cm² likewise
};

struct LogLine {
  enum class What : std::uint8_t { kEntry, kAmend, kUndo, kWithdraw };
  What what = What::kEntry;
  EntryData data;              // of an entry or an amendment
  std::optional<Instant> at;   // only if the line has @TIME
  std::int64_t seq = 0;        // of `amend #12` and `withdraw #12`; 0: the last of that verb
  bool only_time = false;      // `amend #12 @10:40`: the entry stays, its time moves
};

inline constexpr std::size_t kLongestLogLine = 4000;  // bytes; chosen

// Words are taken in either case. What is not understood is refused with a suggestion; a number that cannot be is
// refused without another number; nothing is guessed.
Result<LogLine> ParseLogLine(std::string_view text, const LogRoom& room);

// A line that ParseLogLine reads back to the same event.
std::string LogText(const RunEvent& event);

// "10:42", "10:42:30", "-5m", "-1h", or ISO 8601 with a zone. A clock time is today's, or yesterday's if that is still to
// come; more than twelve hours back it is refused.
Result<Instant> ParseLogTime(std::string_view text, const LogRoom& room);

struct LogChoice {
  std::string text;  // to be put in place of the word being typed
  std::string says;
};
// What may come next, given the line up to the cursor; `tags` are those now in the body (w1, m2).
std::vector<LogChoice> CompleteLogLine(std::string_view text, const std::vector<std::string>& tags);

// The whole grammar for a person, and of one verb: "wire a|r [in|out] ...".
std::string LogHelp();
std::string VerbUsage(Verb verb);

}  // namespace fairlead
