// SPDX-License-Identifier: Apache-2.0
#include "front/server/row_packer.h"

#include <algorithm>
#include <condition_variable>
#include <deque>
#include <map>
#include <mutex>
#include <thread>
#include <tuple>

#include "front/server/registry_kept.h"

namespace fairlead {
namespace {

// Two threads read the bodies while the caller reads on.
class PackRows : public PackAll {
 public:
  PackRows() {
    for (std::jthread& each : workers_) each = std::jthread([this] { Work(); });
  }
  ~PackRows() override { Stop(); }
  PackRows(const PackRows&) = delete;
  PackRows& operator=(const PackRows&) = delete;

  void Take(std::vector<KeptRow> rows) override {
    std::unique_lock lock(mutex_);
    room_.wait(lock, [&] { return waiting_.size() < 4; });
    waiting_.push_back(std::move(rows));
    work_.notify_one();
  }

  void Finish(const std::function<void(std::int64_t, const KeptDay&)>& day, const std::function<void(std::int64_t, const std::string&)>& month,
              const std::function<void(const KeptSum&)>& sum) override {
    Stop();
    packed_.Sort();
    for (const auto& each : sums_) sum(each.second);
    const auto& cases = packed_.cases();
    std::vector<const PackedCase*> rows, of_month;
    for (std::size_t i = 0; i < cases.size(); ++i) {
      rows.push_back(&cases[i]), of_month.push_back(&cases[i]);
      const bool last = i + 1 == cases.size();
      if (const std::int64_t here = DayNumber(cases[i].began); last || DayNumber(cases[i + 1].began) != here) {
        DayText text = TextOfDay(packed_, rows);
        day(here, {std::move(text.letters), std::move(text.ids), std::move(text.rows), std::move(text.known)});
        rows.clear();
      }
      if (const int here = MonthNumber(cases[i].began); last || MonthNumber(cases[i + 1].began) != here) {
        AuditSums made;
        made.Add(packed_, of_month);
        month(here, SumsText(made));
        of_month.clear();
      }
    }
  }

 private:
  void Stop() {
    {
      const std::lock_guard lock(mutex_);
      ended_ = true;
    }
    work_.notify_all();
    for (std::jthread& each : workers_) {
      if (each.joinable()) each.join();
    }
  }

  void Work() {
    while (true) {
      std::vector<KeptRow> rows;
      {
        std::unique_lock lock(mutex_);
        work_.wait(lock, [&] { return ended_ || !waiting_.empty(); });
        if (waiting_.empty()) return;
        rows = std::move(waiting_.front());
        waiting_.pop_front();
      }
      room_.notify_one();
      std::vector<CaseRow> read;
      for (const KeptRow& row : rows) {
        if (auto one = CaseRowOf(row)) read.push_back(std::move(*one));
      }
      const std::lock_guard lock(packing_);
      for (const CaseRow& row : read) packed_.Add(row), AddSum(SumOfRow(row));
    }
  }

  void AddSum(const KeptSum& sum) {
    KeptSum& to = sums_.try_emplace({sum.by, sum.year, sum.vessel, sum.strategy, sum.difficulty}, KeptSum{{}, sum.by, sum.year, sum.vessel, sum.strategy, sum.difficulty}).first->second;
    to.cases += sum.cases, to.outcomes += sum.outcomes, to.successes += sum.successes;
    to.complication_entries += sum.complication_entries, to.complications += sum.complications;
  }

  std::mutex mutex_, packing_;               // of what waits; of what is packed
  std::condition_variable room_, work_;
  std::deque<std::vector<KeptRow>> waiting_;
  bool ended_ = false;
  PackedCases packed_;
  std::map<std::tuple<std::string, int, std::string, std::string, int>, KeptSum> sums_;
  std::array<std::jthread, 2> workers_;      // last: they end before what they use
};

class PackerOfRows : public Packer {
 public:
  std::int64_t Day(Instant began) const override { return DayNumber(began); }
  std::int64_t Month(Instant began) const override { return MonthNumber(began); }
  std::unique_ptr<PackAll> All() const override { return std::make_unique<PackRows>(); }

