// SPDX-License-Identifier: Apache-2.0
// A lab's own list of devices, as a spreadsheet saved it, into a shelf: which columns were understood, which lines
// were not and why. Nothing is written; the caller shows this first.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "measure/result.h"
#include "reasoning/kit/shelf.h"

namespace fairlead {

struct ImportColumn {
  std::string heading;       // as it stands in the file
  std::string field;         // ours; empty: not understood, left out
  std::string unit;          // of its bare numbers; empty: texts and counts
};

struct ImportProblem {
  std::size_t line = 0;      // in the file, from 1
  std::string column;        // its heading; empty: the whole line
  std::string what, to_do;
  bool refused = true;       // false: the line was taken, but look at it
};

struct Import {
  char delimiter = ',';
  std::string encoding;
  std::vector<ImportColumn> columns;
  std::vector<std::string> missing;      // fields that some of its classes need and no column gives
  Shelf shelf;
  std::vector<ImportProblem> problems;   // at most `kMostProblems`; counted beyond
  std::size_t lines = 0;                 // of devices, read
  std::size_t taken = 0;                 // lines that went into the shelf
  std::size_t refused = 0, looked_at = 0;
};

inline constexpr std::size_t kMostProblems = 500;

// Errors: what ReadCsv says; no column of names or of classes.
Result<Import> ImportShelf(std::string_view csv);

// Which of two numbers before a year is the day: 06/07/2027 alone does not tell.
enum class DayOrder { kUnsure, kDayFirst, kMonthFirst };
// What the others of a column tell: 31/12/2027 can only be one way round. Unsure if none tells, or if they disagree.
class DayOrderVote {
 public:
  void Add(std::string_view text);
  DayOrder Result() const;

 private:
  bool day_ = false, month_ = false;
};

// "2027-12-31" from 2027-12-31, 2027/12/31, 20271231, 2027-12 or 12/2027 (the last day), 31.12.2027, 31/12/2027, 31-12-2027;
// empty if it is none of these, no day, or not told apart from another.
std::string ReadDay(std::string_view text, DayOrder order = DayOrder::kUnsure);

// "2027-02" -> 28.
int LastDayOf(int year, int month);

}  // namespace fairlead
