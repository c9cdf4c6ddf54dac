// SPDX-License-Identifier: Apache-2.0
// A journal typed as lines of the log, for tests: "10:42 act 285". The day and the case are invented.
#pragma once

#include <gtest/gtest.h>

#include <string>
#include <string_view>
#include <vector>

#include "casebook/fold.h"
#include "casebook/log/log_line.h"
#include "casebook/run/run_state.h"

namespace fairlead {

inline Instant Clock(std::string_view time) {
  const auto at = ParseIso("2031-03-04T" + std::string(time) + ":00Z");
  EXPECT_TRUE(at) << time;
  return at ? *at : Instant{};
}

// Entries in the order in which they were typed; each line begins with the time that it happened at.
inline std::vector<Entry> Typed(const std::vector<std::string>& lines) {
  std::vector<Entry> entries;
  for (const std::string& line : lines) {
    Entry entry;
    entry.at = Clock(line.substr(0, 5));
    entry.seq = static_cast<std::int64_t>(entries.size()) + 1;
    entry.id = "E" + std::to_string(entry.seq);
    entry.recorded = entry.at;
    entry.by = "AB";
    const auto typed = ParseLogLine(line.substr(6), {entry.at, Duration::Minutes(0), 1.0, 1.0});
    EXPECT_TRUE(typed) << line << ": " << (typed ? "" : Sentence(typed.error()));
    if (!typed) continue;
    entry.data = typed->data;
    entry.kind = std::holds_alternative<RunEvent>(entry.data) ? "run" : std::holds_alternative<FactStated>(entry.data) ? "fact" : "note";
    entries.push_back(std::move(entry));
  }
  return entries;
}

inline RunState RunOfLines(const std::vector<std::string>& lines) { return RunOf(Fold(Typed(lines))); }

}  // namespace fairlead
