// SPDX-License-Identifier: Apache-2.0
#include "keeping/registry/registry_store.h"

#include <soci/soci.h>
#include <soci/postgresql/soci-postgresql.h>
#include <soci/sqlite3/soci-sqlite3.h>

#include <algorithm>
#include <utility>

#include "keeping/registry/format.h"
#include "keeping/registry/store_parts.h"

namespace fairlead {
namespace {

// What SOCI says may repeat the whole address; only its first line without it is passed on.
std::string Said(const std::exception& failure, const std::string& where) {
  std::string text = failure.what();
  text = text.substr(0, text.find('\n'));
  for (std::size_t at = text.find(where); at != std::string::npos; at = text.find(where)) text.replace(at, where.size(), PlainAddress(where));
  return text.substr(0, 300);
}

// SOCI takes an address apart at its equals signs, and passes nothing on where there is none: then one is added.
std::string WithAnOption(const std::string& where) {
  if (where.find('=') != std::string::npos) return where;
  return where + (where.find('?') == std::string::npos ? "?" : "") + "application_name=fairlead";
}

class SociRegistry : public RegistryStore {
 public:
  SociRegistry(const std::string& where, RegistryStoreOptions options) : where_(where), options_(options), shared_(IsShared(where)) {
    if (shared_) {
      sql_.open(*soci::factory_postgresql(), WithAnOption(where_));
    } else {
      sql_.open(*soci::factory_sqlite3(), "db=\"" + where_ + "\" timeout=5");
      sql_ << "PRAGMA journal_mode=WAL";
    }
    BringForward();
  }

  Result<std::size_t> Put(const std::vector<KeptRow>& rows) override {
    return Try<std::size_t>([&] {
      Transaction all(sql_, shared_);
      std::size_t written = 0;
      RowChanges changes;
      for (const KeptRow& row : rows) written += PutOne(row, changes) ? 1 : 0;
      if (options_.packer != nullptr && !ChangePacks(sql_, shared_, *options_.packer, changes)) MakeSums();
      all.Commit();
      return written;
    });
  }

  Result<std::vector<KeptRow>> Rows(const std::string& lab) override {
    return Try<std::vector<KeptRow>>([&] { return Select(lab); });
  }

  Result<std::vector<KeptSum>> Sums(const std::string& lab) override {
    return Try<std::vector<KeptSum>>([&] { return ReadSumTable(sql_, lab); });
  }

  Result<std::optional<std::vector<KeptCounts>>> Counts() override {
    return Try<std::optional<std::vector<KeptCounts>>>([&]() -> std::optional<std::vector<KeptCounts>> {
      long long there = 0;
      if (shared_) sql_ << "SELECT count(*) FROM information_schema.views WHERE table_schema = current_schema() AND table_name = 'registry_counts'", soci::into(there);
      if (there == 0) return std::nullopt;
      std::vector<KeptCounts> labs;
      KeptCounts one;
      long long n[5] = {};
      soci::indicator has[5] = {};
      soci::statement select = (sql_.prepare << "SELECT lab, cases, outcomes, successes, complication_entries, complications FROM registry_counts ORDER BY lab", soci::into(one.lab),
                                soci::into(n[0], has[0]), soci::into(n[1], has[1]), soci::into(n[2], has[2]), soci::into(n[3], has[3]), soci::into(n[4], has[4]));
      select.execute();
      while (select.fetch()) {
        std::optional<std::int64_t>* members[5] = {&one.cases, &one.outcomes, &one.successes, &one.complication_entries, &one.complications};
        for (std::size_t i = 0; i < std::size(n); ++i) *members[i] = has[i] == soci::i_ok ? std::optional<std::int64_t>(n[i]) : std::nullopt;
        labs.push_back(one);
      }
      return labs;
    });
  }

  Result<KeptPacks> Packs(const std::string& lab, const PacksAsked& asked) override {
    return Try<KeptPacks>([&] {
      Transaction one(sql_, shared_, true);
      KeptPacks packs = ReadPacks(sql_, lab, asked);
      one.Commit();
      return packs;
    });
  }

  Result<std::vector<KeptRow>> RowsNamed(const std::string& lab, const std::vector<std::string>& ids) override {
    return Try<std::vector<KeptRow>>([&] { return ReadRowsNamed(sql_, lab, ids); });
  }

  Status RebuildSums() override {
    return Try<Done>([&] {
      Transaction all(sql_, shared_);
      MakeSums();
      all.Commit();
      return Done{};
    });
  }

