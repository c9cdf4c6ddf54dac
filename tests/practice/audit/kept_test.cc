// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/kept.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <random>

#include "practice/audit/invented.h"
#include "practice/audit/kept_bytes.h"
#include "practice/audit/known.h"

namespace fairlead {
namespace {

const Instant kLast = ParseIso("2026-11-20T09:00:00Z").value();

// Invented cases some of which lack much, have odd figures, or share a moment.
std::vector<CaseRow> OddRows(std::size_t cases, std::uint64_t seed) {
  auto rows = InventPastCases({.seed = seed, .cases = cases, .drift_from = cases / 2, .last = kLast});
  std::mt19937_64 random(seed);
  for (CaseRow& row : rows) {
    row.began.ms = kLast.ms - static_cast<std::int64_t>(random() % 60) * 43'200'000 - static_cast<std::int64_t>(random() % 3);
    switch (random() % 8) {
      case 0: row.minutes = 71.0 / 3; break;
      case 1: row.success.reset(); break;
      case 2: row.tries.clear(), row.kit.clear(); break;
      case 3: row.by = "Ä \"b\"", row.vessel.clear(); break;
      case 4: row.contrast_ml.reset(), row.complication.reset(); break;
      case 5: row.air_kerma_gy = 1.2345678, row.tries.front().minutes = 12.34; break;
      default: break;
    }
  }
  return rows;
}

// As a store does it: only what a change touches is looked at.
struct Table {
  std::map<std::int64_t, DayText> days;
  std::map<int, std::string> months;
  std::map<std::string, CaseRow> rows;
  void Put(const std::vector<CaseRow>& come, const std::vector<std::string>& go = {}) {
    RowsOutIn change;
    for (const CaseRow& row : come) {
      if (rows.contains(row.id)) change.out.push_back(rows[row.id]);
      rows[row.id] = row, change.in.push_back(row);
    }
    for (const std::string& id : go) change.out.push_back(rows[id]), rows.erase(id);
    ASSERT_TRUE(ChangeKept(change, days, months));
  }
  // Days and months with a case; what was emptied may stay as empty text.
  void DropEmpty() {
    std::erase_if(days, [](const auto& day) { return day.second.rows.empty(); });
    std::erase_if(months, [](const auto& month) { return month.second.empty(); });
  }
};

AuditBook BookOf(const Table& table) {
  AuditBook book;
  for (const auto& [number, text] : table.months) book.sums.Merge(ReadSums(text).value());
  for (const auto& [number, day] : table.days) book.days[number] = {day.letters, day.ids, {}, {}};
  return book;
}

std::vector<CaseRow> RowsIn(const Table& table) {
  std::vector<CaseRow> rows;
  for (const auto& each : table.rows) rows.push_back(each.second);
  return rows;
}

std::vector<std::string> IdsKnown(const std::string& known) {
  std::vector<std::string> ids;
  KnownDay day(known);
  while (const auto next = day.Next()) ids.emplace_back(next->id);
  EXPECT_FALSE(day.failed());
  return ids;
}
std::vector<std::string> IdsOf(const std::string& rows) {
  std::vector<std::string> ids;
  PackedCases read;
  EXPECT_TRUE(TakeDay(rows, read));
  for (const PackedCase& row : read.cases()) ids.emplace_back(read.id(row));
  return ids;
}

// A property: however rows come, change and go, what is kept is what the rows left would give at once, and the audit of it is
// the audit of the rows.
TEST(Kept, SumsAndDaysAreThoseMadeAnewWhateverCameInWhichOrder) {
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    SCOPED_TRACE(seed);
    std::mt19937_64 random(seed);
    const auto rows = OddRows(140, seed), other = OddRows(140, seed + 100);
    Table table;
    for (std::size_t step = 0; step < 120; ++step) {
      std::vector<CaseRow> come;
      std::vector<std::string> go;
      for (std::size_t i = random() % 4; i > 0; --i) {
        const std::size_t at = random() % rows.size();
        const CaseRow& row = random() % 2 == 0 ? rows[at] : other[at];  // an amendment may lie on another day
        if (std::ranges::none_of(come, [&](const CaseRow& each) { return each.id == row.id; })) come.push_back(row);
      }
      if (random() % 4 == 0 && !table.rows.empty()) {
        const std::string id = std::next(table.rows.begin(), static_cast<std::ptrdiff_t>(random() % table.rows.size()))->first;
        if (std::ranges::none_of(come, [&](const CaseRow& each) { return each.id == id; })) go.push_back(id);
      }
      ASSERT_NO_FATAL_FAILURE(table.Put(come, go));
    }
    table.DropEmpty();
    Table anew;
    ASSERT_NO_FATAL_FAILURE(anew.Put(RowsIn(table)));
    EXPECT_EQ(table.months, anew.months);
    ASSERT_EQ(table.days.size(), anew.days.size());
    for (const auto& [number, day] : anew.days) {
      EXPECT_EQ(table.days[number].letters, day.letters);
      EXPECT_EQ(table.days[number].ids, day.ids);
      EXPECT_EQ(table.days[number].known, day.known);
      EXPECT_EQ(IdsKnown(day.known), IdsOf(day.rows));
    }
    EXPECT_EQ(AuditJson(AuditOf(BookOf(table)), {}), AuditJson(RunAudit(RowsIn(table), {}), {}));
  }
}

TEST(Kept, PackedRowsComeBackAsTheyWentSoThatEverySliceIsTheSame) {
  const auto rows = OddRows(300, 9);
  Table table;
  ASSERT_NO_FATAL_FAILURE(table.Put(rows));
  PackedCases back;
  for (const auto& each : table.days) ASSERT_TRUE(TakeDay(each.second.rows, back));
  back.Sort();
  for (const Slice& slice : {Slice{}, Slice{.by = "AB"}, Slice{.vessel = "RCA", .j_cto_from = 2}, Slice{.strategy = "RW"}, Slice{.since = Instant{kLast.ms - 864'000'000}}, Slice{.first_attempts = true}}) {
    EXPECT_EQ(AuditJson(RunAudit(back, slice), slice), AuditJson(RunAudit(rows, slice), slice));
  }
}

TEST(Kept, ABookTakesRowsFromElsewhereAndLeavesSomeOut) {
  auto rows = OddRows(200, 3);
  Table table;
  ASSERT_NO_FATAL_FAILURE(table.Put({rows.begin(), rows.begin() + 150}));
  RowsOutIn change{{rows[0], rows[7]}, {rows.begin() + 150, rows.end()}};
  AuditBook book = BookOf(table);
  for (const std::int64_t day : DaysTouched(change)) {
    if (table.days.contains(day)) book.days[day] = table.days[day];
  }
  ASSERT_TRUE(ChangeBook(book, change));
  rows.erase(rows.begin() + 7), rows.erase(rows.begin());
  EXPECT_EQ(AuditJson(AuditOf(book), {}), AuditJson(RunAudit(rows, {}), {}));
}

TEST(Kept, NothingKeptIsTheAuditOfNoCase) {
  EXPECT_EQ(AuditJson(AuditOf(AuditBook{}), {}), AuditJson(RunAudit(std::vector<CaseRow>{}, {}), {}));
  EXPECT_EQ(SumsText(AuditSums{}), "");
}

// Bad input: what is cut short, changed or strange is refused, never read beyond.
TEST(Kept, WhatIsDamagedIsRefused) {
  Table table;
  ASSERT_NO_FATAL_FAILURE(table.Put(OddRows(12, 5)));
  std::mt19937_64 random(8);
  const std::string sums = table.months.begin()->second, rows = table.days.begin()->second.rows, known = table.days.begin()->second.known;
  const auto read_all = [](const std::string& text) {
    KnownDay day(text);
    while (day.Next()) {}
    return !day.failed();
  };
  EXPECT_TRUE(read_all(known));
  for (std::size_t size = 1; size + 1 < known.size(); size += 3) EXPECT_FALSE(read_all(known.substr(0, size)));
  for (int trial = 0; trial < 1'000; ++trial) {
    std::string changed = known;
    changed[random() % changed.size()] = "Aa+/9"[random() % 5];
    read_all(changed);  // may be read as another number; must come back
  }
  EXPECT_FALSE(ReadSums("no base64!"));
  EXPECT_FALSE(ReadSums("AAAA"));  // of another program
  for (std::size_t size = 1; size + 1 < sums.size(); size += 3) EXPECT_FALSE(ReadSums(sums.substr(0, size)));
  for (std::size_t size = 1; size + 1 < rows.size(); size += 3) {
    PackedCases to;
    EXPECT_FALSE(TakeDay(std::string_view(rows).substr(0, size), to));
  }
  for (int trial = 0; trial < 2'000; ++trial) {
    std::string changed = trial % 2 == 0 ? sums : rows;
    changed[random() % changed.size()] = "Aa+/9"[random() % 5];
    PackedCases to;
    if (trial % 2 == 0) ReadSums(changed);  // may be read as another number; must come back
    else TakeDay(changed, to);
  }
  std::map<std::int64_t, DayText> days = {{DayNumber(kLast), {"a", "x\n", "AAAA", "AAAA"}}};
  std::map<int, std::string> months;
  CaseRow row = OddRows(1, 1).front();
  row.began = kLast;
  EXPECT_FALSE(ChangeKept({{}, {row}}, days, months));
}

// RFC 4648 section 10 gives these (there with padding).
TEST(Kept, BytesAreBase64) {
  const std::pair<const char*, const char*> kPairs[] = {{"f", "Zg"}, {"fo", "Zm8"}, {"foo", "Zm9v"}, {"foob", "Zm9vYg"}, {"fooba", "Zm9vYmE"}, {"foobar", "Zm9vYmFy"}};
  for (const auto& [bytes, text] : kPairs) {
    BytesOut out;
    for (const char* c = bytes; *c != '\0'; ++c) out.Whole(static_cast<std::uint64_t>(*c));
    EXPECT_EQ(out.AsText(), text);
  }
}

TEST(Kept, FiguresComeBackBitForBit) {
  std::mt19937_64 random(2);
  std::vector<double> figures = {0, 0.5, 1e-3, 0.1, 1.0 / 3, 1e300, 1e12, -1, 5e-324, 123456.789};
  for (int i = 0; i < 1'000; ++i) figures.push_back(static_cast<double>(random() % 1'000'000) / (1 + static_cast<double>(random() % 1'000)));
  BytesOut out;
  for (const double each : figures) out.Figure(each), out.Figure(static_cast<float>(each)), out.Signed(static_cast<std::int64_t>(random()));
  out.Figure(std::numeric_limits<double>::quiet_NaN());
  BytesIn in(out.AsText());
  for (const double each : figures) {
    EXPECT_EQ(in.Figure(), each);
    EXPECT_EQ(in.FloatFigure(), static_cast<float>(each));
    in.Signed();
  }
  EXPECT_TRUE(std::isnan(in.Figure()));
  EXPECT_TRUE(in.AtEnd() && !in.failed());
}

TEST(Kept, DaysAndMonthsAreThoseOfTheCalendar) {
  EXPECT_EQ(DayNumber(Instant{0}), 0);
  EXPECT_EQ(DayNumber(Instant{-1}), -1);
  EXPECT_EQ(DayNumber(Instant{-86'400'000}), -1);
  EXPECT_EQ(DayNumber(ParseIso("2000-03-01T23:59:59Z").value()), 11'017);  // 30 years of 365 days, 7 leap days before 2000, and 60 days
  EXPECT_EQ(MonthNumber(ParseIso("2000-03-01T00:00:00Z").value()), 24'002);
}

}  // namespace
}  // namespace fairlead
