// SPDX-License-Identifier: Apache-2.0
#include "measure/source.h"

#include <algorithm>
#include <array>

namespace fairlead {
namespace {

using enum SourceKind;
using enum Checked;

// Sorted by id, so that a double entry shows.
constexpr auto kSources = std::to_array<Source>({
    {"practice", kPractice, "practice, no source", "", kMemory, "a habit of the trade, kept as a setting"},
});

}  // namespace

std::span<const Source> AllSources() { return kSources; }

const Source* FindSource(std::string_view id) {
  const auto found = std::ranges::find(kSources, id, &Source::id);
  return found == kSources.end() ? nullptr : &*found;
}

}  // namespace fairlead
