// SPDX-License-Identifier: Apache-2.0
// The fold: what a case's entries say, taken together. Pure; the order is (at, seq); the highest seq of an entry and
// its amendments that is not withdrawn stands for them all.
#pragma once

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "casebook/entry.h"
#include "casebook/entry_text.h"

namespace fairlead {

// What has become of an entry.
enum class EntryStatus {
  kCounts,         // stands
  kAmendment,      // an amendment that stands for its original
  kAmended,        // a later amendment stands instead
  kWithdrawn,      // taken out by a withdrawal that counts
  kNotUnderstood,  // kind or version of a newer program, or an `amends` that names nothing it could amend
  kStruckOut,      // payload erased; its data counts no more (a withdrawal without its reason still takes out)
};
std::string_view StatusName(EntryStatus status);  // "counts", "amendment", "not understood": the wire's words

// Places in State::entries.
using EntryIndex = std::size_t;

// One fact: every entry that ever spoke of it, and those that stand.
struct FactState {
  std::vector<EntryIndex> history;   // by seq; whatever their status
  std::vector<EntryIndex> standing;  // by (at, seq); the last is the present belief; empty: unknown again
};

struct ImageState {
  std::vector<EntryIndex> added;         // "image" entries that stand, by (at, seq); empty: calibrated, never added
  std::vector<EntryIndex> calibrations;  // "calibration" entries that stand, by (at, seq); the last is in force
};

struct State {
  std::vector<Entry> entries;             // by seq; all of them, whatever their status
  std::vector<EntryStatus> status;        // of the entry in the same place
  std::vector<EntryIndex> case_opened;    // "case" entries that stand, by (at, seq); the last is in force
  std::map<FactKey, FactState> facts;
  std::map<std::string, ImageState> images;  // by content hash
  std::vector<EntryIndex> run;            // "run" entries that stand, by (at, seq); casebook/run reads them
  std::vector<EntryIndex> doses;          // "dose" entries that stand, by (at, seq)
  std::vector<EntryIndex> notes;          // standing, by (at, seq)
  std::map<std::string, std::vector<EntryIndex>> knowledge;  // of the lab: standing by name, by (at, seq); see knowledge.h
  std::size_t not_understood = 0;         // entries of that status; signing waits while there are any
  std::optional<Instant> until;           // as it was: only what happened up to then stands
  std::int64_t seq = 0;                   // of the last entry folded

  // For the next entry: where an id stands, and who names an entry in `amends`.
  std::unordered_map<std::string, EntryIndex> places;
  std::vector<std::vector<EntryIndex>> named_by;
};

// As it was at `at`: today's knowledge of what had happened by then. Amendments and withdrawals count whenever they
// were written; what stands is cut by its own `at`.
struct AsItWas {
  Instant at;
};
// As it was known at `recorded`: only the entries that the store had by then, with the amendments known then.
struct AsItWasKnown {
  Instant recorded;
};

// The order of `entries` does not matter; they carry their seq. Two with the same id: the later is not understood.
State Fold(std::vector<Entry> entries);
State Fold(std::vector<Entry> entries, AsItWas past);
State Fold(std::vector<Entry> entries, AsItWasKnown past);

// One more: `entry.seq` is above every seq before it. Fold(a + b) = AddEntry(Fold(a), b).
void AddEntry(State& state, Entry entry);

// --- Reading a state. Null or empty where there is none.
const FactStated* StandingFact(const State& state, const FactKey& key);
const Entry* StandingFactEntry(const State& state, const FactKey& key);
const CaseOpened* CaseInfo(const State& state);
const PixelSizeSet* PixelSizeOf(const State& state, const std::string& image, const Entry** entry = nullptr);
// Images that stand, in the order they came: (at, seq) of their first standing entry.
std::vector<EntryIndex> ImagesInOrder(const State& state);
// Lines of the journal, by seq; with `until`, those that happened by then.
std::vector<EntryIndex> JournalLines(const State& state);
// The belief of every fact that stands, for scoring.
Facts StandingFacts(const State& state);
// Short names of the collateral channels that any standing fact speaks of, sorted.
std::vector<std::string> Channels(const State& state);

}  // namespace fairlead
