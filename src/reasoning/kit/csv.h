// SPDX-License-Identifier: Apache-2.0
// A table as spreadsheets write it: RFC 4180 with the delimiters of other countries, byte order marks, UTF-16 and
// Windows-1252 text. Bounded: 32 MiB, 200,000 lines, 200 columns, 4 KiB a cell.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "measure/result.h"

namespace fairlead {

struct CsvLine {
  std::size_t number = 0;              // of its first physical line, from 1
  std::vector<std::string> cells;      // without blanks around
  bool whole = true;                   // false: a quote was left open, or a cell is too long
};

struct CsvTable {
  char delimiter = ',';
  std::string encoding;                // "UTF-8", "UTF-16", "Windows-1252"
  std::vector<CsvLine> lines;          // blank lines left out; the head is the first
};

// Errors: empty, too large, binary.
Result<CsvTable> ReadCsv(std::string_view bytes);

}  // namespace fairlead
