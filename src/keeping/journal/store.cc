// SPDX-License-Identifier: Apache-2.0
#include "keeping/journal/store.h"

#include <soci/soci.h>
#include <soci/sqlite3/soci-sqlite3.h>

#include <fcntl.h>
#include <unistd.h>

#include <utility>

#include "keeping/journal/folder.h"

namespace fairlead {
namespace {

constexpr int kApplicationId = 0x464c4a31;  // "FLJ1": tells this file from any other SQLite file
constexpr int kFormat = 1;
constexpr std::uint64_t kNearlyFull = 256 * 1024;  // SQLite reports some full disks as plain input/output errors

// The triggers keep a careless hand from rewriting; the chain finds a careful one.
constexpr const char* kTables[] = {
    "CREATE TABLE cases (id TEXT PRIMARY KEY, entries INTEGER NOT NULL, last_at INTEGER NOT NULL, "
    "last_recorded INTEGER NOT NULL, head TEXT NOT NULL) WITHOUT ROWID",
    "CREATE TABLE entry (case_id TEXT NOT NULL REFERENCES cases(id), seq INTEGER NOT NULL, id TEXT NOT NULL UNIQUE, "
    "v INTEGER NOT NULL, at INTEGER NOT NULL, written INTEGER NOT NULL, recorded INTEGER NOT NULL, "
    "by_whom TEXT NOT NULL, device TEXT NOT NULL, kind TEXT NOT NULL, amends TEXT NOT NULL, data TEXT, "
    "data_hash TEXT NOT NULL, hash TEXT NOT NULL, PRIMARY KEY (case_id, seq))",
    "CREATE TABLE struck_out (case_id TEXT NOT NULL, seq INTEGER NOT NULL, recorded INTEGER NOT NULL, "
    "reason TEXT NOT NULL, PRIMARY KEY (case_id, seq))",
    "CREATE TABLE person (case_id TEXT PRIMARY KEY, name TEXT NOT NULL, number TEXT NOT NULL, birth_date TEXT NOT NULL)",
    "CREATE TRIGGER entry_stays BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END",
    "CREATE TRIGGER entry_is_written_once BEFORE UPDATE ON entry WHEN NEW.data IS NOT NULL OR "
    "(NEW.case_id, NEW.seq, NEW.id, NEW.v, NEW.at, NEW.written, NEW.recorded, NEW.by_whom, NEW.device, NEW.kind, "
    "NEW.amends, NEW.data_hash, NEW.hash) IS NOT (OLD.case_id, OLD.seq, OLD.id, OLD.v, OLD.at, OLD.written, "
    "OLD.recorded, OLD.by_whom, OLD.device, OLD.kind, OLD.amends, OLD.data_hash, OLD.hash) "
    "BEGIN SELECT RAISE(ABORT, 'entries are never rewritten'); END",
};

constexpr const char* kColumns =
    "case_id, seq, id, v, at, written, recorded, by_whom, device, kind, amends, data, data_hash, hash";

int DigitOf(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  return c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1;
}

// What is not 64 hexadecimal digits becomes zeros, which no entry has: the chain's check then finds it.
Hash HashOf(const std::string& hex) {
  Hash hash{};
  if (hex.size() != 2 * hash.size()) return hash;
  for (std::size_t i = 0; i < hash.size(); ++i) {
    const int high = DigitOf(hex[2 * i]), low = DigitOf(hex[2 * i + 1]);
    if (high < 0 || low < 0) return Hash{};
    hash[i] = static_cast<std::uint8_t>(high * 16 + low);
  }
  return hash;
}

StoreFailure Failure(const soci::soci_error& failure, const std::filesystem::path& file) {
  const auto* sqlite = dynamic_cast<const soci::sqlite3_soci_error*>(&failure);
  const int code = sqlite == nullptr ? 0 : sqlite->result() & 0xff;
  const bool cannot_write = code == SQLITE_IOERR || code == SQLITE_CANTOPEN;
  const Error said{failure.what(), file.string(), "", Fault::kOutside};
  if (code == SQLITE_FULL || (cannot_write && FreeBytes(file) < kNearlyFull))
    return {{"the disk is full, so this was not written; everything acknowledged before is safe", file.string(),
             "make room on the disk, then send it again", Fault::kOutside}, true};
  if (code == SQLITE_NOTADB || code == SQLITE_CORRUPT)
    return {{"this is not a readable journal: " + said.what, file.string(),
             "leave the file as it is and bring back the last backup beside it", Fault::kOutside}, false};
  if (code == SQLITE_READONLY || code == SQLITE_PERM || code == SQLITE_CANTOPEN)
    return {{"the journal cannot be opened: " + said.what, file.string(), "check that it is there and who may write it",
             Fault::kOutside}, false};
  return {{"the journal could not be read or written: " + said.what, file.string(), "check the disk, then try again",
           Fault::kOutside}, false};
}

// One row on its way in or out, in the types that SOCI exchanges.
struct Row {
  std::string case_id, id, by, device, kind, amends, data, data_hash, hash;
  long long seq = 0, at = 0, written = 0, recorded = 0;
  int v = 0;
  soci::indicator has_data = soci::i_ok;
};

StoredEntry FromRow(Row& row) {
  StoredEntry stored;
  Entry& entry = stored.entry;
  entry.v = row.v;
  entry.id = row.id;
  entry.case_id = row.case_id;
  entry.at = {row.at};
  entry.written = {row.written};
  entry.recorded = {row.recorded};
  entry.by = row.by;
  entry.device = row.device;
  entry.kind = row.kind;
  entry.amends = row.amends;
  entry.seq = row.seq;
  entry.hash = HashOf(row.hash);
  if (row.has_data == soci::i_ok) stored.data = row.data;
  stored.data_hash = HashOf(row.data_hash);
  return stored;
}

Row ToRow(const StoredEntry& stored) {
  const Entry& entry = stored.entry;
  Row row{entry.case_id, entry.id, entry.by, entry.device, entry.kind, entry.amends, stored.data.value_or(""),
          HexOf(stored.data_hash), HexOf(entry.hash), entry.seq, entry.at.ms, entry.written.ms, entry.recorded.ms,
          entry.v, stored.data ? soci::i_ok : soci::i_null};
  return row;
}

class SqliteStore : public Store {
 public:
  SqliteStore(std::filesystem::path file, Access access) : file_(std::move(file)) {
    Try([&] {
      const std::string mode = access == Access::kReadOnly ? " readonly=true" : "";
      sql_.open(*soci::factory_sqlite3(), "db=\"" + file_.string() + "\" timeout=5" + mode);
      int application = 0, format = 0;
      int tables = 0;
      sql_ << "PRAGMA application_id", soci::into(application);
      sql_ << "PRAGMA user_version", soci::into(format);
      sql_ << "SELECT count(*) FROM sqlite_master", soci::into(tables);
      if (tables > 0 && application != kApplicationId) throw NotOurs("this file is no journal of this program", "choose another data folder");
      if (format > kFormat) throw NotOurs("this journal is in format " + std::to_string(format) + ", of a newer program", "open it with that program");
      if (tables == 0 && access == Access::kReadOnly) throw NotOurs("the journal is empty", "start the program on this folder once");
      if (access == Access::kOwn) Prepare(tables == 0);
    });
  }

