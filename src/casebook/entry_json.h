// SPDX-License-Identifier: Apache-2.0
// Entries to and from JSON. What people send is read strictly; what the journal holds is read forgivingly, so that a
// newer program's entry is kept and shown instead of lost.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "casebook/entry.h"
#include "casebook/ulid.h"
#include "measure/result.h"

namespace fairlead {

inline constexpr std::size_t kLongestEntry = 64 * 1024;  // bytes of JSON; chosen
inline constexpr std::size_t kLongestKnowledge = 512 * 1024;  // of kind "knowledge": a shelf of a thousand devices; chosen
inline constexpr int kDeepestEntry = 16;                 // nested lists and objects; chosen

// An entry on its way in: the typed members and the bytes of `data` exactly as they came. The store keeps and hashes
// these bytes. `seq`, `recorded`, `prev` and `hash` are not yet given; `case_id` is filled by whoever knows the case.
struct IncomingEntry {
  Entry entry;
  std::string data;
};

// The present version of a kind's data; 0 if the kind is not known.
int PresentVersion(std::string_view kind);

// One entry as the page writes it (docs/wire.md). Refused: more than 64 KiB (512 KiB of knowledge), nesting deeper than 16, a member twice,
// an unknown member (the nearest known name is offered), an unknown kind or version, an id that is no ULID, a value
// outside its fact's limits, an amendment of itself.
Result<IncomingEntry> ParseEntry(std::string_view text);

// Data of a kind, strictly: every version that can be lifted to the present one.
Result<EntryData> ParseEntryData(std::string_view kind, int version, std::string_view text);

// Data of a kind, from the journal: what cannot be read becomes NotUnderstood with the reason.
EntryData ReadEntryData(std::string_view kind, int version, std::string_view text);

// An entry made by the program itself: `entry.data` becomes the bytes. `v` becomes the present version.
IncomingEntry MakeIncoming(Entry entry);

// The data of an entry in the present version: compact, members in the order of docs/wire.md, absent where empty.
// StruckOut gives "null"; NotUnderstood has no form of its own and gives "null".
std::string EntryDataJson(const EntryData& data);

// The writer's members, `data` as the bytes given: what ParseEntry reads.
std::string EntryJson(const IncomingEntry& incoming);

// --- Names of things. The kind's name on the wire for each alternative of EntryData that has one, else empty.
std::string_view KindName(const EntryData& data);
std::string_view MarkName(Mark mark);  // "stated", "read", "measured"
std::string HexOf(const Hash& hash);   // 64 small hexadecimal digits

}  // namespace fairlead