  bool Change(const std::vector<RowChange>& changes, KeptPacks& packs) const override {
    RowsOutIn rows;
    for (const RowChange& change : changes) {
      if (auto row = CaseRowOf(change.before)) rows.out.push_back(std::move(*row));
      if (auto row = CaseRowOf(change.after)) rows.in.push_back(std::move(*row));
    }
    std::map<std::int64_t, DayText> days;
    std::map<int, std::string> months;
    for (auto& [number, day] : packs.days) days[number] = {std::move(day.letters), std::move(day.ids), std::move(day.rows), std::move(day.known)};
    for (auto& [number, sums] : packs.months) months[static_cast<int>(number)] = std::move(sums);
    if (!ChangeKept(rows, days, months)) return false;
    packs = {};
    for (auto& [number, day] : days) packs.days[number] = {std::move(day.letters), std::move(day.ids), std::move(day.rows), std::move(day.known)};
    for (auto& [number, sums] : months) packs.months[number] = std::move(sums);
    return true;
  }
};

std::optional<AuditBook> BookFrom(KeptPacks packs) {
  AuditBook book;
  for (const auto& each : packs.months) {
    const auto sums = ReadSums(each.second);
    if (!sums) return std::nullopt;
    book.sums.Merge(*sums);
  }
  for (auto& [number, day] : packs.days) book.days[number] = {std::move(day.letters), std::move(day.ids), {}, {}};
  return book;
}

std::optional<PackedCases> RowsFrom(const KeptPacks& packs) {
  PackedCases rows;
  for (const auto& each : packs.days) {
    if (!each.second.rows.empty() && !TakeDay(each.second.rows, rows)) return std::nullopt;
  }
  rows.Sort();
  return rows;
}

std::optional<LikeSearch> SearchOf(LikeSearch search, const std::set<std::string_view>& gone, const KeptPacks& packs) {
  for (const auto& each : packs.days) {
    if (!search.TakeKept(each.second.known, gone)) return std::nullopt;
  }
  return search;
}

// Asked, and asked once more after all was made anew.
template <typename T, typename From>
Result<T> ReadOrMake(RegistryStore& store, const std::string& lab, const PacksAsked& asked, From from) {
  for (const bool again : {false, true}) {
    if (again) {
      if (auto made = store.RebuildSums(); !made.ok()) return made.error();
    }
    auto packs = store.Packs(lab, asked);
    if (!packs.ok()) return packs.error();
    if (auto read = from(std::move(*packs))) return std::move(*read);
  }
  return Error{"what the registry keeps for the audit cannot be read", lab, "fairlead registry rebuild makes it again", Fault::kOutside};
}

}  // namespace

const Packer& RowPacker() {
  static const PackerOfRows kPacker;
  return kPacker;
}

Result<AuditBook> ReadBook(RegistryStore& store, const std::string& lab) { return ReadOrMake<AuditBook>(store, lab, {}, BookFrom); }

Result<PackedCases> ReadPacked(RegistryStore& store, const std::string& lab, const Slice& slice) {
  PacksAsked asked{.months = false, .heads = false, .rows = true};
  if (slice.since) asked.from = DayNumber(*slice.since);
  if (slice.until) asked.until = DayNumber(*slice.until);
  return ReadOrMake<PackedCases>(store, lab, asked, RowsFrom);
}

Result<LikeSearch> SearchLike(RegistryStore& store, const std::string& lab, const LikeSearch& before, const std::set<std::string_view>& gone) {
  return ReadOrMake<LikeSearch>(store, lab, {.months = false, .heads = false, .known = true}, [&](const KeptPacks& packs) { return SearchOf(before, gone, packs); });
}

bool IsEverything(const Slice& slice) {
  return !slice.since && !slice.until && slice.by.empty() && slice.vessel.empty() && slice.strategy.empty() && !slice.j_cto_from && !slice.j_cto_to && !slice.first_attempts;
}

Result<Audit> AuditOfStore(RegistryStore& store, const std::string& lab, const Slice& slice) {
  if (IsEverything(slice)) {
    auto book = ReadBook(store, lab);
    if (!book.ok()) return book.error();
    return AuditOf(*book);
  }
  auto rows = ReadPacked(store, lab, slice);
  if (!rows.ok()) return rows.error();
  return RunAudit(*rows, slice);
}

Status ChangeBookOf(RegistryStore& store, const std::string& lab, const RowsOutIn& change, AuditBook& book) {
  std::vector<std::int64_t> unread;
  for (const std::int64_t day : DaysTouched(change)) {
    if (const auto held = book.days.find(day); held == book.days.end() || held->second.rows.empty()) unread.push_back(day);
  }
  auto packs = store.Packs(lab, {.months = false, .heads = false, .days = unread});
  if (!packs.ok()) return packs.error();
  for (auto& [number, day] : packs->days) book.days[number] = {std::move(day.letters), std::move(day.ids), std::move(day.rows), std::move(day.known)};
  if (!ChangeBook(book, change)) return Error{"what the registry keeps for the audit cannot be read", lab, "fairlead registry rebuild makes it again", Fault::kOutside};
  return Done{};
}

}  // namespace fairlead
