// SPDX-License-Identifier: Apache-2.0
#include "keeping/journal/carry.h"

#include <algorithm>
#include <map>
#include <unordered_map>

#include "casebook/entry_json.h"
#include "keeping/journal/carry_store.h"
#include "keeping/journal/chain.h"

namespace fairlead {
namespace {

struct Named {
  std::string kind;
  bool amends = false;
};

bool AcceptableText(const std::string& text, std::size_t most) {
  for (const char c : text)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) return false;
  return text.size() <= most;
}

// What the journal asks of an entry that comes from its own page, asked again: empty if nothing is wrong.
std::string Wrong(const CarriedEntry& carried, const std::unordered_map<std::string, Named>& earlier) {
  const Entry& entry = carried.entry;
  constexpr std::size_t kLongestName = 256;
  if (!IsUlid(entry.id)) return "its id is no ULID";
  if (earlier.contains(entry.id)) return "its id is there twice";
  if (entry.kind.empty() || !AcceptableText(entry.kind, 64)) return "its kind is no name";
  if (!AcceptableText(entry.by, kLongestName) || !AcceptableText(entry.device, kLongestName)) return "its writer is no name";
  if (carried.data && carried.data->size() > (entry.kind == "knowledge" ? kLongestKnowledge : kLongestEntry)) return "it is longer than an entry may be";
  const bool withdrawal = entry.kind == "withdraw";
  if (entry.amends.empty()) return withdrawal ? "it withdraws nothing" : "";
  const auto named = earlier.find(entry.amends);
  if (named == earlier.end()) return "it amends an entry that does not come before it";
  if (!withdrawal && named->second.amends) return "it amends an amendment";
  if (!withdrawal && named->second.kind != entry.kind) return "it amends an entry of another kind";
  return "";
}

}  // namespace

Status CheckCarried(const CarriedChain& chain, Instant now) {
  constexpr std::int64_t kClocksDiffer_ms = 24LL * 3600 * 1000;  // chosen: a clock that is wrong by its zone
  if (chain.entries.empty() && chain.case_id != kLabCase) return Error{"the case has no entries", chain.case_id, "export it again"};
  if (chain.entries.size() > kMostCarried) return Error{"the case has more than " + std::to_string(kMostCarried) + " entries", chain.case_id, "import it by restoring the whole data folder"};
  ChainHasher hasher;
  std::unordered_map<std::string, Named> earlier;
  Hash prev{};
  Instant recorded;
  std::int64_t seq = 0;
  for (const CarriedEntry& carried : chain.entries) {
    const Entry& entry = carried.entry;
    const auto wrong = [&](const std::string& what) { return Error{"entry " + std::to_string(seq) + " is not what was exported: " + what, chain.case_id, "export the case again, and carry it over without changing it"}; };
    ++seq;
    if (entry.case_id != chain.case_id) return wrong("it belongs to another case");
    if (entry.seq != seq) return wrong("its number is " + std::to_string(entry.seq));
    if (carried.data && hasher.OfBytes(*carried.data) != carried.data_hash) return wrong("its data does not match its hash");
    if (hasher.OfEntry(prev, entry, carried.data_hash) != entry.hash) return wrong("it does not match its hash");
    if (entry.recorded < recorded) return wrong("it was recorded before the one before it");
    if (entry.recorded.ms - now.ms > kClocksDiffer_ms) return wrong("it was recorded in the future");
    if ((chain.case_id == kLabCase) != (entry.kind == "knowledge") && !(chain.case_id == kLabCase && (entry.kind == "note" || entry.kind == "withdraw"))) return wrong("it is of kind \"" + entry.kind + "\", which belongs to another journal");
    if (!carried.data && carried.struck_because.empty()) return wrong("its data is gone and nobody said why");
    if (const std::string fault = Wrong(carried, earlier); !fault.empty()) return wrong(fault);
    earlier.emplace(entry.id, Named{entry.kind, !entry.amends.empty()});
    prev = entry.hash, recorded = entry.recorded;
  }
  return Done{};
}

std::filesystem::path FolderOf(const Journal& journal) {
  const auto* carries = dynamic_cast<const CarriesChains*>(&journal);
  return carries == nullptr ? std::filesystem::path() : carries->Folder();
}

Result<CarriedChain> CarryOut(const Journal& journal, const std::string& case_id) {
  const auto* carries = dynamic_cast<const CarriesChains*>(&journal);
  if (carries == nullptr) return Error{"this journal cannot be carried", "", "", Fault::kOutside};
  return carries->Out(case_id);
}

Result<std::vector<CarriedIn>> CarryIn(Journal& journal, const std::vector<const CarriedChain*>& chains, bool only_look) {
  auto* carries = dynamic_cast<CarriesChains*>(&journal);
  if (carries == nullptr) return Error{"this journal cannot take a case in", "", "", Fault::kOutside};
  return carries->In(chains, only_look);
}

CarriedChain ReadCarried(Store& store, const std::string& case_id) {
  CarriedChain chain{case_id, {}};
  std::map<std::int64_t, StruckOutRow> struck;
  for (StruckOutRow& row : store.StruckOut(case_id)) struck.emplace(row.seq, std::move(row));
  store.Each(case_id, 0, [&](StoredEntry& stored) {
    CarriedEntry carried{std::move(stored.entry), std::move(stored.data), stored.data_hash, {}, {}};
    if (const auto row = struck.find(carried.entry.seq); row != struck.end()) carried.struck = row->second.recorded, carried.struck_because = row->second.reason;
    chain.entries.push_back(std::move(carried));
    return true;
  });
  return chain;
}

Result<CarriedIn> PutCarried(Store& store, const CarriedChain& chain, bool only_look) {
  const auto there = store.Case(chain.case_id);
  const std::size_t have = there ? static_cast<std::size_t>(there->entries) : 0;
  const bool begins_so = have == 0 || (have <= chain.entries.size() ? chain.entries[have - 1].entry.hash == there->head
                                                                   : !chain.entries.empty() && store.BySeq(chain.case_id, static_cast<std::int64_t>(chain.entries.size())).value().entry.hash == chain.head());
  if (!begins_so) return Error{"this case is here already with other entries", "case " + chain.case_id, "nothing was changed: two versions of one case are not mixed"};
  if (have > 0 && have >= chain.entries.size()) return CarriedIn::kThere;
  for (std::size_t i = have; i < chain.entries.size(); ++i)
    if (const auto twin = store.ById(chain.entries[i].entry.id))
      return Error{"an entry of it is here already in another case", "case " + twin->entry.case_id, "nothing was changed: look whether the case was imported under another id"};
  const CarriedIn came = have == 0 ? CarriedIn::kNew : CarriedIn::kLonger;
  if (only_look) return came;
  StoredCase now{chain.case_id, 0, {}, {}, {}};
  if (!there) store.PutCase(now);
  for (std::size_t i = 0; i < chain.entries.size(); ++i) {
    const CarriedEntry& carried = chain.entries[i];
    const Entry& entry = carried.entry;
    if (i >= have) {
      store.Insert({entry, carried.data, carried.data_hash});
      if (!carried.data) store.NoteStruckOut(chain.case_id, {entry.seq, carried.struck, carried.struck_because});
    }
    now = {chain.case_id, entry.seq, i == 0 ? entry.at : std::max(now.last_at, entry.at), entry.recorded, entry.hash};
  }
  if (!chain.entries.empty()) store.PutCase(now);
  return came;
}

}  // namespace fairlead
