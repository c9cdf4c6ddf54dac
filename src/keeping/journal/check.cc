// SPDX-License-Identifier: Apache-2.0
#include "keeping/journal/check.h"

#include <algorithm>
#include <future>
#include <optional>
#include <span>
#include <utility>

namespace fairlead {
namespace {

constexpr std::size_t kMostFaults = 100;

void ReadData(std::span<Entry> entries, std::span<const std::optional<std::string>> texts) {
  for (std::size_t i = 0; i < entries.size(); ++i)
    entries[i].data = texts[i] ? ReadEntryData(entries[i].kind, entries[i].v, *texts[i]) : EntryData(StruckOut{});
}

// Reading the data is half of the time that a long case takes to open, so a second thread takes half of it.
void ReadAllData(std::span<Entry> entries, std::span<const std::optional<std::string>> texts) {
  constexpr std::size_t kWorthAThread = 512;  // chosen: below this the thread costs more than it saves
  const std::size_t half = entries.size() < kWorthAThread ? 0 : entries.size() / 2;
  std::future<void> beside;
  if (half > 0) beside = std::async(std::launch::async, ReadData, entries.first(half), texts.first(half));
  ReadData(entries.subspan(half), texts.subspan(half));
  if (beside.valid()) beside.get();
}

}  // namespace

std::string Nth(std::int64_t seq) { return "entry " + std::to_string(seq); }

std::string ChainFaultOf(ChainHasher& hasher, const StoredEntry& stored, const Hash& prev, std::int64_t seq) {
  const Entry& entry = stored.entry;
  if (entry.seq != seq) return Nth(seq) + " is missing";
  if (stored.data && hasher.OfBytes(*stored.data) != stored.data_hash) return "the data of " + Nth(seq) + " does not match its hash";
  if (hasher.OfEntry(prev, entry, stored.data_hash) != entry.hash) return Nth(seq) + " does not match its hash";
  return {};
}

CheckedEntries ReadChecked(Store& store, ChainHasher& hasher, const StoredCase& chain, std::int64_t after) {
  CheckedEntries read;
  std::vector<std::optional<std::string>> texts;
  read.entries.reserve(static_cast<std::size_t>(std::max(std::int64_t{0}, chain.entries - after)));
  texts.reserve(read.entries.capacity());
  Hash prev{};
  if (const auto before = after > 0 ? store.BySeq(chain.id, after) : std::nullopt) prev = before->entry.hash;
  store.Each(chain.id, after, [&](StoredEntry& stored) {
    read.fault = ChainFaultOf(hasher, stored, prev, after + static_cast<std::int64_t>(read.entries.size()) + 1);
    Entry& entry = stored.entry;
    entry.prev = std::exchange(prev, entry.hash);
    texts.push_back(std::move(stored.data));
    read.entries.push_back(std::move(entry));
    return read.fault.empty();
  });
  if (!read.fault.empty()) return read;
  if (after + static_cast<std::int64_t>(read.entries.size()) < chain.entries) {
    read.fault = "the last entries are missing";
    return read;
  }
  ReadAllData(read.entries, texts);
  return read;
}

VerifyReport VerifyChain(Store& store, ChainHasher& hasher, const StoredCase& chain) {
  const std::vector<StruckOutRow> struck = store.StruckOut(chain.id);
  VerifyReport report;
  const auto add = [&](std::string fault) { if (report.faults.size() < kMostFaults) report.faults.push_back(std::move(fault)); };
  Instant recorded;
  store.Each(chain.id, 0, [&](StoredEntry& stored) {
    const std::string found = ChainFaultOf(hasher, stored, report.head, ++report.entries);
    if (!found.empty()) add(found);
    if (stored.entry.recorded < recorded) add(Nth(stored.entry.seq) + " was recorded before the one before it");
    if (!stored.data) ++report.struck_out;
    if (!stored.data && std::ranges::find(struck, stored.entry.seq, &StruckOutRow::seq) == struck.end())
      add(Nth(stored.entry.seq) + " has lost its data and was never struck out");
    recorded = stored.entry.recorded;
    report.head = stored.entry.hash;
    return true;
  });
  if (report.entries != chain.entries)
    add("there are " + std::to_string(report.entries) + " entries, there should be " + std::to_string(chain.entries));
  if (report.head != chain.head) add("the last hash is not the one noted beside the chain");
  return report;
}

}  // namespace fairlead
