// SPDX-License-Identifier: Apache-2.0
// What a GS1 label says: the text of a DataMatrix or GS1-128 symbol as a scanner or a person types it, raw with FNC1
// separators or with identifiers in brackets. GS1 General Specifications, sections 3, 7.8 and 7.12.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "measure/result.h"

namespace fairlead {

struct LabelElement {
  std::string ai;       // "01"
  std::string title;    // "GTIN"
  std::string value;    // as it stands; case kept
};

struct Label {
  std::string raw;                   // byte for byte
  std::vector<LabelElement> elements;
  std::string gtin;                  // 14 digits
  std::string lot, serial;
  std::string expires, made;         // "2027-12-31"; empty: not said
  bool expired = false;              // the day is after the last one
  std::vector<std::string> doubts;   // what to compare with the print
};

// A calendar day, for the century of a two-digit year and for "expired".
struct CalendarDay {
  int year = 0, month = 0, day = 0;
};
Result<CalendarDay> ParseCalendarDay(std::string_view iso);  // "2026-11-25"
std::string IsoOf(CalendarDay day);
CalendarDay DayOf(std::int64_t ms_since_1970);

// Errors: not GS1, a broken element, a wrong check digit or day, no item number.
Result<Label> ParseLabel(std::string_view text, CalendarDay today);

// "(01)09520123456788(17)271231(10)A1B2C3".
std::string HumanReadable(const Label& label);

// The digit that ends a GTIN, SSCC or GLN whose other digits are given: weights 3, 1, 3, ... from the right.
int CheckDigit(std::string_view digits);

// "036000291452" -> "00036000291452": shorter numbers are padded on the left.
std::string Gtin14(std::string_view digits);

// A two-digit year: at most 49 years back, at most 50 ahead. GS1 General Specifications 7.12, from memory.
int FullYear(int two_digits, int this_year);

}  // namespace fairlead