  Result<std::vector<Outgoing>> Waiting(std::size_t most) override {
    return Try<std::vector<Outgoing>>([&] {
      std::vector<Outgoing> waiting;
      Outgoing one;
      long long number = 0, version = 0, began = 0;
      const auto limit = static_cast<long long>(most);
      soci::statement select = (sql_.prepare << "SELECT o.number, r.lab, r.id, r.version, r.began, r.body FROM registry_outgoing o JOIN registry_row r ON r.lab = o.lab AND r.id = o.id "
                                                "ORDER BY o.number LIMIT :most",
                                soci::use(limit), soci::into(number), soci::into(one.row.lab), soci::into(one.row.id), soci::into(version), soci::into(began), soci::into(one.row.body));
      select.execute();
      while (select.fetch()) {
        one.number = number, one.row.version = version, one.row.began = {began};
        waiting.push_back(one);
      }
      return waiting;
    });
  }

  Result<std::int64_t> CountWaiting() override {
    return Try<std::int64_t>([&] {
      long long count = 0;
      sql_ << "SELECT count(*) FROM registry_outgoing", soci::into(count);
      return static_cast<std::int64_t>(count);
    });
  }

  Status Sent(std::int64_t up_to) override {
    return Try<Done>([&] {
      const long long last = up_to;
      sql_ << "DELETE FROM registry_outgoing WHERE number <= :last", soci::use(last);
      return Done{};
    });
  }

 private:
  template <typename T, typename Work>
  Result<T> Try(Work work) {
    try {
      return work();
    } catch (const Refused& refused) {
      return refused.error;
    } catch (const std::exception& failure) {
      if (shared_) Reconnect();
      return Error{"the registry could not be read or written: " + Said(failure, where_), PlainAddress(where_),
                   shared_ ? "nothing is lost: it is sent again when the database answers" : "check the disk, then try again", Fault::kOutside};
    }
  }
  // A connection that broke stays broken; the next call finds a new one, or says that there is none.
  void Reconnect() {
    try {
      sql_.reconnect();
    } catch (const std::exception&) {
      return;
    }
  }

  long long TablesThere() {
    long long there = 0;
    if (shared_) sql_ << "SELECT count(*) FROM information_schema.tables WHERE table_schema = current_schema() AND table_name LIKE 'registry\\_%'", soci::into(there);
    else sql_ << "SELECT count(*) FROM sqlite_master WHERE type = 'table'", soci::into(there);
    return there;
  }

  int FormatThere() {
    if (TablesThere() == 0) return 0;
    long long meta = 0;
    if (shared_) sql_ << "SELECT count(*) FROM information_schema.tables WHERE table_schema = current_schema() AND table_name = 'registry_meta'", soci::into(meta);
    else sql_ << "SELECT count(*) FROM sqlite_master WHERE name = 'registry_meta'", soci::into(meta);
    std::string value;
    if (meta > 0) sql_ << "SELECT value FROM registry_meta WHERE name = 'format'", soci::into(value);
    if (value.empty() || value.find_first_not_of("0123456789") != std::string::npos || value.size() > 6) {
      throw Refused(Error{"this is no registry of this program", PlainAddress(where_), "name another file or database"});
    }
    return std::stoi(value);
  }

  void BringForward() {
    const int there = FormatThere();
    if (there > kRegistryFormat) {
      throw Refused(Error{"this registry is in format " + std::to_string(there) + ", of a newer program", PlainAddress(where_), "open it with that program"});
    }
    if (there == kRegistryFormat) return;
    if (!options_.make) throw Refused(Error{"there is no registry here yet, or an older one", PlainAddress(where_), "fairlead registry rebuild makes it"});
    Transaction all(sql_, shared_);
    // Two labs that come first at once: the second waits here and then finds the tables.
    if (shared_) sql_ << "SELECT pg_advisory_xact_lock(4671563)";
    for (int format = FormatThere(); format < kRegistryFormat; ++format) {
      for (const char* statement : kRegistryFormats[static_cast<std::size_t>(format)]) sql_ << statement;
      const std::string now = std::to_string(format + 1);
      sql_ << "DELETE FROM registry_meta WHERE name = 'format'";
      sql_ << "INSERT INTO registry_meta (name, value) VALUES ('format', :now)", soci::use(now);
    }
    MakeSums();  // older formats had fewer
    all.Commit();
  }

