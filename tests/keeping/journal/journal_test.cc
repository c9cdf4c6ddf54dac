// SPDX-License-Identifier: Apache-2.0
#include "keeping/journal/journal.h"

#include <gtest/gtest.h>
#include <sqlite3.h>
#include <sys/wait.h>
#include <unistd.h>

#include "casebook/fold.h"
#include "tests/casebook/state_text.h"
#include "tests/keeping/journal/data_folder.h"

namespace fairlead {
namespace {

std::string SentenceOf(const Error& error) { return Sentence(error); }

TEST(Journal, GivesBackWhatWasWritten) {
  DataFolder folder;
  const auto written = AsIncoming(InventedCase(50, "journal"));
  auto journal = Must(OpenJournal(folder.path(), Owning()));
  const auto receipts = Must(journal->NewCase("c1", written));
  ASSERT_EQ(receipts.size(), 50u);
  const auto entries = Must(journal->Entries("c1"));
  ASSERT_EQ(entries.size(), 50u);
  for (std::size_t i = 0; i < entries.size(); ++i) {
    EXPECT_EQ(entries[i].seq, static_cast<std::int64_t>(i) + 1);
    EXPECT_EQ(entries[i].hash, receipts[i].hash);
    EXPECT_EQ(entries[i].prev, i == 0 ? Hash{} : entries[i - 1].hash);
    EXPECT_EQ(entries[i].case_id, "c1");
    EXPECT_EQ(EntryJson(MakeIncoming(entries[i])), EntryJson(written[i]));
    EXPECT_EQ(Must(journal->DataOf("c1", entries[i].seq)), written[i].data);
  }
  EXPECT_EQ(Must(journal->Entries("c1", 48)).size(), 2u);
  EXPECT_EQ(Must(journal->Entries("c1", 50)).size(), 0u);
}

TEST(Journal, IsStillThereWhenOpenedAgain) {
  DataFolder folder;
  std::string before;
  { before = StateText(Fold(Must(JournalWithCase(folder, 40)->Entries("c1")))); }
  auto journal = Must(OpenJournal(folder.path(), Owning()));
  EXPECT_EQ(StateText(Fold(Must(journal->Entries("c1")))), before);
  const auto cases = Must(journal->Cases());
  ASSERT_EQ(cases.size(), 1u);
  EXPECT_EQ(cases[0].id, "c1");
  EXPECT_EQ(cases[0].entries, 40);
}

TEST(Journal, AnEntrySentTwiceCountsOnce) {
  DataFolder folder;
  auto journal = JournalWithCase(folder, 3);
  const std::vector<IncomingEntry> one{MakeIncoming(Written(900, LengthOf(14)))};
  const auto first = Must(journal->Append("c1", one)), second = Must(journal->Append("c1", one));
  EXPECT_FALSE(first[0].again);
  EXPECT_TRUE(second[0].again);
  EXPECT_EQ(second[0].seq, first[0].seq);
  EXPECT_EQ(second[0].recorded, first[0].recorded);
  EXPECT_EQ(second[0].hash, first[0].hash);
  const std::vector<IncomingEntry> twice_in_one{MakeIncoming(Written(901, LengthOf(15))), MakeIncoming(Written(901, LengthOf(15)))};
  EXPECT_TRUE(Must(journal->Append("c1", twice_in_one))[1].again);
  EXPECT_EQ(Must(journal->Entries("c1")).size(), 5u);
}

TEST(Journal, TheSameIdWithOtherBytesIsRefusedWhole) {
  DataFolder folder;
  auto journal = JournalWithCase(folder, 3);
  Must(journal->Append("c1", std::vector{MakeIncoming(Written(900, LengthOf(14)))}));
  IncomingEntry spaced = MakeIncoming(Written(900, LengthOf(14)));
  spaced.data += " ";
  Entry moved = Written(900, LengthOf(14), 7);
  for (const IncomingEntry& other : {MakeIncoming(Written(900, LengthOf(15))), spaced, MakeIncoming(moved)}) {
    const auto refused = journal->Append("c1", std::vector{MakeIncoming(Written(905, LengthOf(1))), other});
    ASSERT_FALSE(refused);
    EXPECT_EQ(SentenceOf(refused.error()), "an entry of this id is there already with other contents (entry " + InventedId(900) +
                                               ": case c1): entries are never rewritten: amend it, or give the new one an id of its own");
  }
  EXPECT_EQ(Must(journal->Entries("c1")).size(), 4u);  // and 905 did not slip in
}

TEST(Journal, AnEntryOfOneCaseIsNotTakenIntoAnother) {
  DataFolder folder;
  auto journal = JournalWithCase(folder, 3);
  Must(journal->NewCase("c2", std::vector{MakeIncoming(Written(800, CaseOpened{"invented", "lab", true}))}));
  Must(journal->Append("c1", std::vector{MakeIncoming(Written(900, LengthOf(14)))}));
  EXPECT_FALSE(journal->Append("c2", std::vector{MakeIncoming(Written(900, LengthOf(14)))}));
  EXPECT_FALSE(journal->Append("c2", std::vector{MakeIncoming(Written(901, LengthOf(14), 0, InventedId(900)))}));
  Entry named = Written(902, LengthOf(14));
  named.case_id = "c1";
  EXPECT_FALSE(journal->Append("c2", std::vector{MakeIncoming(named)}));
  EXPECT_FALSE(journal->Append("c3", std::vector{MakeIncoming(Written(903, LengthOf(14)))}));
}

TEST(Journal, RefusesAnAmendmentThatCannotBe) {
  DataFolder folder;
  auto journal = JournalWithCase(folder, 1);
  Must(journal->Append("c1", std::vector{MakeIncoming(Written(900, LengthOf(14))), MakeIncoming(Written(901, LengthOf(15), 0, InventedId(900)))}));
  const auto refusal = [&](EntryData data, std::uint64_t names) {
    const auto refused = journal->Append("c1", std::vector{MakeIncoming(Written(950, std::move(data), 0, InventedId(names)))});
    return refused ? std::string("accepted") : refused.error().what;
  };
  EXPECT_EQ(refusal(LengthOf(1), 77), "it amends " + InventedId(77) + ", which this case does not have");
  EXPECT_EQ(refusal(LengthOf(1), 901), "it amends an amendment");
  EXPECT_EQ(refusal(NoteWritten{"n"}, 900), "it is of kind \"note\" and amends one of kind \"fact\"");
  EXPECT_EQ(refusal(Withdrawn{"w"}, 901), "accepted");
}

TEST(Journal, NewCaseSentTwiceIsOneCase) {
  DataFolder folder;
  auto journal = Must(OpenJournal(folder.path(), Owning()));
  const std::vector first{MakeIncoming(Written(1, CaseOpened{"invented", "lab", true}))};
  EXPECT_FALSE(Must(journal->NewCase("c1", first))[0].again);
  EXPECT_TRUE(Must(journal->NewCase("c1", first))[0].again);
  EXPECT_FALSE(journal->NewCase("c1", std::vector{MakeIncoming(Written(2, CaseOpened{"another", "lab", true}))}));
  EXPECT_FALSE(journal->NewCase("../c1", first));
  EXPECT_FALSE(journal->NewCase("lab", first));
  EXPECT_FALSE(journal->NewCase("c4", {}));
  EXPECT_EQ(Must(journal->Cases()).size(), 1u);
}

TEST(Journal, RecordedNeverGoesBackwardsEvenIfTheClockDoes) {
  DataFolder folder;
  TestClock clock;
  Instant highest;
  for (int day = 0; day < 6; ++day) {
    *clock.now = {kInventedMorning.ms + (day % 2 == 0 ? 1 : -1) * day * 86400000LL};
    auto journal = Must(OpenJournal(folder.path(), Owning(clock)));
    if (day == 0) Must(journal->NewCase("c1", AsIncoming(InventedCase(1, "journal"))));
    const auto receipt = Must(journal->Append("c1", std::vector{MakeIncoming(Written(900 + static_cast<std::uint64_t>(day), LengthOf(9)))}))[0];
    EXPECT_GE(receipt.recorded, highest);
    highest = receipt.recorded;
    EXPECT_TRUE(Must(journal->Verify("c1")).faults.empty());
  }
}

TEST(Journal, ASecondOwnerIsRefusedAndToldWhoHasIt) {
  DataFolder folder;
  auto journal = JournalWithCase(folder, 2);
  const auto second = OpenJournal(folder.path(), Owning());
  ASSERT_FALSE(second);
  const std::string pid = std::to_string(getpid());
  EXPECT_EQ(Sentence(second.error()), "this data folder is in use by process " + pid + " (" + folder.path().string() +
                                          "): use the one that runs, or stop it first (kill " + pid + ")");
  journal.reset();
  EXPECT_TRUE(OpenJournal(folder.path(), Owning()));
}

TEST(Journal, ASecondProcessIsRefusedUntilTheFirstIsKilled) {
  DataFolder folder;
  int ready[2];
  ASSERT_EQ(pipe(ready), 0);
  const pid_t owner = fork();
  if (owner == 0) {
    const auto held = OpenJournal(folder.path(), Owning());
    const char said = held ? 'y' : 'n';
    if (write(ready[1], &said, 1) == 1) pause();
    _exit(0);
  }
  char said = 0;
  ASSERT_EQ(read(ready[0], &said, 1), 1);
  ASSERT_EQ(said, 'y');
  const auto refused = OpenJournal(folder.path(), Owning());
  ASSERT_FALSE(refused);
  EXPECT_NE(refused.error().what.find("process " + std::to_string(owner)), std::string::npos) << refused.error().what;
  kill(owner, SIGKILL);
  waitpid(owner, nullptr, 0);
  EXPECT_TRUE(OpenJournal(folder.path(), Owning()));
  close(ready[0]);
  close(ready[1]);
}

TEST(Journal, MayBeReadBesideItsOwnerAndAtRest) {
  DataFolder folder;
  auto owner = JournalWithCase(folder, 5);
  {
    auto reader = Must(OpenJournal(folder.path(), {Access::kReadOnly, {}, 0}));
    EXPECT_EQ(Must(reader->Entries("c1")).size(), 5u);
    Must(owner->Append("c1", std::vector{MakeIncoming(Written(900, LengthOf(3)))}));
    EXPECT_EQ(Must(reader->Entries("c1")).size(), 6u);
    const auto refused = reader->Append("c1", std::vector{MakeIncoming(Written(901, LengthOf(3)))});
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().what, "this journal is open for reading only");
    EXPECT_FALSE(reader->StrikeOut("c1", 1, "no"));
  }
  owner.reset();
  auto reader = Must(OpenJournal(folder.path(), {Access::kReadOnly, {}, 0}));
  EXPECT_EQ(Must(reader->Entries("c1")).size(), 6u);
  EXPECT_TRUE(Must(reader->Verify("c1")).faults.empty());
}

TEST(Journal, RefusesAFileThatIsNone) {
  DataFolder folder;
  std::ofstream(folder.file()) << "this is a letter, not a database, and it is longer than one header of SQLite, which has a hundred bytes";
  EXPECT_FALSE(OpenJournal(folder.path(), Owning()));
  EXPECT_NE(BytesOf(folder.file()).find("this is a letter"), std::string::npos);  // left as it was
  DataFolder other;
  sqlite3* database = nullptr;
  ASSERT_EQ(sqlite3_open(other.file().c_str(), &database), SQLITE_OK);
  ASSERT_EQ(sqlite3_exec(database, "CREATE TABLE songs (title TEXT)", nullptr, nullptr, nullptr), SQLITE_OK);
  sqlite3_close(database);
  const auto refused = OpenJournal(other.path(), Owning());
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().what, "this file is no journal of this program");
  const auto nowhere = OpenJournal(DataFolder().path() / "nowhere", {Access::kReadOnly, {}, 0});
  ASSERT_FALSE(nowhere);
  EXPECT_EQ(nowhere.error().what, "there is no such data folder");  // and not that a disk is full
}

