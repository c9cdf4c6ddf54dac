// SPDX-License-Identifier: Apache-2.0
// The report of one visit: a pure function of the journal's state. Everything that the formal report must hold stands in
// it in that order; what nobody recorded is marked as a gap with how to fill it, and never filled.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/fold.h"
#include "measure/instant.h"
#include "reasoning/budget/limits.h"
#include "record/picture/key_picture.h"

namespace fairlead {

// How a gap is filled.
struct ReportFill {
  enum class How { kFact, kLog, kText, kHand };  // state a fact; type a line; write into the section; on paper
  How how = How::kText;
  std::string what;  // name of the fact, line of the log bar, id of the section
};

struct ReportLine {
  std::string label;
  std::string value;               // "not recorded" of a gap
  std::optional<ReportFill> gap;
  std::vector<std::string> because;  // ids of entries
  std::string source;              // id; empty if none
};

struct ReportTable {
  std::string title;
  std::vector<std::string> columns;
  std::vector<int> widths;                      // shares of the line, one a column
  std::vector<std::vector<std::string>> rows;   // as many cells as columns
  std::vector<std::string> remarks;             // below the table
};

// What a person wrote into a section: standing notes whose first line is "report: SECTION".
struct ReportWords {
  std::string text, by;
  Instant at;
  std::string entry;
};

struct ReportSection {
  std::string id;                  // "indication"
  std::string title;
  std::vector<ReportLine> lines;
  std::vector<ReportTable> tables;
  std::vector<ReportWords> words;
};

// A person stood for the report as it read then: an entry of kind `shown` at the step "signed". What was sealed is
// reproduced by reading it, whatever a newer program would write.
struct ReportSeal {
  int version = 1;                 // 1, then one more each
  std::int64_t up_to = 0;          // seq of the last entry that the words rest on
  int zone_min = 0, gaps = 0;
  std::string report_sha256;       // of the words, hex
  std::string assessment_sha256;   // of everything computed from the facts then, as JSON, hex
  std::string program;             // version that made both
  std::string words;               // empty if they are too many for an entry
  std::string by, entry;           // who signed; not part of the text
  Instant at;
};
inline constexpr std::string_view kSignedStep = "signed";
// The text of that entry, and back; nothing if it is none.
std::string SealText(const ReportSeal& seal);
std::optional<ReportSeal> SealOfText(std::string_view text);
// The note that puts words into a section.
std::string SectionNote(std::string_view section, std::string_view text);

struct Report {
  std::string case_id, title;
  bool invented = false;
  int visit = 1;                   // of the case's visits; the last one
  std::int64_t seq = 0;            // last entry it rests on
  std::string hash;                // of that entry, hex: proves order and completeness
  Instant as_of;                   // when that entry was recorded: the date of the document
  int zone_min = 0;
  std::size_t not_understood = 0;  // entries of a newer program: signing waits
  std::vector<ReportSection> sections;
  std::vector<KeyPicture> pictures;  // chosen by notes (record/picture/wish.h); frames and the skin come without pixels
  std::vector<ReportSeal> seals;   // by version
};

struct ReportSettings {
  RunLimits limits{};
  int zone_min = 0;                // of the times printed, minutes east of UTC
};

// Ids of the sections in the order of the report.
std::vector<std::string_view> ReportSectionIds();

Report MakeReport(const State& state, const ReportSettings& settings);

std::size_t GapCount(const Report& report);

// The words alone, line by line: what is signed, and what two versions are compared by. Without the seals.
std::string ReportWordsOf(const Report& report);

// What differs: lines of `before` that are gone begin with "- ", new ones with "+ ", with the section before them.
std::vector<std::string> WordDifferences(std::string_view before, std::string_view after);

// One self-contained page: no script, nothing from elsewhere, every text escaped.
std::string ReportHtml(const Report& report);

// For the page: see docs/wire.md.
std::string ReportJson(const Report& report);

inline constexpr std::string_view kNotRecorded = "not recorded";
inline constexpr std::string_view kReportStanding =
    "Compiled from the case's journal. Decision support for trained operators. Not a medical device. Local protocol and the responsible "
    "physician decide.";

}  // namespace fairlead
