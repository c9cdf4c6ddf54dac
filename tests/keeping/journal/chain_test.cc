// SPDX-License-Identifier: Apache-2.0
// The chain: SHA-256 of FIPS 180-4, the layout of docs/journal-format.md, and every way to tamper with a row.
#include "keeping/journal/chain.h"

#include <gtest/gtest.h>
#include <sqlite3.h>

#include <cstdlib>

#include "tests/keeping/journal/data_folder.h"

namespace fairlead {
namespace {

TEST(Chain, HashesAsThePublishedExamplesDo) {
  // FIPS 180-4 examples: "abc", the empty message, and the 448-bit message.
  ChainHasher hasher;
  EXPECT_EQ(HexOf(hasher.OfBytes("abc")), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(HexOf(hasher.OfBytes("")), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  EXPECT_EQ(HexOf(hasher.OfBytes("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}

TEST(Chain, LaysTheHeaderOutAsTheFormatPageSays) {
  Entry entry;
  entry.v = 1;
  entry.id = "I";
  entry.case_id = "c1";
  entry.at = {258};
  entry.written = {-1};
  entry.by = "AB";
  entry.device = "";
  entry.kind = "note";
  entry.seq = 3;
  entry.recorded = {65536};
  const std::string_view expected(
      "fairlead entry 1\n"
      "\0\0\0\0\0\0\0\1" "\0\0\0\1I" "\0\0\0\2c1" "\0\0\0\0\0\0\1\2" "\xff\xff\xff\xff\xff\xff\xff\xff"
      "\0\0\0\2" "AB" "\0\0\0\0" "\0\0\0\4note" "\0\0\0\0" "\0\0\0\0\0\0\0\3" "\0\0\0\0\0\1\0\0",
      17 + 8 + 5 + 6 + 8 + 8 + 6 + 4 + 8 + 4 + 8 + 8);
  EXPECT_EQ(HeaderBytes(entry), expected);
}

class Tampered {
 public:
  explicit Tampered(const DataFolder& folder) {
    sqlite3_open(folder.file().c_str(), &database_);
    Run("DROP TRIGGER entry_stays");
    Run("DROP TRIGGER entry_is_written_once");
    Run("PRAGMA foreign_keys = OFF");
  }
  ~Tampered() { sqlite3_close(database_); }
  Tampered(const Tampered&) = delete;
  Tampered& operator=(const Tampered&) = delete;
  void Run(const std::string& sql) {
    char* message = nullptr;
    EXPECT_EQ(sqlite3_exec(database_, sql.c_str(), nullptr, nullptr, &message), SQLITE_OK) << sql << ": " << (message ? message : "");
    sqlite3_free(message);
  }

 private:
  sqlite3* database_ = nullptr;
};

struct Found {
  bool verify, entries;
};
Found Finds(const DataFolder& folder) {
  auto journal = Must(OpenJournal(folder.path(), {Access::kReadOnly, {}, 0}));
  return {!Must(journal->Verify("c1")).faults.empty(), !journal->Entries("c1").ok()};
}

TEST(Chain, FindsAnyChangeOfAnyMember) {
  // For each column and three rows: one byte or unit changed.
  const char* const changes[] = {
      "id = 'Z' || substr(id, 2)", "v = v + 1", "at = at + 1", "written = written - 1", "recorded = recorded + 1",
      "by_whom = 'CD'", "device = device || ' '", "kind = 'shown'", "amends = 'Q' || amends", "data = data || ' '",
      "data = replace(data, '}', ' }')", "data_hash = '00' || substr(data_hash, 3)", "hash = substr(hash, 1, 62) || '0x'",
      "hash = '00' || substr(hash, 3)", "data = NULL", "seq = seq + 1000", "case_id = 'lab', seq = seq + 1000"};
  DataFolder whole;
  JournalWithCase(whole, 12).reset();
  ASSERT_FALSE(Finds(whole).verify);
  ASSERT_FALSE(Finds(whole).entries);
  for (const char* change : changes) {
    for (const char* row : {"1", "6", "12"}) {
      SCOPED_TRACE(std::string(change) + " in row " + row);
      DataFolder folder;
      std::filesystem::copy_file(whole.file(), folder.file(), std::filesystem::copy_options::overwrite_existing);
      { Tampered(folder).Run("UPDATE entry SET " + std::string(change) + " WHERE case_id = 'c1' AND seq = " + row); }
      EXPECT_TRUE(Finds(folder).verify);
      // A payload that is gone may have been struck out; only the full check asks whether it was.
      EXPECT_EQ(Finds(folder).entries, std::string_view(change) != "data = NULL");
    }
  }
}

TEST(Chain, FindsAnyByteOfAnyPayloadChanged) {
  DataFolder whole;
  JournalWithCase(whole, 12).reset();
  TaggedGenerator random("Chain.FindsAnyByteOfAnyPayloadChanged");
  for (int trial = 0; trial < 60; ++trial) {
    DataFolder folder;
    std::filesystem::copy_file(whole.file(), folder.file(), std::filesystem::copy_options::overwrite_existing);
    const std::string row = std::to_string(1 + random.Below(12)), place = std::to_string(1 + random.Below(20));
    SCOPED_TRACE("row " + row + ", byte " + place);
    { Tampered(folder).Run("UPDATE entry SET data = substr(data, 1, " + place + " - 1) || '~' || substr(data, " + place + " + 1) WHERE case_id = 'c1' AND seq = " + row); }
    EXPECT_TRUE(Finds(folder).verify);
    EXPECT_TRUE(Finds(folder).entries);
  }
}

TEST(Chain, FindsEntriesRemovedSwappedOrCutOffTheEnd) {
  DataFolder whole;
  JournalWithCase(whole, 12).reset();
  for (const char* change : {"DELETE FROM entry WHERE case_id = 'c1' AND seq = 4", "DELETE FROM entry WHERE case_id = 'c1' AND seq >= 11",
                             "DELETE FROM entry WHERE case_id = 'c1' AND seq = 1",
                             "UPDATE entry SET seq = CASE seq WHEN 5 THEN -6 WHEN 6 THEN -5 END WHERE case_id = 'c1' AND seq IN (5, 6);"
                             "UPDATE entry SET seq = -seq WHERE seq < 0"}) {
    SCOPED_TRACE(change);
    DataFolder folder;
    std::filesystem::copy_file(whole.file(), folder.file(), std::filesystem::copy_options::overwrite_existing);
    { Tampered(folder).Run(change); }
    EXPECT_TRUE(Finds(folder).verify);
    EXPECT_TRUE(Finds(folder).entries);
  }
}

TEST(Chain, ACarelessHandIsStoppedByTheTablesThemselves) {
  DataFolder folder;
  JournalWithCase(folder, 3).reset();
  sqlite3* database = nullptr;
  ASSERT_EQ(sqlite3_open(folder.file().c_str(), &database), SQLITE_OK);
  EXPECT_NE(sqlite3_exec(database, "DELETE FROM entry", nullptr, nullptr, nullptr), SQLITE_OK);
  EXPECT_STREQ(sqlite3_errmsg(database), "entries are never deleted");
  EXPECT_NE(sqlite3_exec(database, "UPDATE entry SET data = '{}'", nullptr, nullptr, nullptr), SQLITE_OK);
  EXPECT_STREQ(sqlite3_errmsg(database), "entries are never rewritten");
  EXPECT_NE(sqlite3_exec(database, "UPDATE entry SET data = NULL, at = 0", nullptr, nullptr, nullptr), SQLITE_OK);
  sqlite3_close(database);
}

// The format page is enough for a stranger: a program that knows nothing of this one reads the file with Python's
// standard library alone and comes to the same last hash.
TEST(Chain, IsVerifiedByAProgramWrittenFromTheFormatPage) {
  DataFolder folder;
  Hash head;
  {
    auto journal = JournalWithCase(folder, 60);
    Must(journal->StrikeOut("c1", 7, "wrong patient"));
    head = Must(journal->Verify("c1")).head;
  }
  const std::string verify = "python3 " FAIRLEAD_TESTS_DIR "/keeping/journal/verify_chain.py ";
  EXPECT_EQ(std::system((verify + folder.file().string() + " c1 " + HexOf(head) + " > /dev/null").c_str()), 0);
  EXPECT_NE(std::system((verify + folder.file().string() + " c1 " + std::string(64, '0') + " > /dev/null").c_str()), 0);
  { Tampered(folder).Run("UPDATE entry SET by_whom = 'CD' WHERE seq = 9"); }
  EXPECT_NE(std::system((verify + folder.file().string() + " c1 > /dev/null").c_str()), 0);
}

}  // namespace
}  // namespace fairlead