TEST(Journal, RefusesTheFormatOfANewerProgram) {
  DataFolder folder;
  JournalWithCase(folder, 2).reset();
  sqlite3* database = nullptr;
  ASSERT_EQ(sqlite3_open(folder.file().c_str(), &database), SQLITE_OK);
  ASSERT_EQ(sqlite3_exec(database, "PRAGMA user_version = 2", nullptr, nullptr, nullptr), SQLITE_OK);
  sqlite3_close(database);
  const auto refused = OpenJournal(folder.path(), Owning());
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().what, "this journal is in format 2, of a newer program");
}

TEST(StrikeOut, ErasesThePayloadAndLeavesTheChainValid) {
  DataFolder folder;
  auto journal = JournalWithCase(folder, 10);
  const std::string secret = "a sentence about the wrong person, long enough to be found in any file";
  const auto receipt = Must(journal->Append("c1", std::vector{MakeIncoming(Written(900, NoteWritten{secret}))}))[0];
  Must(journal->Append("c1", std::vector{MakeIncoming(Written(901, LengthOf(3)))}));
  const Hash head = Must(journal->Verify("c1")).head;
  EXPECT_FALSE(journal->StrikeOut("c1", receipt.seq, ""));
  EXPECT_FALSE(journal->StrikeOut("c1", 99, "wrong patient"));
  Must(journal->StrikeOut("c1", receipt.seq, "wrong patient"));
  Must(journal->StrikeOut("c1", receipt.seq, "wrong patient"));  // once more does nothing
  const auto report = Must(journal->Verify("c1"));
  EXPECT_TRUE(report.faults.empty());
  EXPECT_EQ(report.struck_out, 1);
  EXPECT_EQ(report.head, head);
  EXPECT_EQ(Must(journal->DataOf("c1", receipt.seq)), "null");
  EXPECT_TRUE(std::holds_alternative<StruckOut>(Must(journal->Entries("c1"))[static_cast<std::size_t>(receipt.seq) - 1].data));
  for (const auto& file : std::filesystem::directory_iterator(folder.path()))
    EXPECT_EQ(BytesOf(file.path()).find("about the wrong person"), std::string::npos) << file.path();
  // Sent again by a device that did not hear of it: acknowledged, and the payload does not come back.
  EXPECT_TRUE(Must(journal->Append("c1", std::vector{MakeIncoming(Written(900, NoteWritten{secret}))}))[0].again);
  EXPECT_EQ(Must(journal->DataOf("c1", receipt.seq)), "null");
}

