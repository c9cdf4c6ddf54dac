// SPDX-License-Identifier: Apache-2.0
// tests/journals/ keeps a journal of every release with the state it must fold to, for ever. They are never rewritten;
// tests/journals/README.md says how the next one is made.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>

#include "casebook/fold.h"
#include "tests/casebook/state_text.h"
#include "tests/keeping/journal/data_folder.h"

namespace fairlead {
namespace {

const std::filesystem::path kKept = std::filesystem::path(FAIRLEAD_TESTS_DIR) / "journals";

std::string StatesOf(const Journal& journal) {
  std::string states;
  for (const CaseLine& line : Must(journal.Cases())) {
    const auto report = Must(journal.Verify(line.id));
    EXPECT_TRUE(report.faults.empty()) << report.faults.front();
    states += "== " + line.id + ", last hash " + HexOf(report.head) + "\n" + StateText(Fold(Must(journal.Entries(line.id))));
  }
  return states;
}

class KeptJournal : public testing::TestWithParam<const char*> {};

TEST_P(KeptJournal, FoldsToItsKeptState) {
  const auto kept = kKept / GetParam();
  DataFolder folder;  // a copy: reading beside SQLite's log may write next to the file
  std::filesystem::copy_file(kept / "journal.sqlite", folder.file());
  auto journal = Must(OpenJournal(folder.path(), {Access::kReadOnly, {}, 0}));
  const std::string states = StatesOf(*journal);
  ASSERT_FALSE(states.empty());
  EXPECT_EQ(states, BytesOf(kept / "state.txt"));
}

INSTANTIATE_TEST_SUITE_P(EveryRelease, KeptJournal, testing::Values("0.0", "0.1"),
                         [](const auto& kept) { return kept.index == 0 ? "Release0_0" : "Release0_1"; });

TEST(KeptJournal, AnOldOneGoesOnInThePresentVersion) {
  DataFolder folder;
  std::filesystem::copy_file(kKept / "0.0" / "journal.sqlite", folder.file());
  const std::string before = BytesOf(folder.file());
  auto journal = Must(OpenJournal(folder.path(), Owning()));
  const auto entries = Must(journal->Entries("old"));
  const auto old_fact = std::find_if(entries.begin(), entries.end(), [](const Entry& e) { return e.kind == "fact" && e.v == 0; });
  ASSERT_NE(old_fact, entries.end());
  const std::string bytes = Must(journal->DataOf("old", old_fact->seq));
  EXPECT_NE(bytes.find("\"name\""), std::string::npos);  // lifted on reading, never rewritten
  Must(journal->Append("old", std::vector{MakeIncoming(Written(90001, std::get<FactStated>(old_fact->data), 60, old_fact->id))}));
  EXPECT_TRUE(Must(journal->Verify("old")).faults.empty());
  EXPECT_EQ(Must(journal->DataOf("old", old_fact->seq)), bytes);
}

// Run by hand at a release: FAIRLEAD_KEEP=folder test_keeping_journal --gtest_also_run_disabled_tests --gtest_filter=*Keeps*
TEST(KeptJournal, DISABLED_KeepsOneOfThePresentVersion) {
  const char* keep = std::getenv("FAIRLEAD_KEEP");
  ASSERT_NE(keep, nullptr);
  {
    auto journal = Must(OpenJournal(keep, Owning({}, 0)));
    Must(journal->NewCase("c1", AsIncoming(InventedCase(80, "kept journal"))));
    Must(journal->NewCase("c2", std::vector{MakeIncoming(Written(5000, CaseOpened{"invented, short", "lab 2", true})),
        MakeIncoming(Written(5001, LengthOf(22), 1)), MakeIncoming(Written(5002, LengthOf(23), 1, InventedId(5001))),
        MakeIncoming(Written(5003, NoteWritten{"for the wrong person"}, 2)), MakeIncoming(Written(5004, Withdrawn{"mistyped"}, 3, InventedId(5002))),
        MakeIncoming(Written(5005, Withdrawn{"it was right"}, 4, InventedId(5004))), MakeIncoming(Written(5006, Shown{"acceptance", "three scores"}, 5))}));
    Entry newer = Written(5007, NoteWritten{"x"}, 6);
    newer.kind = "hologram";
    Must(journal->Append("c2", std::vector{IncomingEntry{newer, R"({"beam": [1, 2]})"}}));
    Must(journal->StrikeOut("c2", 4, "wrong patient"));
    std::ofstream(std::filesystem::path(keep) / "state.txt") << StatesOf(*journal);
  }
  std::filesystem::remove(std::filesystem::path(keep) / "lock");
}

}  // namespace
}  // namespace fairlead