  void MakeSums() {
    for (const char* table : {"registry_sum", "registry_month", "registry_day", "registry_known"}) sql_ << "DELETE FROM " + std::string(table);
    if (options_.packer != nullptr) return MakePacks(sql_, *options_.packer);
    if (options_.sums == nullptr) return;
    for (const KeptRow& row : Select("")) AddSums(row, 1);
  }

  std::vector<KeptRow> Select(const std::string& lab) {
    std::vector<KeptRow> rows;
    KeptRow row;
    long long version = 0, began = 0;
    soci::statement select = (sql_.prepare << "SELECT lab, id, version, began, body FROM registry_row WHERE body <> '' AND (lab = :lab OR :every = '') ORDER BY lab, id",
                              soci::use(lab, "lab"), soci::use(lab, "every"), soci::into(row.lab), soci::into(row.id), soci::into(version), soci::into(began), soci::into(row.body));
    select.execute();
    while (select.fetch()) {
      row.version = version, row.began = {began};
      rows.push_back(row);
    }
    return rows;
  }

  bool PutOne(const KeptRow& row, RowChanges& changes) {
    const long long version = row.version, began = row.began.ms;
    KeptRow before{row.lab, row.id, 0, {}, {}};
    long long there = -1, since = 0;
    sql_ << (shared_ ? "SELECT version, began, body FROM registry_row WHERE lab = :lab AND id = :id FOR UPDATE" : "SELECT version, began, body FROM registry_row WHERE lab = :lab AND id = :id"),
        soci::use(row.lab), soci::use(row.id), soci::into(there), soci::into(since), soci::into(before.body);
    const bool known = sql_.got_data();
    if (known && there >= version) return false;
    if (known && !before.body.empty()) before.began = {since}, AddSums(before, -1);
    sql_ << "INSERT INTO registry_row (lab, id, version, began, body) VALUES (:lab, :id, :version, :began, :body) "
            "ON CONFLICT (lab, id) DO UPDATE SET version = excluded.version, began = excluded.began, body = excluded.body",
        soci::use(row.lab), soci::use(row.id), soci::use(version), soci::use(began), soci::use(row.body);
    if (!row.body.empty()) AddSums(row, 1);
    if (options_.packer != nullptr) changes.try_emplace({row.lab, row.id}, RowChange{before, {}}).first->second.after = row;
    if (options_.outbox) {
      const long long number = NextNumber();
      sql_ << "INSERT INTO registry_outgoing (number, lab, id) VALUES (:number, :lab, :id)", soci::use(number), soci::use(row.lab), soci::use(row.id);
    }
    return true;
  }

  // Never one that was used before, even when all were sent meanwhile: of two senders at once the slower one then takes
  // nothing away that it did not send.
  long long NextNumber() {
    long long waiting = 0, used = 0;
    std::string last;
    sql_ << "SELECT coalesce(max(number), 0) FROM registry_outgoing", soci::into(waiting);
    sql_ << "SELECT value FROM registry_meta WHERE name = 'outgoing'", soci::into(last);
    if (sql_.got_data()) used = std::stoll(last);
    const long long next = std::max(waiting, used) + 1;
    const std::string kept = std::to_string(next);
    sql_ << "INSERT INTO registry_meta (name, value) VALUES ('outgoing', :kept) ON CONFLICT (name) DO UPDATE SET value = excluded.value", soci::use(kept);
    return next;
  }

  void AddSums(const KeptRow& row, long long sign) {
    if (options_.sums == nullptr) return;
    for (const KeptSum& sum : options_.sums(row)) AddSum(sql_, row.lab, sum, sign);
  }

  std::string where_;
  RegistryStoreOptions options_;
  bool shared_;
  soci::session sql_;
};

}  // namespace

std::string PlainAddress(const std::string& where) {
  if (!IsShared(where)) return where;
  std::string rest = where.substr(where.find("://") + 3);
  rest = rest.substr(0, rest.find('?'));
  if (const std::size_t at = rest.rfind('@'); at != std::string::npos) rest = rest.substr(at + 1);
  return "postgresql://" + rest;
}

Result<std::unique_ptr<RegistryStore>> OpenRegistryStore(const std::string& where, RegistryStoreOptions options) {
  try {
    return std::unique_ptr<RegistryStore>(new SociRegistry(where, options));
  } catch (const Refused& refused) {
    return refused.error;
  } catch (const std::exception& failure) {
    return Error{"the registry cannot be opened: " + Said(failure, where), PlainAddress(where),
                 IsShared(where) ? "check the address and that the database runs; cases go on without it" : "check the folder and who may write in it", Fault::kOutside};
  }
}

}  // namespace fairlead