TEST(People, StandBesideTheChainAndCanBeErased) {
  DataFolder folder;
  auto journal = JournalWithCase(folder, 3);
  const Hash head = Must(journal->Verify("c1")).head;
  EXPECT_FALSE(Must(journal->PersonOf("c1")));
  EXPECT_FALSE(journal->SetPerson("c9", {}));
  Must(journal->SetPerson("c1", {"Invented Nobody-Atall", "INV-0000417", "1961-04-30"}));
  const auto person = Must(journal->PersonOf("c1"));
  ASSERT_TRUE(person);
  EXPECT_EQ(person->name, "Invented Nobody-Atall");
  EXPECT_EQ(person->number, "INV-0000417");
  EXPECT_EQ(person->birth_date, "1961-04-30");
  Must(journal->ErasePerson("c1"));
  EXPECT_FALSE(Must(journal->PersonOf("c1")));
  EXPECT_EQ(Must(journal->Verify("c1")).head, head);
  for (const auto& file : std::filesystem::directory_iterator(folder.path()))
    EXPECT_EQ(BytesOf(file.path()).find("INV-0000417"), std::string::npos) << file.path();
}

TEST(Lab, HasAChainOfItsOwnInEveryFolder) {
  DataFolder folder;
  auto journal = JournalWithCase(folder, 3);
  const std::string lab(kLabCase);
  EXPECT_TRUE(Must(journal->Entries(lab)).empty());
  EXPECT_EQ(Must(journal->Append(lab, std::vector{MakeIncoming(Written(700, NoteWritten{"an invented rule"}))}))[0].seq, 1);
  EXPECT_TRUE(Must(journal->Verify(lab)).faults.empty());
  EXPECT_EQ(Must(journal->Cases()).size(), 1u);
}

