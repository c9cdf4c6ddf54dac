// SPDX-License-Identifier: Apache-2.0
// Whole cases in and out, as the practice holds them.
#include <algorithm>
#include <array>

#include "casebook/ulid.h"
#include "front/server/practice_carry.h"
#include "front/server/run_shown.h"
#include "keeping/images/digest.h"

namespace fairlead {
namespace {

// What the screens said at an entry that is told after the event, as if it had been typed when it was written.
IncomingEntry ToldShown(const Entry& entry, Shown shown) {
  Sha256 digest;
  digest.Add({reinterpret_cast<const std::uint8_t*>(entry.id.data()), entry.id.size()});
  const std::string hex = digest.Finish();
  std::array<std::uint8_t, 10> tail{};
  std::copy_n(hex.begin(), tail.size(), tail.begin());
  Entry own;
  own.id = NewUlid(entry.written, tail);
  own.at = entry.at, own.written = entry.written;
  own.by = "fairlead", own.device = "server";
  own.data = std::move(shown);
  return MakeIncoming(std::move(own));
}

}  // namespace

Status Practice::OpenCase(const std::string& case_id, std::span<const IncomingEntry> first) {
  const std::lock_guard lock(mutex_);
  auto lines = journal_->Cases();
  if (!lines.ok()) return lines.error();
  if (!first.empty() && std::ranges::any_of(*lines, [&](const CaseLine& line) { return line.id == case_id; })) {
    auto again = journal_->NewCase(case_id, first.first(1));
    return again.ok() ? Status(Done{}) : again.error();
  }
  // The screens speak at each step of a run, as they do when it is typed.
  State told;
  std::vector<IncomingEntry> all;
  const auto tell = [&](IncomingEntry incoming) {
    Entry entry = incoming.entry;
    entry.seq = static_cast<std::int64_t>(all.size()) + 1, entry.recorded = entry.written;
    AddEntry(told, entry);
    all.push_back(std::move(incoming));
    return entry;
  };
  for (const IncomingEntry& incoming : first) {
    const Entry entry = tell(incoming);
    if (StepOf(entry.data).empty()) continue;
    auto shown = ShownAt(told, entry);
    if (!shown.ok()) return shown.error();
    tell(ToldShown(entry, std::move(*shown)));
  }
  auto receipts = journal_->NewCase(case_id, all);
  if (!receipts.ok()) return receipts.error();
  return Done{};
}

std::filesystem::path DataOf(Practice& practice) { return FolderOf(practice.journal()); }

// AppendPlanned runs what it is given under the practice's lock; of nothing planned nothing is written.
Result<std::vector<CarriedIn>> Carry(Practice& practice, const std::vector<const CarriedChain*>& chains, bool only_look) {
  Result<std::vector<CarriedIn>> came = std::vector<CarriedIn>{};
  auto locked = practice.AppendPlanned(std::string(kLabCase), [&](const State&) -> Result<std::vector<IncomingEntry>> {
    came = CarryIn(practice.journal(), chains, only_look);
    return std::vector<IncomingEntry>{};
  });
  if (!locked.ok()) return locked.error();
  if (!came.ok() || only_look) return came;
  for (const CarriedChain* chain : chains) {
    // One of its entries once more is acknowledged and not written; on the way everything that is new is read, and told. Not one after which
    // the screens would speak anew.
    for (const CarriedEntry& carried : chain->entries) {
      if (!carried.data) continue;
      IncomingEntry again{carried.entry, *carried.data};
      again.entry.data = ReadEntryData(again.entry.kind, again.entry.v, again.data);
      const auto* fact = std::get_if<FactStated>(&again.entry.data);
      if (!StepOf(again.entry.data).empty() || (fact != nullptr && fact->mark == Mark::kMeasured)) continue;
      if (auto read = practice.Append(chain->case_id, {&again, 1}); !read.ok()) return read.error();
      break;
    }
  }
  return came;
}

Result<ParcelContents> Gather(Practice& practice, const std::string& case_id, const std::string& program) {
  Result<ParcelContents> contents = ParcelContents{};
  auto locked = practice.AppendPlanned(std::string(kLabCase), [&](const State&) -> Result<std::vector<IncomingEntry>> {
    contents = GatherCase(practice.journal(), FolderOf(practice.journal()), case_id, program);
    return std::vector<IncomingEntry>{};
  });
  if (!locked.ok()) return locked.error();
  return contents;
}

}  // namespace fairlead
