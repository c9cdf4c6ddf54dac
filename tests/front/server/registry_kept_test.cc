// SPDX-License-Identifier: Apache-2.0
#include "front/server/registry_kept.h"

#include <gtest/gtest.h>

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <filesystem>
#include <random>

#include "front/server/past_book.h"
#include "keeping/registry/outbox.h"
#include "practice/audit/invented.h"

namespace fairlead {
namespace {

LabVisit VisitNamed(const std::string& id, std::int64_t seq) {
  LabVisit visit;
  visit.case_id = visit.row.id = id, visit.seq = seq;
  visit.row.began = ParseIso("2026-05-01T08:30:00Z").value();
  visit.row.by = "AB", visit.row.vessel = "RCA", visit.row.j_cto = 4, visit.row.success = true;
  visit.row.tries = {{"AW", 12, false}, {"RDR", 40, true}};
  return visit;
}

class DataFolder {
 public:
  DataFolder() {
    char name[] = "/tmp/fairlead-kept-XXXXXX";
    path = ::mkdtemp(name);
  }
  ~DataFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path, ignored);
  }
  std::filesystem::path path;
};

TEST(KeptRegistry, RowsComeBackAsTheyWentAndAddToTheirSum) {
  const KeptRow kept = KeptRowOf(VisitNamed("a", 7));
  const auto row = CaseRowOf(kept);
  ASSERT_TRUE(row);
  EXPECT_EQ(CaseRowsJson({*row}), CaseRowsJson({VisitNamed("a", 7).row}));
  const auto sums = SumsOfKept(kept);
  ASSERT_EQ(sums.size(), 1u);
  EXPECT_EQ(sums[0].year, 2026);
  EXPECT_EQ(sums[0].strategy, "AW");
  EXPECT_EQ(sums[0].difficulty, 3);  // 3 or more
  EXPECT_EQ(sums[0].successes, 1);
  EXPECT_EQ(sums[0].complication_entries, 0);
}

TEST(KeptRegistry, LeavesOperatorAndHourAtHome) {
  const KeptRow leaving = LeavingRow(KeptRowOf(VisitNamed("a", 7)));
  EXPECT_EQ(leaving.body.find("AB"), std::string::npos);
  EXPECT_EQ(leaving.body.find("08:30"), std::string::npos);
  EXPECT_EQ(ToIso(leaving.began), "2026-05-01T00:00:00.000Z");
  EXPECT_EQ(CaseRowOf(leaving)->vessel, "RCA");
}

TEST(KeptRegistry, IsWrittenOnceForEachEntryAndTakesOutWhatIsGone) {
  DataFolder data;
  auto own = OpenOwnRegistry(data.path);
  ASSERT_TRUE(own.ok()) << Sentence(own.error());
  Registry registry;
  registry.visits = {VisitNamed("a", 7), VisitNamed("b", 3)};
  EXPECT_EQ(KeepRegistry(**own, registry).value(), 2u);
  EXPECT_EQ(KeepRegistry(**own, registry).value(), 0u);  // nothing new
  registry.visits[0].seq = 9, registry.visits[0].row.success = false;
  EXPECT_EQ(KeepRegistry(**own, registry).value(), 1u);
  registry.visits.pop_back();
  EXPECT_EQ(KeepRegistry(**own, registry).value(), 1u);  // b is gone
  EXPECT_EQ((*own)->Rows("").value().size(), 1u);
  const auto sums = (*own)->Sums("").value();
  ASSERT_EQ(sums.size(), 1u);
  EXPECT_EQ(sums[0].cases, 1);
  EXPECT_EQ(sums[0].successes, 0);
  EXPECT_EQ((*own)->CountWaiting().value(), 4);
}

