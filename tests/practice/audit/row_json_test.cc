// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include <random>

#include "practice/audit/invented.h"
#include "practice/audit/row.h"
#include "practice/audit/row_scan.h"

namespace fairlead {
namespace {

TEST(CaseRows, ReadBackWhatWasWritten) {
  const auto rows = InventPastCases({.cases = 40, .last = ParseIso("2026-11-20T09:00:00Z").value()});
  const auto read = ParseCaseRows(CaseRowsJson(rows));
  ASSERT_TRUE(read.ok()) << Sentence(read.error());
  EXPECT_EQ(CaseRowsJson(*read), CaseRowsJson(rows));
}

TEST(CaseRows, KeepUnknownApartFromNo) {
  const auto read = ParseCaseRows(R"({"cases": [{"case": "a", "began": "2026-01-02T08:00:00Z", "success": null}, {"case": "b", "began": "2026-01-03T08:00:00Z", "success": false}]})");
  ASSERT_TRUE(read.ok()) << Sentence(read.error());
  EXPECT_FALSE((*read)[0].success.has_value());
  EXPECT_EQ((*read)[1].success, false);
}

TEST(CaseRows, RefuseWithTheCaseAndTheMember) {
  const struct { const char* text; const char* where; } rows[] = {
      {R"({"cases": [{"case": "a", "began": "yesterday"}]})", "cases[0].began"},
      {R"({"cases": [{"case": "a", "began": "2026-01-02T08:00:00Z", "j_cto": 6}]})", "cases[0].j_cto"},
      {R"({"cases": [{"case": "a", "began": "2026-01-02T08:00:00Z", "success": 1}]})", "cases[0].success"},
      {R"({"cases": [{"case": "a", "began": "2026-01-02T08:00:00Z", "minutes": 1e9}]})", "cases[0].minutes"},
      {R"({"cases": 3})", "cases"},
      {"[]", "the rows"},
      {"{", "the rows"},
  };
  for (const auto& row : rows) {
    const auto read = ParseCaseRows(row.text);
    ASSERT_FALSE(read.ok()) << row.text;
    EXPECT_NE(Sentence(read.error()).find(row.where), std::string::npos) << Sentence(read.error());
  }
  EXPECT_FALSE(ParseCaseRows(std::string(200, '[')).ok());
}

// The quick reader takes what the program writes, and never takes a text otherwise than the reader of any text does.
TEST(CaseRows, ReadQuicklyAreReadAlike) {
  const Instant last = ParseIso("2026-11-20T09:00:00Z").value();
  const auto rows = InventPastCases({.seed = 12, .cases = 60, .more_tries = 3, .last = last});
  std::mt19937_64 random(6);
  for (const CaseRow& row : rows) {
    const std::string text = CaseRowsJson({row});
    const auto quick = ScanCaseRow(text);
    ASSERT_TRUE(quick) << text;
    EXPECT_EQ(CaseRowsJson({*quick}), text);
    for (int trial = 0; trial < 300; ++trial) {
      std::string changed = text;
      const std::size_t at = random() % changed.size();
      switch (random() % 4) {
        case 0: changed[at] = "0123456789.-+eE\",:{}[]\\tfnx \x80"[random() % 29]; break;
        case 1: changed.erase(at, 1 + random() % 3); break;
        case 2: changed.insert(at, 1, "0159.-e\","[random() % 9]); break;
        default: changed.insert(at, changed.substr(random() % changed.size(), random() % 30)); break;
      }
      const auto found = ScanCaseRow(changed);
      if (!found) continue;
      const auto slow = ParseCaseRows(changed);
      ASSERT_TRUE(slow.ok()) << changed;
      EXPECT_EQ(CaseRowsJson({*found}), CaseRowsJson(*slow)) << changed;
    }
  }
  EXPECT_FALSE(ScanCaseRow(""));
  EXPECT_FALSE(ScanCaseRow(R"({"cases":[]})"));
  EXPECT_FALSE(ScanCaseRow(R"({"cases":[{"case":"a","began":"2026-01-01T00:00:00.000Z","by":"\u00e4","vessel":"","tries":[]}]})"));  // for the other reader
}

}  // namespace
}  // namespace fairlead
