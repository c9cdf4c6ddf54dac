// SPDX-License-Identifier: Apache-2.0
// Inside this room only: what the files of the audit share.
#pragma once

#include <algorithm>
#include <chrono>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "practice/audit/audit.h"
#include "practice/audit/packed.h"
#include "practice/audit/sums.h"

namespace fairlead {

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

inline int YearOfMonth(int month) { return month >= 0 ? month / 12 : (month - 11) / 12; }

// The same as QuartilesOf, of `cases` values of which `at` gives the one in each place of their order, from 0.
Quartiles QuartilesAt(std::size_t cases, const std::function<double(std::size_t place)>& at);

std::optional<AuditShare> ShareBy(Count count, Result<Interval> (*method)(Count));
// How ways are left, what helps after them, what is used.
void SayHabits(const AuditSums& sums, Audit& audit);
// Each published score's groups: added to `to` (as Yardsticks()), and its rates against what was seen.
void AddYardsticks(const PackedCases& all, std::span<const PackedCase* const> rows, std::int64_t sign, std::vector<YardstickSums>& to);
void SayYardsticks(const AuditSums& sums, Audit& audit);
// The charts of judged cases, each class of them with its expected chance in `classes`.
Series SeriesOf(const std::vector<JudgedClass>& classes, std::string_view letters, const std::function<std::string(std::size_t)>& id);
// Everything of the audit that needs an expected chance.
void CompareWithReference(const AuditSums& sums, std::string_view letters, const std::function<std::string(std::size_t)>& id, Audit& audit);

}  // namespace fairlead
