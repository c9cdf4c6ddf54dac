// SPDX-License-Identifier: Apache-2.0
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "casebook/entry_json.h"
#include "record/exchange/fhir_in.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  constexpr fairlead::Instant kNow{1'800'000'000'000};
  const auto read = fairlead::ReadFhir(std::string_view(reinterpret_cast<const char*>(data), size), kNow, kNow);
  if (!read.ok()) return 0;
  // Whatever is offered is an entry that the journal takes, and nothing is of the future.
  for (const auto& fact : read->facts) {
    if (fact.at > kNow) std::abort();
    if (!fairlead::ParseEntryData("fact", fairlead::PresentVersion("fact"), fairlead::EntryDataJson(fact.fact)).ok()) std::abort();
  }
  return 0;
}
