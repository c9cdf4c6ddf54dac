// SPDX-License-Identifier: Apache-2.0
#include "practice/registry/registry.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "casebook/fact.h"
#include "practice/audit/invented.h"

namespace fairlead {
namespace {

LabVisit VisitAt(const std::string& id, const char* began) {
  LabVisit visit;
  visit.row.id = visit.case_id = id;
  visit.row.began = ParseIso(began).value();
  return visit;
}

TEST(Registry, RowFactsAreNamesOfTheDictionary) {
  ASSERT_EQ(RowFacts().size(), 19u);
  for (const RowFactKind& kind : RowFacts()) EXPECT_NE(FindFact(kind.name), nullptr) << kind.name;
}

TEST(Registry, FactsOfARowReadBack) {
  const char* text = R"({"cases":[{"case":"a","began":"2026-01-02T08:00:00.000Z","by":"","vessel":"","tries":[],"facts":{"age_years":71.0,"prior_cabg":false,"stump_angio":"blunt"}}]})";
  const auto rows = ParseCaseRows(text);
  ASSERT_TRUE(rows.ok()) << Sentence(rows.error());
  EXPECT_EQ(std::get<double>((*rows)[0].facts.at("age_years")), 71.0);
  EXPECT_EQ(CaseRowsJson(*rows), text);
  const auto refused = [](const char* facts) {
    const auto read = ParseCaseRows(R"({"cases":[{"case":"a","began":"2026-01-02T08:00:00Z","facts":)" + std::string(facts) + "}]}");
    return read.ok() ? std::string() : Sentence(read.error());
  };
  EXPECT_NE(refused(R"({"shoe_size": 44})").find("shoe_size"), std::string::npos);
  EXPECT_NE(refused(R"({"age_years": 400})").find("age_years"), std::string::npos);
  EXPECT_NE(refused(R"({"stump_angio": "soft"})").find("stump_angio"), std::string::npos);
  EXPECT_FALSE(refused("3").empty());
}

TEST(Registry, ACaseThatWasImportedToo) {
  Registry registry;
  LabVisit own = VisitAt("a", "2026-05-01T08:00:00Z");
  own.row.success = true;
  AddVisits(registry, "a", {{own}, {}});
  std::vector<CaseRow> past(2);
  past[0].id = "a", past[0].success = false;
  past[1].id = "b";
  const auto rows = RowsTogether(past, registry);
  ASSERT_EQ(rows.size(), 2u);
  EXPECT_EQ(rows[0].success, true);  // the journal's word counts
  EXPECT_EQ(rows[1].id, "b");
}

TEST(Registry, VisitsStandInTheOrderInWhichTheyBegan) {
  Registry registry;
  for (const char* began : {"2026-05-03T08:00:00Z", "2026-05-01T08:00:00Z", "2026-05-02T08:00:00Z"}) {
    AddVisits(registry, began, {{VisitAt(began, began)}, {}});
  }
  EXPECT_EQ(registry.visits[0].row.id, "2026-05-01T08:00:00Z");
  EXPECT_EQ(registry.visits[2].row.id, "2026-05-03T08:00:00Z");
}

// RFC 4180: quotes doubled, cells with commas, quotes or line ends quoted, lines end with CR LF.
TEST(Registry, TablesAreCsvThatASpreadsheetCannotMistake) {
  const RegistryTable table{"t", {"a", "b"}, {{"1,5", "say \"no\""}, {"=1+1", "-2.5"}, {"@x", "two\nlines"}}};
  EXPECT_EQ(CsvText(table), "a,b\r\n\"1,5\",\"say \"\"no\"\"\"\r\n'=1+1,-2.5\r\n'@x,\"two\nlines\"\r\n");
}

TEST(Registry, EveryColumnIsInTheDictionaryAndEveryRowAsLongAsItsHead) {
  Registry registry;
  LabVisit visit = VisitAt("a", "2026-05-01T08:00:00Z");
  visit.attempts.resize(1), visit.devices.resize(1), visit.troubles.resize(1);
  AddVisits(registry, "a", {{visit}, {}});
  const auto tables = TablesOf(registry);
  ASSERT_EQ(tables.size(), 5u);
  const RegistryTable& dictionary = tables.back();
  for (const RegistryTable& table : tables) {
    for (const auto& row : table.rows) EXPECT_EQ(row.size(), table.head.size()) << table.name;
    if (&table == &dictionary) continue;
    EXPECT_EQ(table.rows.size(), 1u) << table.name;
    for (const std::string& column : table.head) {
      EXPECT_TRUE(std::any_of(dictionary.rows.begin(), dictionary.rows.end(), [&](const auto& row) { return row[0] == table.name && row[1] == column && !row[3].empty(); }))
          << table.name << "." << column;
    }
  }
}

}  // namespace
}  // namespace fairlead
