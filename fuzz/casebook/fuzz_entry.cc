// SPDX-License-Identifier: Apache-2.0
// Any bytes: never a crash, and what is accepted can be written and read back to the same entry.
#include <cstdint>
#include <cstdlib>

#include "casebook/entry_json.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  using namespace fairlead;
  const std::string_view text(reinterpret_cast<const char*>(bytes), size);
  const auto entry = ParseEntry(text);
  if (!entry) return 0;
  const auto again = ParseEntry(EntryJson(*entry));
  // Written times may grow by the milliseconds; an entry at the very limit may then be a few bytes too long.
  if (!again && size < kLongestEntry - 64 * 1024 / 2) std::abort();
  if (again && (again->data != entry->data || EntryJson(*again) != EntryJson(*entry))) std::abort();
  const auto rewritten = ParseEntryData(entry->entry.kind, PresentVersion(entry->entry.kind), EntryDataJson(entry->entry.data));
  if (!rewritten || EntryDataJson(*rewritten) != EntryDataJson(entry->entry.data)) std::abort();
  return 0;
}
