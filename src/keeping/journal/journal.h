// SPDX-License-Identifier: Apache-2.0
// The journal of a data folder: append-only, one hash chain a case, durable before it is acknowledged. One process
// owns a folder; others may read. Not for two threads at once. The format is docs/journal-format.md.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/entry.h"
#include "casebook/entry_json.h"
#include "measure/instant.h"
#include "measure/result.h"

namespace fairlead {

// The case id of the lab's own journal: shelf, limits, rules, priors. It is there in every folder.
inline constexpr std::string_view kLabCase = "lab";

struct Receipt {
  std::string id;
  std::int64_t seq = 0;
  Instant recorded;
  Hash hash{};
  bool again = false;  // the same entry was there already; nothing was written
};

struct CaseLine {
  std::string id;
  std::int64_t entries = 0;
  Instant last_at;        // highest `at` of its entries
  Instant last_recorded;
};

struct VerifyReport {
  std::int64_t entries = 0;
  std::int64_t struck_out = 0;
  std::vector<std::string> faults;  // one sentence each, with the seq; empty: the chain holds
  Hash head{};                      // hash of the last entry; zeros for an empty chain
};

// Names, numbers and birth dates: beside the chain, never in it, erasable.
struct Person {
  std::string name;
  std::string number;      // the hospital's
  std::string birth_date;  // "1961-04-30" or empty
};

enum class Access {
  kOwn,       // takes the folder's lock; creates folder and journal where there are none
  kReadOnly,  // beside an owner, or of a folder at rest; every writing call is refused
};

struct JournalOptions {
  Access access = Access::kOwn;
  std::function<Instant()> clock;               // the store's clock; required to write
  std::uint64_t ballast_bytes = 4 * 1024 * 1024;  // kept aside for the last entries of a full disk; chosen
};

class Journal {
 public:
  virtual ~Journal() = default;

  // Opens a chain with its first entries, all or none. A case that is there already with the same first entries is
  // acknowledged again; with others it is refused.
  virtual Result<std::vector<Receipt>> NewCase(const std::string& case_id, std::span<const IncomingEntry> first) = 0;

  // All or none, in the order given, on the disk before this returns. `entry.case_id` must be empty or `case_id`. An id
  // that is there with the same bytes is acknowledged with `again`; with different bytes the whole call is refused, as
  // is an `amends` that names no earlier entry of the case, or (unless it withdraws) one of another kind or an amendment.
  virtual Result<std::vector<Receipt>> Append(const std::string& case_id, std::span<const IncomingEntry> entries) = 0;

  // By seq, those after `after`. Each is checked against its hash on the way (data, header and chain).
  virtual Result<std::vector<Entry>> Entries(const std::string& case_id, std::int64_t after = 0) const = 0;
  // The bytes of `data` as they came; "null" if struck out.
  virtual Result<std::string> DataOf(const std::string& case_id, std::int64_t seq) const = 0;
  // Cases by id (so by the time they were opened), without the lab's.
  virtual Result<std::vector<CaseLine>> Cases() const = 0;
  virtual Result<VerifyReport> Verify(const std::string& case_id) const = 0;

  // Erases the payload of one entry for good (erasure, wrong patient). Its hash stays, so the chain still verifies.
  virtual Status StrikeOut(const std::string& case_id, std::int64_t seq, std::string_view reason) = 0;

  virtual Status SetPerson(const std::string& case_id, const Person& person) = 0;
  virtual Result<std::optional<Person>> PersonOf(const std::string& case_id) const = 0;
  virtual Status ErasePerson(const std::string& case_id) = 0;

  // Set while the disk is full and the reserve is in use: one sentence for every screen.
  virtual std::optional<Error> Warning() const = 0;
};

// `folder` is the data folder. Errors: another process owns it (its pid is named); the disk; a journal of a newer
// program; a file that is no journal.
Result<std::unique_ptr<Journal>> OpenJournal(const std::filesystem::path& folder, JournalOptions options);

}  // namespace fairlead
