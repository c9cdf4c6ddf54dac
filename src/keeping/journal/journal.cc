// SPDX-License-Identifier: Apache-2.0
#include "keeping/journal/journal.h"

#include <algorithm>
#include <string>
#include <utility>

#include "keeping/journal/append.h"
#include "keeping/journal/carry_store.h"
#include "keeping/journal/chain.h"
#include "keeping/journal/check.h"
#include "keeping/journal/folder.h"
#include "keeping/journal/store.h"

namespace fairlead {
namespace {

constexpr std::size_t kLongestId = 64;

bool IsCaseId(const std::string& id) {
  const bool plain = id.find_first_not_of("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_-") == std::string::npos;
  return plain && !id.empty() && id.size() <= kLongestId;
}

class LocalJournal : public Journal, public CarriesChains {
 public:
  LocalJournal(std::filesystem::path folder, JournalOptions options, std::unique_ptr<FolderLock> lock)
      : folder_(std::move(folder)), options_(std::move(options)), lock_(std::move(lock)),
        ballast_{folder_ / "ballast", options_.ballast_bytes} {}

  Status Open() {
    const bool owner = options_.access == Access::kOwn;
    const auto open = [&]() -> Status {
      store_ = OpenStore(folder_ / "journal.sqlite", options_.access);
      for (const StoredCase& stored : store_->Cases()) last_recorded_ = std::max(last_recorded_, stored.last_recorded);
      if (owner && !store_->Case(std::string(kLabCase))) store_->PutCase({std::string(kLabCase), 0, {}, {}, {}});
      return Done{};
    };
    Status opened = owner ? WithReserve<Done>(open) : Guarded<Done>(open);
    if (opened && owner) RestoreBallast();
    return opened;
  }

  Result<std::vector<Receipt>> NewCase(const std::string& case_id, std::span<const IncomingEntry> first) override {
    if (!IsCaseId(case_id) || case_id == kLabCase)
      return Error{"this is no id for a case", case_id, "use 1 to 64 letters, digits, - and _"};
    if (first.empty()) return Error{"a case opens with at least one entry", case_id, "send its \"case\" entry"};
    return Write<std::vector<Receipt>>([&]() -> Result<std::vector<Receipt>> {
      auto stored = store_->Case(case_id);
      const bool there = stored.has_value();
      if (!there) store_->PutCase(StoredCase{case_id, 0, {}, {}, {}});
      auto receipts = AppendAll(case_id, first);
      const auto fresh = [](const Receipt& receipt) { return !receipt.again; };
      if (there && receipts && std::any_of(receipts->begin(), receipts->end(), fresh))
        return Error{"this case is there already", case_id, "append to it, or choose another id"};
      return receipts;
    });
  }

  Result<std::vector<Receipt>> Append(const std::string& case_id, std::span<const IncomingEntry> entries) override {
    return Write<std::vector<Receipt>>([&] { return AppendAll(case_id, entries); });
  }

  Result<std::vector<Entry>> Entries(const std::string& case_id, std::int64_t after) const override {
    return Guarded<std::vector<Entry>>([&]() -> Result<std::vector<Entry>> {
      const auto stored_case = store_->Case(case_id);
      if (!stored_case) return NoSuchCase(case_id);
      CheckedEntries read = ReadChecked(*store_, *hasher_, *stored_case, after);
      if (!read.fault.empty()) return Damaged(case_id, read.fault);
      return std::move(read.entries);
    });
  }

  Result<std::string> DataOf(const std::string& case_id, std::int64_t seq) const override {
    return Guarded<std::string>([&]() -> Result<std::string> {
      const auto stored = store_->BySeq(case_id, seq);
      if (!stored) return NoSuchEntry(case_id, seq);
      return stored->data.value_or("null");
    });
  }

  Result<std::vector<CaseLine>> Cases() const override {
    return Guarded<std::vector<CaseLine>>([&]() -> Result<std::vector<CaseLine>> {
      std::vector<CaseLine> lines;
      for (const StoredCase& stored : store_->Cases())
        if (stored.id != kLabCase) lines.push_back({stored.id, stored.entries, stored.last_at, stored.last_recorded});
      return lines;
    });
  }

  Result<VerifyReport> Verify(const std::string& case_id) const override {
    return Guarded<VerifyReport>([&]() -> Result<VerifyReport> {
      const auto stored_case = store_->Case(case_id);
      if (!stored_case) return NoSuchCase(case_id);
      return VerifyChain(*store_, *hasher_, *stored_case);
    });
  }

  const std::filesystem::path& Folder() const override { return folder_; }
  Result<CarriedChain> Out(const std::string& case_id) const override {
    return Guarded<CarriedChain>([&]() -> Result<CarriedChain> {
      if (!store_->Case(case_id)) return NoSuchCase(case_id);
      CarriedChain chain = ReadCarried(*store_, case_id);
      Hash prev{};
      for (const CarriedEntry& carried : chain.entries) {
        const std::string found = ChainFaultOf(*hasher_, {carried.entry, carried.data, carried.data_hash}, prev, carried.entry.seq);
        if (!found.empty()) return Damaged(case_id, found);
        prev = carried.entry.hash;
      }
      return chain;
    });
  }
  Result<std::vector<CarriedIn>> In(const std::vector<const CarriedChain*>& chains, bool only_look) override {
    const auto all = [&]() -> Result<std::vector<CarriedIn>> {
      std::vector<CarriedIn> came;
      for (const CarriedChain* chain : chains) {
        if (!IsCaseId(chain->case_id)) return Error{"this is no id for a case", chain->case_id, "use 1 to 64 letters, digits, - and _"};
        auto one = PutCarried(*store_, *chain, only_look);
        if (!one) return one.error();
        came.push_back(*one);
      }
      return came;
    };
    if (only_look) return Guarded<std::vector<CarriedIn>>(all);
    auto taken = Write<std::vector<CarriedIn>>(all);
    for (const CarriedChain* chain : chains)
      if (taken && !chain->entries.empty()) last_recorded_ = std::max(last_recorded_, chain->entries.back().entry.recorded);
    return taken;
  }

