// SPDX-License-Identifier: Apache-2.0
// Where registry rows are kept: a SQLite file by default, a PostgreSQL database that several labs share, both behind one
// interface and with the same tables. Everything in it is derived and can be made again from the journals. No triggers, no
// sequences: versions come from the journal. Not for two threads at once.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "measure/instant.h"
#include "measure/result.h"

namespace fairlead {

struct KeptRow {
  std::string lab;           // who it belongs to: small letters, digits and -, at most 40
  std::string id;            // of the visit
  std::int64_t version = 0;  // the journal's seq that it rests on: never goes back
  Instant began;
  std::string body;          // JSON; empty: taken out, kept so that an older one cannot come back
};

// Of rows that share everything below; the mergeable figures of the audit. Changed in the transaction of their rows.
struct KeptSum {
  std::string lab;
  std::string by;            // operator; empty in a shared database
  int year = 0;
  std::string vessel, strategy;  // strategy tried first
  int difficulty = -1;       // class 0 to 3 of J-CTO; -1: not known
  std::int64_t cases = 0, outcomes = 0, successes = 0, complication_entries = 0, complications = 0;
};

// Of one lab in a registry whose owner gave each lab a role of its own (docs/registry-roles.sql): the reader's own counts as
// they are, others' under the rule for small numbers, by the database. Nothing: too few to be told.
struct KeptCounts {
  std::string lab;
  std::optional<std::int64_t> cases, outcomes, successes, complication_entries, complications;
};

struct Outgoing {
  std::int64_t number = 0;   // ascending: the order in which they leave
  KeptRow row;               // as it is now
};

// What a row adds to the sums; read from its body by the caller, so that this room knows no clinical word.
using SumOf = std::vector<KeptSum> (*)(const KeptRow& row);

// --- What is kept beside the rows of one lab so that an audit reads none of their bodies: of each month one text, of each day
// four. What they say is the caller's.
struct KeptDay {
  std::string letters, ids, rows, known;
};
struct KeptPacks {
  std::map<std::int64_t, std::string> months;
  std::map<std::int64_t, KeptDay> days;
};
struct RowChange {           // of one row; an empty body: it was not there, or goes
  KeptRow before, after;
};
// All anew: rows of one lab in any order, and then their packs, day by day.
class PackAll {
 public:
  virtual ~PackAll() = default;
  virtual void Take(std::vector<KeptRow> rows) = 0;
  virtual void Finish(const std::function<void(std::int64_t day, const KeptDay&)>& day, const std::function<void(std::int64_t month, const std::string&)>& month,
                      const std::function<void(const KeptSum&)>& sum) = 0;
};
class Packer {
 public:
  virtual ~Packer() = default;
  virtual std::int64_t Day(Instant began) const = 0;
  virtual std::int64_t Month(Instant began) const = 0;
  // `packs` holds what was kept of each day and month that the changes touch. False: it cannot be read; all is made anew.
  virtual bool Change(const std::vector<RowChange>& changes, KeptPacks& packs) const = 0;
  virtual std::unique_ptr<PackAll> All() const = 0;
};
struct PacksAsked {
  bool months = true, heads = true;              // heads: letters and ids of every day
  std::optional<std::int64_t> from{}, until{};   // rows of the days from .. until, that one included; with `rows`
  bool rows = false;
  std::vector<std::int64_t> days{};              // all of these days besides
  bool known = false;                            // `known` of every day, and then nothing else
};

class RegistryStore {
 public:
  virtual ~RegistryStore() = default;
  // All or none. A row that is there in this version or a later one is left as it is. Gives how many were written.
  virtual Result<std::size_t> Put(const std::vector<KeptRow>& rows) = 0;
  // Of one lab, or of all if it is empty; by lab and id; without those taken out.
  virtual Result<std::vector<KeptRow>> Rows(const std::string& lab) = 0;
  // The same; cells without a case are left out. By lab and then by everything else.
  virtual Result<std::vector<KeptSum>> Sums(const std::string& lab) = 0;
  // Nothing where the database keeps no such view.
  virtual Result<std::optional<std::vector<KeptCounts>>> Counts() = 0;
  // Of a lab, as they stood at one moment. Nothing is kept by a store that was opened without a packer.
  virtual Result<KeptPacks> Packs(const std::string& lab, const PacksAsked& asked) = 0;
  // Those of these ids that are there.
  virtual Result<std::vector<KeptRow>> RowsNamed(const std::string& lab, const std::vector<std::string>& ids) = 0;
  // Throws all sums and packs away and makes them again from the rows, which are read one after another.
  virtual Status RebuildSums() = 0;

  // --- The outbox, of a store that was opened with one: written in the transaction of the row.
  virtual Result<std::vector<Outgoing>> Waiting(std::size_t most) = 0;
  virtual Result<std::int64_t> CountWaiting() = 0;
  virtual Status Sent(std::int64_t up_to) = 0;
};

struct RegistryStoreOptions {
  SumOf sums = nullptr;      // null: no sums are kept
  const Packer* packer = nullptr;  // null: no packs are kept; outlives the store
  bool outbox = false;       // whether rows wait to be sent on
  bool make = true;          // tables where there are none; older formats are brought forward
};

// `where` is a file, or "postgresql://...". Errors: it cannot be reached, it is no registry, it is of a newer program (then
// nothing is written). A password in the address is never repeated in an error.
Result<std::unique_ptr<RegistryStore>> OpenRegistryStore(const std::string& where, RegistryStoreOptions options);

// "postgresql://host/name" without user, password and query: to be shown.
std::string PlainAddress(const std::string& where);

// The format that this program writes.
inline constexpr int kRegistryFormat = 4;

}  // namespace fairlead
