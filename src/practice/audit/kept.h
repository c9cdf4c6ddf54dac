// SPDX-License-Identifier: Apache-2.0
// Rows and their sums as a table keeps them beside the rows' own text, so that an audit reads no JSON: of each month its sums,
// of each day the letters of its judged cases in their order, their ids, and all its rows packed. A row that comes, changes or
// goes touches its month and its day and nothing else. All of it can be made again from the rows.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "practice/audit/packed.h"
#include "practice/audit/sums.h"

namespace fairlead {

struct DayText {
  std::string letters;   // JudgedLetter of each, by start, ties by id
  std::string ids;       // of the same cases, a line each
  std::string rows;      // of all cases, packed; empty: none
  std::string known;     // of the same cases in the same order, what a plan is compared by (known.h)
};

std::int64_t DayNumber(Instant at);   // since 1970-01-01 UTC
int MonthNumber(Instant at);          // since January of the year 0

// Changes whenever this program reads or counts a row otherwise than the one that kept it: of another stamp nothing is read.
std::uint64_t KeptStamp();

std::string SumsText(const AuditSums& sums);                       // empty where there is no case
std::optional<AuditSums> ReadSums(std::string_view text);          // nothing: damaged, or of another program

DayText TextOfDay(const PackedCases& all, std::span<const PackedCase* const> rows);  // rows by start, ties by id
// Adds the day's rows to `to`, which wants sorting afterwards. False: damaged, or of another program; `to` may then hold some.
bool TakeDay(std::string_view rows, PackedCases& to);  // without what a plan is compared by
bool TakeDay(const DayText& day, PackedCases& to);

// Rows that go and rows that come, by what they touch.
struct RowsOutIn {
  std::vector<CaseRow> out, in;
};
// `days` and `months` hold what was kept of every day and month that is touched (nothing: there was none). False: something of
// it cannot be read, and all is to be made anew.
bool ChangeKept(const RowsOutIn& change, std::map<std::int64_t, DayText>& days, std::map<int, std::string>& months);

// What an audit of everything reads: the sums, and letters and ids day by day.
struct AuditBook {
  AuditSums sums;
  std::map<std::int64_t, DayText> days;   // `rows` empty but where they were asked for
};
// The same book with other rows besides, or without some of its own. `days` of the touched days must have their rows. False as above.
bool ChangeBook(AuditBook& book, const RowsOutIn& change);
std::vector<std::int64_t> DaysTouched(const RowsOutIn& change);
Audit AuditOf(const AuditBook& book);

}  // namespace fairlead
