// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/kept.h"

#include <algorithm>
#include <cstring>
#include <set>

#include "practice/audit/audit_parts.h"

namespace fairlead {
namespace {

constexpr std::int64_t kDayMs = 86'400'000;

std::vector<const PackedCase*> AllOf(const PackedCases& rows) {
  std::vector<const PackedCase*> all;
  for (const PackedCase& row : rows.cases()) all.push_back(&row);
  return all;
}

bool ChangeDay(DayText& day, bool with_known, std::span<const CaseRow* const> out, std::span<const CaseRow* const> in) {
  PackedCases rows;
  if (!day.rows.empty() && !(with_known ? TakeDay(day, rows) : TakeDay(day.rows, rows))) return false;
  for (const CaseRow* row : in) rows.Add(*row);
  rows.Sort();
  std::set<std::string_view> gone;
  for (const CaseRow* row : out) gone.insert(row->id);
  std::set<std::string_view> come;
  for (const CaseRow* row : in) come.insert(row->id);
  std::vector<const PackedCase*> left;
  // A row that goes and comes on one day stands there twice: the one that came was packed last.
  std::map<std::string_view, const PackedCase*> newest;
  for (const PackedCase& row : rows.cases()) {
    const PackedCase*& one = newest[rows.id(row)];
    if (one == nullptr || one->id_from < row.id_from) one = &row;
  }
  for (const PackedCase& row : rows.cases()) {
    const std::string_view id = rows.id(row);
    if (newest[id] == &row && (come.contains(id) || !gone.contains(id))) left.push_back(&row);
  }
  day = TextOfDay(rows, left);
  return true;
}

// Ends of lines in eight letters at once: a byte that is one becomes 0, and of a byte that is 0 alone the highest bit is set.
std::size_t LineEnds(const char* eight) {
  constexpr std::uint64_t kEnds = 0x0a0a'0a0a'0a0a'0a0a, kLow = 0x7f7f'7f7f'7f7f'7f7f;
  std::uint64_t bytes = 0;
  std::memcpy(&bytes, eight, sizeof bytes);
  bytes ^= kEnds;
  const std::uint64_t found = ~(((bytes & kLow) + kLow) | bytes | kLow);
  return ((found >> 7) * 0x0101'0101'0101'0101) >> 56;
}

// Where the line begins before which there are so many. Lines are short: their ends are counted, not looked for one by one.
std::size_t LineBegins(std::string_view text, std::size_t lines) {
  std::size_t from = 0, before = 0;
  for (; from + 8 <= text.size(); from += 8) {
    const std::size_t more = LineEnds(text.data() + from);
    if (before + more >= lines) break;
    before += more;
  }
  for (; before < lines; ++before) from = text.find('\n', from) + 1;
  return from;
}

struct Sides {
  std::vector<const CaseRow*> out, in;
};
template <typename Key, typename Of>
std::map<Key, Sides> By(const RowsOutIn& change, Of of) {
  std::map<Key, Sides> sides;
  for (const CaseRow& row : change.out) sides[of(row.began)].out.push_back(&row);
  for (const CaseRow& row : change.in) sides[of(row.began)].in.push_back(&row);
  return sides;
}

void ChangeSums(AuditSums& sums, std::span<const CaseRow* const> rows, int sign) {
  PackedCases packed;
  for (const CaseRow* row : rows) packed.Add(*row);
  sums.Add(packed, AllOf(packed), sign);
}

}  // namespace

std::int64_t DayNumber(Instant at) { return at.ms >= 0 ? at.ms / kDayMs : -((-at.ms + kDayMs - 1) / kDayMs); }
int MonthNumber(Instant at) { return MonthBegun(at); }

bool ChangeKept(const RowsOutIn& change, std::map<std::int64_t, DayText>& days, std::map<int, std::string>& months) {
  for (const auto& [number, sides] : By<std::int64_t>(change, DayNumber)) {
    if (!ChangeDay(days[number], true, sides.out, sides.in)) return false;
  }
  for (const auto& [number, sides] : By<int>(change, MonthNumber)) {
    auto sums = ReadSums(months[number]);
    if (!sums) return false;
    ChangeSums(*sums, sides.out, -1), ChangeSums(*sums, sides.in, 1);
    months[number] = SumsText(*sums);
  }
  return true;
}

std::vector<std::int64_t> DaysTouched(const RowsOutIn& change) {
  std::vector<std::int64_t> days;
  for (const auto& side : By<std::int64_t>(change, DayNumber)) days.push_back(side.first);
  return days;
}

bool ChangeBook(AuditBook& book, const RowsOutIn& change) {
  for (const auto& [number, sides] : By<std::int64_t>(change, DayNumber)) {
    if (!ChangeDay(book.days[number], false, sides.out, sides.in)) return false;
    ChangeSums(book.sums, sides.out, -1), ChangeSums(book.sums, sides.in, 1);
  }
  return true;
}

Audit AuditOf(const AuditBook& book) {
  std::string letters;
  std::vector<std::pair<std::size_t, const DayText*>> starts;  // number of each day's first case
  for (const auto& [number, day] : book.days) {
    if (day.letters.empty()) continue;
    starts.emplace_back(letters.size(), &day);
    letters += day.letters;
  }
  const auto id = [&](std::size_t i) {
    const auto after = std::upper_bound(starts.begin(), starts.end(), i, [](std::size_t a, const auto& start) { return a < start.first; });
    const auto& [first, day] = *(after - 1);
    const std::size_t from = LineBegins(day->ids, i - first);
    return day->ids.substr(from, day->ids.find('\n', from) - from);
  };
  return AuditOf(book.sums, letters, id);
}

}  // namespace fairlead