// A lab's shelf is longer than what happens to a patient.
TEST(Lab, KnowledgeMayBeLongerThanOtherEntries) {
  DataFolder folder;
  auto journal = JournalWithCase(folder, 3);
  const std::string lab(kLabCase), text = "{\"a\":\"" + std::string(400 * 1024, 'x') + "\"}";
  const auto knowledge = [&](std::uint64_t number, const std::string& what) { return std::vector{MakeIncoming(Written(number, KnowledgeWritten{"shelf", "lab", "1", what}))}; };
  ASSERT_TRUE(journal->Append(lab, knowledge(710, text)).ok());
  EXPECT_EQ(std::get<KnowledgeWritten>(Must(journal->Entries(lab)).at(0).data).text, text);
  const auto refused = journal->Append(lab, knowledge(711, "{\"a\":\"" + std::string(kLongestKnowledge, 'x') + "\"}"));
  EXPECT_TRUE(SentenceOf(refused.error()).starts_with("the entry is longer than 512 KiB (entry "));
  const auto note = journal->Append("c1", std::vector{MakeIncoming(Written(712, NoteWritten{std::string(kLongestEntry, 'x')}))});
  EXPECT_TRUE(SentenceOf(note.error()).starts_with("the entry is longer than 64 KiB (entry "));
}

TEST(Journal, KeepsAnEntryOfANewerProgram) {
  DataFolder folder;
  auto journal = JournalWithCase(folder, 3);
  Entry newer = Written(900, NoteWritten{"x"});
  newer.kind = "hologram";
  newer.v = 7;
  Must(journal->Append("c1", std::vector{IncomingEntry{newer, R"({"beam":[1,2]})"}}));
  const State state = Fold(Must(journal->Entries("c1")));
  EXPECT_EQ(state.not_understood, 1u);
  EXPECT_EQ(state.status.back(), EntryStatus::kNotUnderstood);
  EXPECT_EQ(Must(journal->DataOf("c1", 4)), R"({"beam":[1,2]})");
}

TEST(Journal, IsReadableByItsOwnerOnly) {
  DataFolder folder;
  auto journal = JournalWithCase(folder, 3);
  for (const auto& file : std::filesystem::directory_iterator(folder.path())) {
    const auto others = std::filesystem::perms::group_all | std::filesystem::perms::others_all;
    EXPECT_EQ(std::filesystem::status(file.path()).permissions() & others, std::filesystem::perms::none) << file.path();
  }
}

}  // namespace
}  // namespace fairlead
