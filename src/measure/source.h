// SPDX-License-Identifier: Apache-2.0
// The one table of sources. Every constant of medicine or physics stands beside a source id; the page and the reports
// answer "says who?" from here. scripts/check-sources proves that each id written in the code is in the table.
#pragma once

#include <span>
#include <string_view>

namespace fairlead {

enum class SourceKind {
  kArticle,   // journal, year, volume:pages, DOI
  kStandard,  // a standard and its section
  kPractice,  // the trade's habit: no source; always a setting
};

// How the number that cites it is known.
enum class Checked {
  kSeen,    // read in a stored copy of the source
  kMemory,  // recalled, to be checked before a percentage is shown to a clinician
};

struct Source {
  std::string_view id;        // "jcto-2011"
  SourceKind kind;
  std::string_view citation;  // "JACC Cardiovasc Interv 2011;4:213-221"; "DICOM PS3.3 C.8.7.5"
  std::string_view doi;       // "10.1016/j.jcin.2010.09.024"; empty if none
  Checked checked;
  std::string_view note;      // what was readable, what it supports
};

std::span<const Source> AllSources();

// Null if the table has no such id.
const Source* FindSource(std::string_view id);

// A source id in code: `"jcto-2011"_source`. The script reads these literals.
struct SourceId {
  std::string_view id;
  friend constexpr bool operator==(SourceId, SourceId) = default;
};
consteval SourceId operator""_source(const char* text, std::size_t size) { return {{text, size}}; }

}  // namespace fairlead
