// SPDX-License-Identifier: Apache-2.0
// Inside this room only: what the files of the audit share.
#pragma once

#include <algorithm>
#include <chrono>
#include <cstddef>
#include <vector>

#include "practice/audit/audit.h"
#include "practice/audit/packed.h"

namespace fairlead {

using AuditRows = std::vector<const PackedCase*>;  // of a slice; by start, ties by id

inline constexpr int kSignalWindow = 50;           // cases of a busy year; chosen

inline std::size_t JctoClass(int j_cto) { return static_cast<std::size_t>(std::clamp(j_cto, 0, 3)); }

inline int YearBegun(Instant at) {
  const auto day = std::chrono::floor<std::chrono::days>(std::chrono::sys_time<std::chrono::milliseconds>(std::chrono::milliseconds(at.ms)));
  return static_cast<int>(std::chrono::year_month_day(day).year());
}

std::optional<AuditShare> ShareBy(Count count, Result<Interval> (*method)(Count));
// How ways are left, what helps after them, what is used.
void AddHabits(const PackedCases& all, const AuditRows& rows, Audit& audit);
// Everything of the audit that needs an expected chance.
void CompareWithReference(const PackedCases& all, const AuditRows& rows, Audit& audit);

}  // namespace fairlead
