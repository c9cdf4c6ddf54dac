// SPDX-License-Identifier: Apache-2.0
// Inside this room only: what the files of the audit share.
#pragma once

#include <algorithm>
#include <chrono>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <vector>

#include "practice/audit/audit.h"
#include "practice/audit/packed.h"

namespace fairlead {

using AuditRows = std::vector<const PackedCase*>;  // of a slice; by start, ties by id

inline constexpr int kSignalWindow = 50;           // cases of a busy year; chosen

inline std::size_t JctoClass(int j_cto) { return static_cast<std::size_t>(std::clamp(j_cto, 0, 3)); }

inline std::chrono::year_month_day DayBegun(Instant at) {
  return std::chrono::floor<std::chrono::days>(std::chrono::sys_time<std::chrono::milliseconds>(std::chrono::milliseconds(at.ms)));
}
inline int YearBegun(Instant at) { return static_cast<int>(DayBegun(at).year()); }
// From the first month of the year 0.
inline int MonthBegun(Instant at) {
  const auto day = DayBegun(at);
  return 12 * static_cast<int>(day.year()) + static_cast<int>(static_cast<unsigned>(day.month())) - 1;
}

// The same as QuartilesOf, of `cases` values of which `at` gives the one in each place of their order, from 0.
Quartiles QuartilesAt(std::size_t cases, const std::function<double(std::size_t place)>& at);

// Figures of very many attempts or cases, most of them multiples of a half up to a day of minutes: those are counted instead
// of kept. The quartiles are exact all the same.
class Tally {
 public:
  void Add(double value);
  std::size_t size() const { return size_; }
  Quartiles Found() const;

 private:
  std::vector<std::uint32_t> halves_;  // how many of each multiple of a half
  std::vector<double> others_;
  std::size_t size_ = 0;
};

std::optional<AuditShare> ShareBy(Count count, Result<Interval> (*method)(Count));
// How ways are left, what helps after them, what is used.
void AddHabits(const PackedCases& all, const AuditRows& rows, Audit& audit);
// Each published score's rates against what was seen.
void AddYardsticks(const PackedCases& all, const AuditRows& rows, Audit& audit);
// Everything of the audit that needs an expected chance.
void CompareWithReference(const PackedCases& all, const AuditRows& rows, Audit& audit);

}  // namespace fairlead
