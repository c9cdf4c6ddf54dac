// SPDX-License-Identifier: Apache-2.0
#include <gtest/gtest.h>

#include "practice/audit/invented.h"
#include "practice/audit/row.h"

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

}  // namespace
}  // namespace fairlead