// A copy holds the cases from before too: losing the folder then loses neither.
TEST(KeptRegistry, ACopyHoldsTheImportedCasesTooAndBringsBothBack) {
  DataFolder from, to;
  auto own = OpenOwnRegistry(from.path);
  ASSERT_TRUE(own.ok());
  ASSERT_TRUE((*own)->Put({KeptRowOf(VisitNamed("a", 7))}).ok());
  CaseRow before = VisitNamed("long-ago", 0).row;
  ASSERT_TRUE(ImportPast(from.path, {before}, Instant{1'000}).ok());
  const std::string file = (from.path / "copy.jsonl").string();
  const auto copy = BackUpKeptRows(from.path, file);
  ASSERT_TRUE(copy.ok()) << Sentence(copy.error());
  EXPECT_EQ(copy->rows, 2U);
  const auto back = RestoreKeptRows(to.path, file);
  ASSERT_TRUE(back.ok()) << Sentence(back.error());
  const auto past = ImportedPast(to.path);
  ASSERT_TRUE(past.ok());
  ASSERT_EQ(past->size(), 1U);
  EXPECT_EQ(CaseRowsJson(*past), CaseRowsJson({before}));
  auto restored = OpenOwnRegistry(to.path);
  ASSERT_TRUE(restored.ok());
  EXPECT_EQ((*restored)->Rows("").value().size(), 1U);
}

TEST(KeptRegistry, AnAddressThatIsNoneIsRefusedInOneSentence) {
  const auto none = OpenSharedRegistry("https://example.org/registry");
  ASSERT_FALSE(none.ok());
  EXPECT_NE(Sentence(none.error()).find("postgresql://"), std::string::npos);
}

TEST(PastCases, ImportedComeBackOnceEachTheLaterImportCounts) {
  DataFolder data;
  EXPECT_TRUE(ImportedPast(data.path).value().empty());
  CaseRow one = VisitNamed("a", 1).row, two = VisitNamed("b", 1).row;
  const std::string before = PastStamp(data.path);
  EXPECT_EQ(ImportPast(data.path, {one, two}, Instant{1000}).value(), 2u);
  EXPECT_NE(PastStamp(data.path), before);
  one.success = false;
  EXPECT_EQ(ImportPast(data.path, {one}, Instant{2000}).value(), 1u);
  EXPECT_EQ(ImportPast(data.path, {two}, Instant{500}).value(), 0u);  // of an older import
  const auto rows = ImportedPast(data.path).value();
  ASSERT_EQ(rows.size(), 2u);
  EXPECT_EQ(rows[0].success, false);
  EXPECT_EQ(rows[1].success, true);
}

// --- What an audit reads in place of the rows.
std::vector<CaseRow> Invented(std::size_t cases, std::uint64_t seed) {
  return InventPastCases({.seed = seed, .cases = cases, .drift_from = cases / 2, .last = ParseIso("2026-10-26T08:00:00Z").value()});
}

std::string KeptText(const std::filesystem::path& data) {
  auto store = OpenPast(data).value();
  const KeptPacks packs = store->Packs(kPastLab, {}).value();
  std::string text;
  for (const auto& each : packs.months) text += each.second.empty() ? "" : std::to_string(each.first) + each.second + '\n';
  for (const auto& each : packs.days) text += each.second.ids.empty() ? "" : std::to_string(each.first) + each.second.letters + each.second.ids + '\n';
  return text;
}

TEST(KeptAudit, IsTheAuditOfAllRowsFromWhereverTheyCome) {
  DataFolder data;
  auto imported = Invented(150, 3), listed = Invented(160, 4);
  listed.erase(listed.begin(), listed.begin() + 140);  // ten of them are imported as well, and count as imported
  Registry registry;
  registry.visits = {VisitNamed("a", 7), VisitNamed(imported[5].id, 9)};  // and one as the journal has it
  for (const bool first : {true, false}) {
    for (const Slice& slice : {Slice{}, Slice{.by = "AB"}, Slice{.since = ParseIso("2026-01-01T00:00:00Z").value()}, Slice{.vessel = "RCA", .first_attempts = true}}) {
      const auto past = PastBook::Read(data.path, registry, listed);
      ASSERT_TRUE(past.ok()) << Sentence(past.error());
      const auto audit = past->AuditIn(slice);
      ASSERT_TRUE(audit.ok()) << Sentence(audit.error());
      auto both = first ? std::vector<CaseRow>{} : imported;
      both.insert(both.end(), listed.begin(), listed.end());
      EXPECT_EQ(AuditJson(*audit, slice), AuditJson(RunAudit(RowsTogether(both, registry), slice), slice));
    }
    const auto past = PastBook::Read(data.path, registry, listed);
    ASSERT_TRUE(past.ok()) << Sentence(past.error());
    auto all = first ? std::vector<CaseRow>{} : imported;
    all.insert(all.end(), listed.begin(), listed.end());
    CaseRow plan = imported[30];
    plan.id = "plan";
    const auto like = past->Like(plan, 12);
    ASSERT_TRUE(like.ok()) << Sentence(like.error());
    EXPECT_EQ(LikeJson(*like), LikeJson(CasesLike(plan, RowsTogether(all, registry), 12)));
    if (!first) continue;
    const auto put = ImportPast(data.path, imported, Instant{1});
    ASSERT_TRUE(put.ok());
  }
}

// A property: imported in any order, some again as something else, it is what a rebuild makes.
TEST(KeptAudit, KeptRowByRowIsWhatARebuildMakes) {
  DataFolder data;
  auto rows = Invented(120, 5);
  const auto amended = Invented(120, 6);
  std::shuffle(rows.begin(), rows.end(), std::mt19937_64(2));
  std::int64_t at = 0;
  for (std::size_t i = 0; i < rows.size(); i += 8) ASSERT_TRUE(ImportPast(data.path, {rows.begin() + static_cast<std::ptrdiff_t>(i), rows.begin() + static_cast<std::ptrdiff_t>(i + 8)}, Instant{++at}).ok());
  ASSERT_TRUE(ImportPast(data.path, {amended.begin(), amended.begin() + 30}, Instant{++at}).ok());
  auto store = OpenPast(data.path).value();
  std::vector<KeptRow> gone;
  for (std::size_t i = 40; i < 50; ++i) gone.push_back({kPastLab, amended[i].id, at + 1, {}, {}});
  ASSERT_TRUE(store->Put(gone).ok());
  const std::string kept = KeptText(data.path);
  ASSERT_TRUE(store->RebuildSums().ok());
  EXPECT_EQ(KeptText(data.path), kept);
  EXPECT_EQ(AuditOfStore(*store, kPastLab, {})->cases, 110U);
}

// Killed at any moment while it writes, once it has written: what is kept is what the rows there make.
TEST(KeptAudit, SurvivesBeingKilledWhileItWrites) {
  DataFolder data;
  const auto rows = Invented(400, 7);
  ASSERT_TRUE(ImportPast(data.path, {rows.begin(), rows.begin() + 5}, Instant{1}).ok());
  std::size_t before = 0;
  for (unsigned trial = 0; trial < 6; ++trial) {
    std::array<int, 2> said{};
    ASSERT_EQ(::pipe(said.data()), 0);
    const pid_t child = ::fork();
    if (child == 0) {
      for (std::size_t i = 0;; i = (i + 1) % rows.size()) {
        ImportPast(data.path, {rows[i]}, Instant{static_cast<std::int64_t>(10 + trial)}).ok();
        if (::write(said[1], "r", 1) != 1) ::_exit(1);
      }
    }
    std::array<char, 1> row{};
    for (int written = 0; written < 7; ++written) ASSERT_EQ(::read(said[0], row.data(), 1), 1);
    ::usleep(7'000 * trial);
    ::kill(child, SIGKILL);
    ::waitpid(child, nullptr, 0);
    ::close(said[0]);
    ::close(said[1]);
    const std::string kept = KeptText(data.path);
    auto store = OpenPast(data.path).value();
    ASSERT_TRUE(store->RebuildSums().ok());
    EXPECT_EQ(KeptText(data.path), kept) << trial;
    before = std::max(before, AuditOfStore(*store, kPastLab, {})->cases);
  }
  EXPECT_GT(before, 5U);  // it did write
}

}  // namespace
}  // namespace fairlead
