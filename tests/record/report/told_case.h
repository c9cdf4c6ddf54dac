// SPDX-License-Identifier: Apache-2.0
// The invented run of demo/case-4 as a state; what was typed stands in demo/case-4.jsonl, from which expectations are read
// by hand.
#pragma once

#include <gtest/gtest.h>

#include <fstream>
#include <functional>
#include <string>
#include <vector>

#include "casebook/entry_json.h"
#include "casebook/fold.h"

namespace fairlead {

inline std::vector<Entry> ToldEntries() {
  std::ifstream file(FAIRLEAD_TESTS_DIR "/../demo/case-4.jsonl");
  std::vector<Entry> entries;
  for (std::string line; std::getline(file, line);) {
    auto read = ParseEntry(line);
    EXPECT_TRUE(read.ok());
    if (!read.ok()) continue;
    Entry entry = std::move(read->entry);
    entry.case_id = "01M2NG00X0DEM0CASE00000004";
    entry.seq = static_cast<std::int64_t>(entries.size()) + 1;
    entry.recorded = entry.at;
    entry.hash[0] = static_cast<std::uint8_t>(entry.seq);
    entries.push_back(std::move(entry));
  }
  EXPECT_GT(entries.size(), 100U);
  return entries;
}

inline void Renumber(std::vector<Entry>& entries) {
  std::int64_t seq = 0;
  for (Entry& entry : entries) entry.seq = ++seq;
}

// Without the run entries of one verb.
inline std::vector<Entry> ToldWithout(Verb verb) {
  auto entries = ToldEntries();
  std::erase_if(entries, [verb](const Entry& entry) {
    const auto* event = std::get_if<RunEvent>(&entry.data);
    return event != nullptr && event->verb == verb;
  });
  Renumber(entries);
  return entries;
}

inline Entry NextEntry(const std::vector<Entry>& entries, EntryData data, int number = 1) {
  Entry entry = entries.back();
  entry.id = "01M2QB000000000000000000" + std::string(number < 10 ? "0" : "") + std::to_string(number);
  entry.seq += 1;
  entry.at = entry.at + Duration::Minutes(1.0);
  entry.written = entry.recorded = entry.at;
  entry.by = "op";
  entry.amends.clear();
  entry.data = std::move(data);
  entry.kind = KindName(entry.data);
  return entry;
}

}  // namespace fairlead