  void Begin() override { Try([&] { sql_ << "BEGIN IMMEDIATE"; }); }
  void Commit() override { Try([&] { sql_ << "COMMIT"; }); }
  void Rollback() override {
    try {
      sql_ << "ROLLBACK";
    } catch (const soci::soci_error&) {
      return;  // SQLite has already rolled back by itself, as it does on a full disk
    }
  }

  std::optional<StoredCase> Case(const std::string& id) override {
    auto found = SelectCases("WHERE id = :id", id);
    if (found.empty()) return std::nullopt;
    return found.front();
  }
  std::vector<StoredCase> Cases() override { return SelectCases("WHERE id >= :id ORDER BY id", ""); }
  void PutCase(const StoredCase& stored) override {
    Try([&] {
      const long long entries = stored.entries, at = stored.last_at.ms, recorded = stored.last_recorded.ms;
      const std::string head = HexOf(stored.head);
      sql_ << "INSERT INTO cases VALUES (:id, :n, :at, :recorded, :head) ON CONFLICT (id) DO UPDATE SET "
              "entries = excluded.entries, last_at = excluded.last_at, last_recorded = excluded.last_recorded, "
              "head = excluded.head",
          soci::use(stored.id), soci::use(entries), soci::use(at), soci::use(recorded), soci::use(head);
    });
  }

