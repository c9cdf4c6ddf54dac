// SPDX-License-Identifier: Apache-2.0
#include "casebook/fold.h"

#include <algorithm>
#include <cassert>
#include <set>
#include <utility>

namespace fairlead {
namespace {

bool IsWithdrawal(const Entry& entry) { return entry.kind == "withdraw"; }

bool Earlier(const State& state, EntryIndex a, EntryIndex b) {
  const Entry &first = state.entries[a], &second = state.entries[b];
  return std::pair(first.at, first.seq) < std::pair(second.at, second.seq);
}

void PutIn(const State& state, std::vector<EntryIndex>& standing, EntryIndex index) {
  const auto place = std::upper_bound(standing.begin(), standing.end(), index,
                                      [&](EntryIndex a, EntryIndex b) { return Earlier(state, a, b); });
  standing.insert(place, index);
}

void TakeOut(std::vector<EntryIndex>& standing, EntryIndex index) { std::erase(standing, index); }

// The list in which an entry of this data stands; null if its kind never feeds the fold.
std::vector<EntryIndex>* StandingList(State& state, const EntryData& data) {
  if (const auto* fact = std::get_if<FactStated>(&data)) return &state.facts[fact->key].standing;
  if (const auto* image = std::get_if<ImageAdded>(&data)) return &state.images[image->hash].added;
  if (const auto* set = std::get_if<PixelSizeSet>(&data)) return &state.images[set->image].calibrations;
  if (std::holds_alternative<RunEvent>(data)) return &state.run;
  if (std::holds_alternative<DoseGiven>(data)) return &state.doses;
  if (std::holds_alternative<NoteWritten>(data)) return &state.notes;
  if (std::holds_alternative<CaseOpened>(data)) return &state.case_opened;
  if (const auto* written = std::get_if<KnowledgeWritten>(&data)) return &state.knowledge[written->name];
  return nullptr;
}

void SetStatus(State& state, EntryIndex index, EntryStatus status) {
  EntryStatus& held = state.status[index];
  if (held == EntryStatus::kNotUnderstood) --state.not_understood;
  if (status == EntryStatus::kNotUnderstood) ++state.not_understood;
  held = status;
}

// A withdrawal of a newer program's making takes nothing out: it is shown as not understood instead. One whose reason
// was struck out still does.
bool TakesOut(const Entry& entry) { return IsWithdrawal(entry) && !std::holds_alternative<NotUnderstood>(entry.data); }

// A withdrawal counts unless a later one that counts takes it out again.
bool IsWithdrawn(const State& state, EntryIndex index) {
  const auto& namers = state.named_by[index];
  return std::any_of(namers.begin(), namers.end(), [&](EntryIndex namer) {
    return TakesOut(state.entries[namer]) && !IsWithdrawn(state, namer);
  });
}

// What an entry is apart from any later one: readable and able to stand, or not.
EntryStatus AloneStatus(const State& state, EntryIndex index) {
  const Entry& entry = state.entries[index];
  if (IsWithdrawn(state, index)) return EntryStatus::kWithdrawn;
  if (std::holds_alternative<StruckOut>(entry.data)) return EntryStatus::kStruckOut;
  if (std::holds_alternative<NotUnderstood>(entry.data)) return EntryStatus::kNotUnderstood;
  return EntryStatus::kCounts;
}

bool CanAmend(const Entry& amendment, const Entry& original) {
  return !IsWithdrawal(amendment) && amendment.kind == original.kind && original.amends.empty();
}

// Settles an original and its amendments anew: the highest seq that can stand stands, the others do not.
void SettleOriginal(State& state, EntryIndex original) {
  std::vector<EntryIndex> versions{original};
  for (const EntryIndex namer : state.named_by[original])
    if (CanAmend(state.entries[namer], state.entries[original])) versions.push_back(namer);
  bool found = false;
  for (auto version = versions.rbegin(); version != versions.rend(); ++version) {
    const EntryIndex index = *version;
    const Entry& entry = state.entries[index];
    const bool stood = state.status[index] == EntryStatus::kCounts || state.status[index] == EntryStatus::kAmendment;
    EntryStatus now = AloneStatus(state, index);
    if (now == EntryStatus::kCounts && found) now = EntryStatus::kAmended;
    else if (now == EntryStatus::kCounts && index != original) now = EntryStatus::kAmendment;
    const bool stands = now == EntryStatus::kCounts || now == EntryStatus::kAmendment;
    found |= stands;
    SetStatus(state, index, now);
    const bool in_time = !state.until || entry.at <= *state.until;
    if (stood == stands || !in_time) continue;
    if (auto* list = StandingList(state, entry.data)) stands ? PutIn(state, *list, index) : TakeOut(*list, index);
  }
}

// The earlier entry that `amends` names; none if there is no such entry.
std::optional<EntryIndex> Named(const State& state, EntryIndex index) {
  if (state.entries[index].amends.empty()) return std::nullopt;
  const auto found = state.places.find(state.entries[index].amends);
  if (found == state.places.end() || found->second >= index) return std::nullopt;
  return found->second;
}

EntryStatus WithdrawalStatus(const State& state, EntryIndex index) {
  const EntryStatus alone = AloneStatus(state, index);
  return alone == EntryStatus::kCounts && !Named(state, index) ? EntryStatus::kNotUnderstood : alone;
}

// Settles the entry at `index` and whatever it takes out or gives back, through withdrawals of withdrawals.
void Settle(State& state, EntryIndex index) {
  while (IsWithdrawal(state.entries[index])) {
    SetStatus(state, index, WithdrawalStatus(state, index));
    const auto target = Named(state, index);
    if (!target) return;
    index = *target;
  }
  if (state.entries[index].amends.empty()) return SettleOriginal(state, index);
  const auto original = Named(state, index);
  if (original && CanAmend(state.entries[index], state.entries[*original])) return SettleOriginal(state, *original);
  // It amends nothing that it could; once withdrawn, nobody need understand it.
  SetStatus(state, index, IsWithdrawn(state, index) ? EntryStatus::kWithdrawn : EntryStatus::kNotUnderstood);
}

// The entry at `index`, those before it having been taken.
void Take(State& state, EntryIndex index) {
  const Entry& entry = state.entries[index];
  state.seq = entry.seq;
  state.status.push_back(EntryStatus::kAmended);  // stands nowhere until it is settled
  state.named_by.emplace_back();
  const bool first_of_its_id = state.places.emplace(entry.id, index).second;
  if (const auto* fact = std::get_if<FactStated>(&entry.data)) state.facts[fact->key].history.push_back(index);
  if (!first_of_its_id) return SetStatus(state, index, EntryStatus::kNotUnderstood);
  if (const auto named = Named(state, index); named) state.named_by[*named].push_back(index);
  Settle(state, index);
}

State FoldUntil(std::vector<Entry> entries, std::optional<Instant> until) {
  const auto by_seq = [](const Entry& a, const Entry& b) { return a.seq < b.seq; };
  if (!std::is_sorted(entries.begin(), entries.end(), by_seq)) std::sort(entries.begin(), entries.end(), by_seq);
  State state;
  state.until = until;
  state.entries = std::move(entries);
  state.status.reserve(state.entries.size());
  state.named_by.reserve(state.entries.size());
  state.places.reserve(state.entries.size());
  for (EntryIndex index = 0; index < state.entries.size(); ++index) Take(state, index);
  return state;
}

const Entry* Last(const State& state, const std::vector<EntryIndex>& standing) {
  return standing.empty() ? nullptr : &state.entries[standing.back()];
}

}  // namespace

std::string_view StatusName(EntryStatus status) {
  switch (status) {
    case EntryStatus::kCounts: return "counts";
    case EntryStatus::kAmendment: return "amendment";
    case EntryStatus::kAmended: return "amended";
    case EntryStatus::kWithdrawn: return "withdrawn";
    case EntryStatus::kNotUnderstood: return "not understood";
    case EntryStatus::kStruckOut: return "struck out";
  }
  return "";
}

void AddEntry(State& state, Entry entry) {
  assert(state.entries.empty() || entry.seq > state.seq);
  state.entries.push_back(std::move(entry));
  Take(state, state.entries.size() - 1);
}

State Fold(std::vector<Entry> entries) { return FoldUntil(std::move(entries), std::nullopt); }

State Fold(std::vector<Entry> entries, AsItWas past) { return FoldUntil(std::move(entries), past.at); }

State Fold(std::vector<Entry> entries, AsItWasKnown past) {
  std::erase_if(entries, [past](const Entry& entry) { return entry.recorded > past.recorded; });
  return FoldUntil(std::move(entries), std::nullopt);
}

const Entry* StandingFactEntry(const State& state, const FactKey& key) {
  const auto found = state.facts.find(key);
  return found == state.facts.end() ? nullptr : Last(state, found->second.standing);
}

const FactStated* StandingFact(const State& state, const FactKey& key) {
  const Entry* entry = StandingFactEntry(state, key);
  return entry == nullptr ? nullptr : std::get_if<FactStated>(&entry->data);
}

const CaseOpened* CaseInfo(const State& state) {
  const Entry* entry = Last(state, state.case_opened);
  return entry == nullptr ? nullptr : std::get_if<CaseOpened>(&entry->data);
}

const PixelSizeSet* PixelSizeOf(const State& state, const std::string& image, const Entry** entry) {
  const auto found = state.images.find(image);
  const Entry* last = found == state.images.end() ? nullptr : Last(state, found->second.calibrations);
  if (entry != nullptr) *entry = last;
  return last == nullptr ? nullptr : std::get_if<PixelSizeSet>(&last->data);
}

std::vector<EntryIndex> ImagesInOrder(const State& state) {
  std::vector<EntryIndex> images;
  for (const auto& [hash, image] : state.images)
    if (!image.added.empty()) PutIn(state, images, image.added.front());
  return images;
}

std::vector<EntryIndex> JournalLines(const State& state) {
  std::vector<EntryIndex> lines;
  for (EntryIndex index = 0; index < state.entries.size(); ++index)
    if (!state.until || state.entries[index].at <= *state.until) lines.push_back(index);
  return lines;
}

std::vector<std::string> Channels(const State& state) {
  std::set<std::string> channels;
  for (const auto& [key, fact] : state.facts)
    if (!key.of.empty() && !fact.standing.empty()) channels.insert(key.of);
  return {channels.begin(), channels.end()};
}

Facts StandingFacts(const State& state) {
  Facts facts;
  for (const auto& [key, fact] : state.facts)
    if (const FactStated* stated = StandingFact(state, key)) facts.emplace(key, stated->belief);
  return facts;
}

}  // namespace fairlead
