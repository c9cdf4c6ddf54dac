// SPDX-License-Identifier: Apache-2.0
// What a plan is compared with past cases by, in few bytes and without words: a million cases are compared without reading
// the text of one.
#pragma once

#include <array>
#include <limits>
#include <optional>
#include <string>
#include <string_view>

#include "practice/audit/kept_bytes.h"
#include "practice/audit/row.h"

namespace fairlead {

struct KnownCase {
  static constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
  static constexpr std::size_t kMostFacts = 24;
  KnownCase() { facts.fill(kUnknown); }
  std::string_view vessel;                 // into the bytes or the row that it was read from
  int j_cto = -1;                          // unknown
  std::array<double, kMostFacts> facts{};  // by the place in RowFacts(): a number, a flag as 0 or 1, a grade as the place of its word
};

KnownCase KnownOf(const CaseRow& row);     // `row` outlives it
std::string KnownBytes(const CaseRow& row);
KnownCase ReadKnown(BytesIn& in);          // `in` outlives it; fails as BytesIn does

// A day's cases one after another, as DayText::known has them.
class KnownDay {
 public:
  explicit KnownDay(std::string_view known);
  struct Case {
    std::string_view id;                   // until the next call
    Instant began;
    KnownCase known;
  };
  std::optional<Case> Next();              // nothing: the end, or damaged
  bool failed() const { return in_.failed(); }

 private:
  BytesIn in_;
  std::uint64_t left_ = 0;
};

}  // namespace fairlead