  std::optional<StoredEntry> ById(const std::string& id) override { return One("WHERE id = :key AND seq >= :seq", id, 0); }
  std::optional<StoredEntry> BySeq(const std::string& case_id, std::int64_t seq) override {
    return One("WHERE case_id = :key AND seq = :seq", case_id, seq);
  }
  void Insert(const StoredEntry& stored) override {
    Try([&] {
      Row row = ToRow(stored);
      sql_ << "INSERT INTO entry (" << kColumns
           << ") VALUES (:c, :seq, :id, :v, :at, :w, :r, :by, :dev, :k, :a, :d, :dh, :h)",
          soci::use(row.case_id), soci::use(row.seq), soci::use(row.id), soci::use(row.v), soci::use(row.at),
          soci::use(row.written), soci::use(row.recorded), soci::use(row.by), soci::use(row.device),
          soci::use(row.kind), soci::use(row.amends), soci::use(row.data, row.has_data), soci::use(row.data_hash),
          soci::use(row.hash);
    });
  }
  void Each(const std::string& case_id, std::int64_t after, const std::function<bool(StoredEntry&)>& take) override {
    Select("WHERE case_id = :key AND seq > :seq ORDER BY seq", case_id, after, take);
  }

  void StrikeOut(const std::string& case_id, std::int64_t seq, Instant recorded, const std::string& reason) override {
    Try([&] {
      const long long when = recorded.ms, place = seq;
      sql_ << "INSERT INTO struck_out VALUES (:c, :seq, :r, :why)", soci::use(case_id), soci::use(place), soci::use(when), soci::use(reason);
      sql_ << "UPDATE entry SET data = NULL WHERE case_id = :c AND seq = :seq", soci::use(case_id), soci::use(place);
    });
  }
  void Empty() override {
    Try([&] {
      int busy = 0;
      sql_ << "PRAGMA wal_checkpoint(TRUNCATE)", soci::into(busy);
      if (busy != 0)
        throw StoreFailure({"the payload is erased, but another program still reads the old pages", file_.string(),
                            "close it and strike the entry out once more", Fault::kOutside}, false);
    });
  }
  std::vector<StruckOutRow> StruckOut(const std::string& case_id) override {
    return Try([&] {
      std::vector<StruckOutRow> rows;
      long long seq = 0, recorded = 0;
      std::string reason;
      soci::statement select = (sql_.prepare << "SELECT seq, recorded, reason FROM struck_out WHERE case_id = :c ORDER BY seq", soci::use(case_id),
                                soci::into(seq), soci::into(recorded), soci::into(reason));
      select.execute();
      while (select.fetch()) rows.push_back({seq, {recorded}, reason});
      return rows;
    });
  }
  void NoteStruckOut(const std::string& case_id, const StruckOutRow& row) override {
    Try([&] {
      const long long when = row.recorded.ms, place = row.seq;
      sql_ << "INSERT INTO struck_out VALUES (:c, :seq, :r, :why)", soci::use(case_id), soci::use(place), soci::use(when), soci::use(row.reason);
    });
  }

  void PutPerson(const std::string& case_id, const Person& person) override {
    Try([&] {
      sql_ << "INSERT OR REPLACE INTO person VALUES (:c, :name, :number, :born)", soci::use(case_id),
          soci::use(person.name), soci::use(person.number), soci::use(person.birth_date);
    });
  }
  std::optional<Person> PersonOf(const std::string& case_id) override {
    return Try([&]() -> std::optional<Person> {
      Person person;
      sql_ << "SELECT name, number, birth_date FROM person WHERE case_id = :c", soci::use(case_id),
          soci::into(person.name), soci::into(person.number), soci::into(person.birth_date);
      if (!sql_.got_data()) return std::nullopt;
      return person;
    });
  }
  void ErasePerson(const std::string& case_id) override {
    Try([&] { sql_ << "DELETE FROM person WHERE case_id = :c", soci::use(case_id); });
  }