  Status StrikeOut(const std::string& case_id, std::int64_t seq, std::string_view reason) override {
    if (reason.empty()) return Error{"a reason is missing", case_id + ", " + Nth(seq), "say why it is struck out"};
    Status struck = Write<Done>([&]() -> Status {
      const auto stored = store_->BySeq(case_id, seq);
      if (!stored) return NoSuchEntry(case_id, seq);
      if (stored->data) store_->StrikeOut(case_id, seq, Now(), std::string(reason));
      return Done{};
    });
    if (!struck) return struck;
    return Guarded<Done>([&]() -> Status { store_->Empty(); return Done{}; });
  }

  Status SetPerson(const std::string& case_id, const Person& person) override {
    return Write<Done>([&]() -> Status {
      if (!store_->Case(case_id)) return NoSuchCase(case_id);
      store_->PutPerson(case_id, person);
      return Done{};
    });
  }
  Result<std::optional<Person>> PersonOf(const std::string& case_id) const override {
    return Guarded<std::optional<Person>>([&]() -> Result<std::optional<Person>> { return store_->PersonOf(case_id); });
  }
  Status ErasePerson(const std::string& case_id) override {
    Status erased = Write<Done>([&]() -> Status { store_->ErasePerson(case_id); return Done{}; });
    if (!erased) return erased;
    return Guarded<Done>([&]() -> Status { store_->Empty(); return Done{}; });
  }

  std::optional<Error> Warning() const override {
    if (!reserve_in_use_) return std::nullopt;
    return Error{"the disk is full and the reserve for the last entries is in use", folder_.string(),
                 "make room on the disk before it is used up", Fault::kOutside};
  }

 private:
  Error NoSuchCase(const std::string& case_id) const { return {"there is no case " + case_id, folder_.string(), "list the cases"}; }
  static Error NoSuchEntry(const std::string& case_id, std::int64_t seq) {
    return {"there is no " + Nth(seq), "case " + case_id, "look at the case's journal"};
  }
  Error Damaged(const std::string& case_id, const std::string& found) const {
    return {"the journal of this case has been changed or damaged: " + found, folder_.string() + ", case " + case_id,
            "leave it as it is, verify it, and compare with the last backup", Fault::kOutside};
  }

  Result<std::vector<Receipt>> AppendAll(const std::string& case_id, std::span<const IncomingEntry> entries) {
    const auto chain = store_->Case(case_id);
    if (!chain) return NoSuchCase(case_id);
    return AppendTo(*store_, *hasher_, *chain, entries, Now());
  }

  // The store's clock, which never goes backwards even if the machine's does.
  Instant Now() { return last_recorded_ = std::max(options_.clock(), last_recorded_); }

  // One transaction: all of `work` or, if it gives an error, nothing.
  template <typename T, typename Work>
  Result<T> Write(Work work) {
    if (options_.access == Access::kReadOnly)
      return Error{"this journal is open for reading only", folder_.string(), "write through the program that owns the folder", Fault::kOutside};
    auto result = WithReserve<T>([&]() -> Result<T> {
      store_->Begin();
      Result<T> made = work();
      if (made) {
        store_->Commit();
      } else {
        store_->Rollback();
      }
      return made;
    });
    if (result) RestoreBallast();
    return result;
  }

  // Runs `work`; if the disk is full, gives up the ballast and runs it once more.
  template <typename T, typename Work>
  Result<T> WithReserve(Work work) {
    bool full = false;
    auto result = Guarded<T>(work, &full);
    if (!full || !ballast_.GiveUp()) return result;
    reserve_in_use_ = true;
    return Guarded<T>(work, &full);
  }

  template <typename T, typename Work>
  Result<T> Guarded(Work work, bool* full = nullptr) const {
    try {
      return work();
    } catch (const StoreFailure& failure) {
      if (store_) store_->Rollback();
      if (full != nullptr) *full = failure.disk_full;
      return failure.error;
    } catch (const std::runtime_error& failure) {
      if (store_) store_->Rollback();
      return Error{failure.what(), folder_.string(), "check the installation", Fault::kOutside};
    }
  }

  void RestoreBallast() { reserve_in_use_ = !ballast_.Restore(); }

  std::filesystem::path folder_;
  JournalOptions options_;
  std::unique_ptr<FolderLock> lock_;
  Ballast ballast_;
  bool reserve_in_use_ = false;
  Instant last_recorded_;
  std::unique_ptr<ChainHasher> hasher_ = std::make_unique<ChainHasher>();
  std::unique_ptr<Store> store_;
};

}  // namespace

Result<std::unique_ptr<Journal>> OpenJournal(const std::filesystem::path& folder, JournalOptions options) {
  std::unique_ptr<FolderLock> lock;
  if (options.access == Access::kOwn) {
    if (!options.clock) return Error{"a journal is written with a clock", folder.string(), "give one"};
    auto held = LockFolder(folder);
    if (!held) return held.error();
    lock = std::move(*held);
  } else if (std::error_code none; !std::filesystem::is_directory(folder, none)) {
    return Error{"there is no such data folder", folder.string(), "give the folder that the program serves", Fault::kOutside};
  }
  auto journal = std::make_unique<LocalJournal>(folder, std::move(options), std::move(lock));
  if (auto opened = journal->Open(); !opened) return opened.error();
  return std::unique_ptr<Journal>(std::move(journal));
}

}  // namespace fairlead
