// SPDX-License-Identifier: Apache-2.0
// The tables of journal.sqlite. The only place of the journal that knows SQL; what they mean is journal.cc's.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/entry.h"
#include "keeping/journal/journal.h"
#include "measure/result.h"

namespace fairlead {

// Thrown inside the room only; journal.cc turns it into a Result.
struct StoreFailure : std::runtime_error {
  StoreFailure(Error said, bool full) : std::runtime_error(said.what), error(std::move(said)), disk_full(full) {}
  Error error;
  bool disk_full;
};

struct StoredEntry {
  Entry entry;                      // without `data` and `prev`
  std::optional<std::string> data;  // as it came; absent: struck out
  Hash data_hash{};
};

struct StoredCase {
  std::string id;
  std::int64_t entries = 0;
  Instant last_at;
  Instant last_recorded;
  Hash head{};  // of the last entry; zeros if there is none
};

struct StruckOutRow {
  std::int64_t seq = 0;
  Instant recorded;
  std::string reason;
};

// Every call may throw StoreFailure.
class Store {
 public:
  virtual ~Store() = default;
  virtual void Begin() = 0;
  virtual void Commit() = 0;
  virtual void Rollback() = 0;  // never throws

  virtual std::optional<StoredCase> Case(const std::string& id) = 0;
  virtual std::vector<StoredCase> Cases() = 0;
  virtual void PutCase(const StoredCase& stored) = 0;

  virtual std::optional<StoredEntry> ById(const std::string& id) = 0;
  virtual std::optional<StoredEntry> BySeq(const std::string& case_id, std::int64_t seq) = 0;
  virtual void Insert(const StoredEntry& stored) = 0;
  // By seq; `take` says whether to go on.
  virtual void Each(const std::string& case_id, std::int64_t after, const std::function<bool(StoredEntry&)>& take) = 0;

  // Erases a payload and zeroes its place in the file.
  virtual void StrikeOut(const std::string& case_id, std::int64_t seq, Instant recorded, const std::string& reason) = 0;
  // Moves the write-ahead log into the file and cuts it to nothing, so that erased bytes are not left in it.
  virtual void Empty() = 0;
  virtual std::vector<StruckOutRow> StruckOut(const std::string& case_id) = 0;  // by seq
  virtual void NoteStruckOut(const std::string& case_id, const StruckOutRow& row) = 0;  // of an entry that came without its payload

  virtual void PutPerson(const std::string& case_id, const Person& person) = 0;
  virtual std::optional<Person> PersonOf(const std::string& case_id) = 0;
  virtual void ErasePerson(const std::string& case_id) = 0;
};

std::unique_ptr<Store> OpenStore(const std::filesystem::path& file, Access access);

}  // namespace fairlead
