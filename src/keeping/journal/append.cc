// SPDX-License-Identifier: Apache-2.0
#include "keeping/journal/append.h"

#include <algorithm>
#include <string>
#include <utility>

namespace fairlead {
namespace {

// The members that the writer gave; the store's own are not compared.
bool SameWriting(const Entry& a, const Entry& b) {
  return a.v == b.v && a.case_id == b.case_id && a.at == b.at && a.written == b.written && a.by == b.by &&
         a.device == b.device && a.kind == b.kind && a.amends == b.amends;
}

// Whether an entry of `size` bytes of data may follow what is there.
Status Fits(Store& store, const Entry& entry, std::size_t size) {
  if (!IsUlid(entry.id)) return Error{"the id is no ULID", "", "make one of 26 capital letters and digits"};
  const bool knowledge = entry.kind == "knowledge";
  if (size > (knowledge ? kLongestKnowledge : kLongestEntry)) return Error{"the entry is longer than " + std::string(knowledge ? "512" : "64") + " KiB", "", "shorten it"};
  const bool withdrawal = entry.kind == "withdraw";
  if (entry.amends.empty()) {
    if (withdrawal) return Error{"a withdrawal names no entry", "", "name the entry that no longer counts"};
    return Done{};
  }
  const auto named = store.ById(entry.amends);
  if (!named || named->entry.case_id != entry.case_id)
    return Error{"it amends " + entry.amends + ", which this case does not have", "", "send the original first"};
  if (withdrawal) return Done{};
  if (!named->entry.amends.empty())
    return Error{"it amends an amendment", "", "amend the original, " + named->entry.amends};
  if (named->entry.kind != entry.kind)
    return Error{"it is of kind \"" + entry.kind + "\" and amends one of kind \"" + named->entry.kind + "\"", "", "withdraw that one and write a new one"};
  return Done{};
}

Result<Receipt> AppendOne(Store& store, ChainHasher& hasher, StoredCase& chain, const IncomingEntry& incoming, Instant now) {
  StoredEntry stored{incoming.entry, incoming.data, hasher.OfBytes(incoming.data)};
  Entry& entry = stored.entry;
  if (!entry.case_id.empty() && entry.case_id != chain.id)
    return Error{"this entry belongs to case " + entry.case_id, "case " + chain.id, "send it to its own case"};
  entry.case_id = chain.id;
  if (const auto there = store.ById(entry.id)) {
    if (SameWriting(there->entry, entry) && there->data_hash == stored.data_hash)
      return Receipt{entry.id, there->entry.seq, there->entry.recorded, there->entry.hash, true};
    return Error{"an entry of this id is there already with other contents", "case " + there->entry.case_id,
                 "entries are never rewritten: amend it, or give the new one an id of its own"};
  }
  if (auto fit = Fits(store, entry, incoming.data.size()); !fit) return fit.error();
  entry.seq = chain.entries + 1;
  entry.recorded = now;
  entry.hash = hasher.OfEntry(chain.head, entry, stored.data_hash);
  store.Insert(stored);
  chain = {chain.id, entry.seq, chain.entries == 0 ? entry.at : std::max(chain.last_at, entry.at), now, entry.hash};
  return Receipt{entry.id, entry.seq, entry.recorded, entry.hash, false};
}

}  // namespace

Result<std::vector<Receipt>> AppendTo(Store& store, ChainHasher& hasher, StoredCase chain, std::span<const IncomingEntry> entries, Instant now) {
  std::vector<Receipt> receipts;
  for (const IncomingEntry& incoming : entries) {
    auto receipt = AppendOne(store, hasher, chain, incoming, now);
    if (!receipt) return Within("entry " + incoming.entry.id, receipt.error());
    receipts.push_back(*std::move(receipt));
  }
  store.PutCase(chain);
  return receipts;
}

}  // namespace fairlead