 private:
  template <typename Work>
  auto Try(Work work) -> decltype(work()) {
    try {
      return work();
    } catch (const soci::soci_error& failure) {
      throw Failure(failure, file_);
    }
  }
  StoreFailure NotOurs(std::string what, std::string to_do) const {
    return {{std::move(what), file_.string(), std::move(to_do), Fault::kOutside}, false};
  }
  // The tables come in one transaction, before the file is told to keep a log: killed at any moment, it is either empty
  // or whole.
  void Prepare(bool fresh) {
    sql_ << "PRAGMA synchronous = FULL";
    sql_ << "PRAGMA secure_delete = ON";
    if (fresh) {
      sql_ << "BEGIN IMMEDIATE";
      for (const char* table : kTables) sql_ << table;
      sql_ << "PRAGMA application_id = " << kApplicationId;
      sql_ << "PRAGMA user_version = " << kFormat;
      sql_ << "COMMIT";
    }
    std::string mode;
    long long limit = 0;
    sql_ << "PRAGMA journal_mode = WAL", soci::into(mode);
    sql_ << "PRAGMA journal_size_limit = 4194304", soci::into(limit);
    if (mode != "wal") throw NotOurs("this file system does not let the journal keep its log (mode " + mode + ")", "put the data folder on a local disk");
  }

  std::vector<StoredCase> SelectCases(const std::string& where, const std::string& id) {
    return Try([&] {
      std::vector<StoredCase> cases;
      std::string found, head;
      long long entries = 0, at = 0, recorded = 0;
      soci::statement select = (sql_.prepare << "SELECT id, entries, last_at, last_recorded, head FROM cases " << where, soci::use(id),
                                soci::into(found), soci::into(entries), soci::into(at), soci::into(recorded), soci::into(head));
      select.execute();
      while (select.fetch()) cases.push_back({found, entries, {at}, {recorded}, HashOf(head)});
      return cases;
    });
  }
  void Select(const std::string& where, const std::string& key, std::int64_t seq, const std::function<bool(StoredEntry&)>& take) {
    Try([&] {
      Row row;
      const long long from = seq;
      soci::statement select =
          (sql_.prepare << "SELECT " << kColumns << " FROM entry " << where, soci::use(key), soci::use(from),
           soci::into(row.case_id), soci::into(row.seq), soci::into(row.id), soci::into(row.v), soci::into(row.at),
           soci::into(row.written), soci::into(row.recorded), soci::into(row.by), soci::into(row.device),
           soci::into(row.kind), soci::into(row.amends), soci::into(row.data, row.has_data), soci::into(row.data_hash),
           soci::into(row.hash));
      select.execute();
      while (select.fetch()) {
        StoredEntry stored = FromRow(row);
        if (!take(stored)) return;
      }
    });
  }
  std::optional<StoredEntry> One(const std::string& where, const std::string& key, std::int64_t seq) {
    std::optional<StoredEntry> found;
    Select(where, key, seq, [&](StoredEntry& stored) {
      found = std::move(stored);
      return false;
    });
    return found;
  }

  std::filesystem::path file_;
  soci::session sql_;
};

// Only the owner of the folder may read it: SQLite gives its side files the same rights.
void MakeFile(const std::filesystem::path& file) {
  const int descriptor = open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (descriptor >= 0) close(descriptor);
}

}  // namespace

std::unique_ptr<Store> OpenStore(const std::filesystem::path& file, Access access) {
  if (file.string().find('"') != std::string::npos)
    throw StoreFailure({"a data folder's name may hold no quotation mark", file.string(), "choose another folder", Fault::kInput}, false);
  if (access == Access::kOwn) MakeFile(file);
  return std::make_unique<SqliteStore>(file, access);
}

}  // namespace fairlead
