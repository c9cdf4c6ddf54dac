// SPDX-License-Identifier: Apache-2.0
// Distances are worked out by hand beside each check, from the stated weights (which are practice, no source).
#include "practice/similar/similar.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cstddef>
#include <initializer_list>
#include <iostream>
#include <map>
#include <random>
#include <set>

#include "casebook/fact.h"
#include "practice/audit/invented.h"
#include "practice/audit/kept.h"
#include "tests/slowed.h"

namespace fairlead {
namespace {

const Instant kLast = ParseIso("2026-11-20T09:00:00Z").value();

using RowFactMap = decltype(CaseRow::facts);

CaseRow Row(const std::string& id, RowFactMap facts, std::optional<int> j_cto = {}, std::string vessel = {}) {
  CaseRow row;
  row.id = id, row.began = kLast, row.facts = std::move(facts), row.j_cto = j_cto, row.vessel = std::move(vessel);
  return row;
}

TEST(Distances, AreTheWeightedMeanOverWhatBothKnow) {
  const CaseRow a = Row("a", {{"length_angio_mm", 30.0}, {"stump_angio", std::string("blunt")}, {"prior_cabg", true}, {"ostial", false}}, {}, "RCA");
  const CaseRow b = Row("b", {{"length_angio_mm", 15.0}, {"stump_angio", std::string("blunt")}, {"prior_cabg", false}, {"lvef_pct", 55.0}}, {}, "RCA");
  const CaseDistance found = DistanceBetween(a, b);
  // vessel 2 x 0, length 2 x 15/30, stump 2 x 0, earlier bypass 1 x 1: 2 of 7; ostial and ejection fraction are known of one only.
  EXPECT_NEAR(found.apart, 2.0 / 7, 1e-12);
  EXPECT_NEAR(found.compared, 7.0 / 22.5, 1e-12);  // all weights together are 22.5
  ASSERT_EQ(found.parts.size(), 4u);
  EXPECT_EQ(found.parts[0].name, "length_angio_mm");
  EXPECT_EQ(found.parts[0].here, "30");
  EXPECT_EQ(found.parts[0].there, "15");
}

TEST(Distances, GradesAreStepsOfTheirOrder) {
  const auto calcium = [](const char* grade) { return Row(grade, {{"calcification_angio", std::string(grade)}}); };
  // none, mild, moderate, severe: three steps.
  EXPECT_NEAR(DistanceBetween(calcium("none"), calcium("moderate")).apart, 2.0 / 3, 1e-12);
  EXPECT_NEAR(DistanceBetween(calcium("severe"), calcium("none")).apart, 1.0, 1e-12);
}

TEST(Distances, TheTotalStandsInForItemsThatCannotBeCompared) {
  // Vessel 2 x 0; five items weigh 2 + 2 + 2 + 1 + 1 = 8, none can be compared: J-CTO 8 x 2/3.
  EXPECT_NEAR(DistanceBetween(Row("a", {}, 3, "LAD"), Row("b", {}, 1, "LAD")).apart, 8 * (2.0 / 3) / 10, 1e-12);
  // With all five items known the total says nothing more.
  const RowFactMap items = {{"length_angio_mm", 10.0}, {"stump_angio", std::string("blunt")}, {"calcification_angio", std::string("none")},
                                                {"bend_angio_deg", 10.0}, {"previous_failed_attempts", 0.0}};
  EXPECT_EQ(DistanceBetween(Row("a", items, 1), Row("b", items, 4)).apart, 0.0);
}

TEST(Distances, KeepTheLawsOfADistanceAndExplainThemselves) {
  const auto rows = InventPastCases({.seed = 5, .cases = 60, .last = kLast});
  for (std::size_t i = 0; i < rows.size(); ++i) {
    EXPECT_EQ(DistanceBetween(rows[i], rows[i]).apart, 0.0);
    for (std::size_t j = 0; j < i; ++j) {
      const CaseDistance there = DistanceBetween(rows[i], rows[j]), back = DistanceBetween(rows[j], rows[i]);
      EXPECT_DOUBLE_EQ(there.apart, back.apart);
      EXPECT_GE(there.apart, 0.0);
      EXPECT_LE(there.apart, 1.0 + 1e-12);
      double sum = 0;
      for (const FactApart& part : there.parts) sum += part.share;
      EXPECT_NEAR(sum, there.apart, 1e-12);
    }
  }
}

TEST(Distances, EveryWeightIsOfAFactThatRowsKeep) {
  for (const SimilarWeight& weight : SimilarWeights()) {
    EXPECT_TRUE(weight.name == "vessel" || weight.name == "j_cto" || FindRowFact(weight.name) != nullptr) << weight.name;
    const FactRow* row = FindFact(weight.name);
    const bool number = weight.name == "j_cto" || (row != nullptr && (row->type == FactType::kReading || row->type == FactType::kCount));
    EXPECT_EQ(weight.apart > 0, number) << weight.name;
  }
  // Kept for the scores alone: crossability and proximal tortuosity stand for two of them already; sex says nothing of the way.
  const std::set<std::string_view> not_compared = {"rentrop", "sex", "tortuosity_weighted_score"};
  for (const RowFactKind& kind : RowFacts()) {
    const bool weighed = std::ranges::find(SimilarWeights(), kind.name, &SimilarWeight::name) != SimilarWeights().end();
    EXPECT_NE(weighed, not_compared.contains(kind.name)) << kind.name;
  }
}

// Against sorting everything: the ten named are the ten nearest, ties by id.
TEST(LikeCases, AreTheNearestOfAll) {
  const auto rows = InventPastCases({.seed = 9, .cases = 300, .last = kLast});
  const LikeAnswer found = CasesLike(rows[17], rows, 10);
  std::vector<std::pair<double, std::string>> all;
  for (const CaseRow& row : rows) {
    const CaseDistance distance = DistanceBetween(rows[17], row);
    if (row.id != rows[17].id && distance.compared >= kLeastCompared) all.emplace_back(distance.apart, row.id);
  }
  std::sort(all.begin(), all.end());
  ASSERT_EQ(found.cases.size(), 10u);
  for (std::size_t i = 0; i < 10; ++i) {
    EXPECT_EQ(found.cases[i].row.id, all[i].second);
    EXPECT_EQ(found.cases[i].distance.apart, all[i].first);
  }
  EXPECT_EQ(found.asked_of, 299u);
  EXPECT_EQ(found.near, static_cast<std::size_t>(std::count_if(all.begin(), all.end(), [](const auto& each) { return each.first <= kNear; })));
}

TEST(LikeCases, SayWhatWasDoneAndWhatHappenedWithTheirCounts) {
  std::vector<CaseRow> rows;
  for (int i = 0; i < 4; ++i) rows.push_back(Row("p" + std::to_string(i), {}, 2, "LAD"));
  rows[0].success = true, rows[1].success = true, rows[2].success = false;  // the last has no outcome
  rows[0].tries = {{"AW", 10, true}}, rows[1].tries = {{"AW", 30, false}, {"RW", 40, true}}, rows[2].tries = {{"ADR", 20, false}};
  const LikeAnswer found = CasesLike(Row("plan", {}, 2, "LAD"), rows);
  ASSERT_TRUE(found.success);
  EXPECT_EQ(found.success->count.events, 2);
  EXPECT_EQ(found.success->count.cases, 3);
  EXPECT_NEAR(found.success->interval.low, 0.2076596, 1e-7);  // Wilson 2 of 3, from the closed form by hand
  EXPECT_NEAR(found.success->interval.high, 0.9385081, 1e-7);
  EXPECT_FALSE(found.complication);  // nobody wrote one down
  ASSERT_EQ(found.by_first.size(), 2u);
  EXPECT_EQ(found.by_first[0].strategy, "ADR");  // by name
  EXPECT_EQ(found.by_first[1].cases, 2u);
  EXPECT_EQ(found.by_first[1].crossed_first, 1u);
  EXPECT_EQ(found.by_first[1].minutes.middle, 20.0);
  EXPECT_TRUE(std::ranges::any_of(found.says, [](const std::string& line) { return line.find("So few cases") != std::string::npos; }));
  EXPECT_TRUE(std::ranges::any_of(found.says, [](const std::string& line) { return line.find("no comparison of strategies") != std::string::npos; }));
}

TEST(LikeCases, NeverContainTheCaseItselfItsLaterVisitsOrTheFuture) {
  std::vector<CaseRow> rows = {Row("x", {}, 2, "LAD"), Row("x/2", {}, 2, "LAD"), Row("y", {}, 2, "LAD"), Row("z", {}, 2, "LAD")};
  rows[3].began = {kLast.ms + 1000};
  const LikeAnswer found = CasesLike(rows[0], rows, 10, Instant{kLast.ms + 1});
  ASSERT_EQ(found.cases.size(), 1u);
  EXPECT_EQ(found.cases[0].row.id, "y");
}

TEST(LikeCases, SayWhenThereIsNothingToSay) {
  EXPECT_EQ(CasesLike(Row("x", {}), {}).says.at(0), "There is no past case yet.");
  const std::vector<CaseRow> rows = {Row("y", {}, {}, "LAD")};
  const LikeAnswer unknown = CasesLike(Row("x", {}, {}, "LAD"), rows);  // the vessel alone is no comparison
  EXPECT_EQ(unknown.too_little, 1u);
  EXPECT_TRUE(unknown.cases.empty());
  const std::vector<CaseRow> far = {Row("y", {}, 5, "LAD")};
  EXPECT_EQ(CasesLike(Row("x", {}, 0, "RCA"), far).near, 0u);
}

// Rows of which much is unknown, with every word that a grade may have, "unseen" among them.
std::vector<CaseRow> GappedRows(std::size_t cases, std::uint64_t seed) {
  auto rows = InventPastCases({.seed = seed, .cases = cases, .last = kLast});
  std::mt19937_64 random(seed);
  for (CaseRow& row : rows) {
    for (const RowFactKind& kind : RowFacts()) {
      const auto draw = random() % 4;
      if (draw == 0) row.facts.erase(std::string(kind.name));
      if (draw == 1 && !kind.words.empty()) row.facts[std::string(kind.name)] = std::string(kind.words[random() % kind.words.size()]);
      if (draw == 1 && kind.words.empty() && kind.high > kind.low) row.facts[std::string(kind.name)] = kind.low + (kind.high - kind.low) * static_cast<double>(random() % 977) / 977;
    }
    if (random() % 5 == 0) row.vessel.clear();
    if (random() % 5 == 0) row.j_cto.reset();
  }
  return rows;
}

// A property: compared as they are kept, without their text, it is the same distance to the last bit and the same answer.
TEST(LikeCases, AreTheSameFromWhatIsKeptBesideTheRows) {
  const auto rows = GappedRows(400, 11);
  for (std::size_t i = 1; i < rows.size(); ++i) {
    const CaseDistance slow = DistanceBetween(rows[i - 1], rows[i], false), quick = DistanceBetween(KnownOf(rows[i - 1]), KnownOf(rows[i]));
    ASSERT_EQ(slow.apart, quick.apart) << i;
    ASSERT_EQ(slow.compared, quick.compared) << i;
  }
  std::map<std::int64_t, DayText> days;
  std::map<int, std::string> months;
  ASSERT_TRUE(ChangeKept({{}, rows}, days, months));
  for (const std::size_t here : std::initializer_list<std::size_t>{0, 17, 399}) {
    LikeSearch search(rows[here], 12);
    for (std::size_t i = 0; i < 20; ++i) search.Take(rows[i]);
    std::set<std::string_view> taken;
    for (std::size_t i = 0; i < 20; ++i) taken.insert(rows[i].id);
    for (const auto& day : days) ASSERT_TRUE(search.TakeKept(day.second.known, taken));
    EXPECT_LE(search.Unread().size(), 12u);
    EXPECT_EQ(LikeJson(search.Answer(rows)), LikeJson(CasesLike(rows[here], rows, 12)));
  }
  LikeSearch damaged(rows[0], 12);
  EXPECT_FALSE(damaged.TakeKept("AAAA", {}));
}

// Measured at 0.31 s on a machine with ten compilers beside it.
TEST(LikeCases, AreFoundAmongAHundredThousandWhileOneWaits) {
  const auto rows = InventPastCases({.seed = 2, .cases = 100'000, .last = kLast});
  const auto start = std::chrono::steady_clock::now();
  const LikeAnswer found = CasesLike(rows[5], rows);
  const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  EXPECT_EQ(found.cases.size(), 10u);
  EXPECT_LT(seconds, kSlowed ? 20.0 : 2.0);
  RecordProperty("seconds", std::to_string(seconds));
  std::cout << "100,000 past cases: " << seconds << " s\n";
}

}  // namespace
}  // namespace fairlead
