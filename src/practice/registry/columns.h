// SPDX-License-Identifier: Apache-2.0
// The columns of the registry's tables, each with its definition and the member that fills it: tables, JSON and the data
// dictionary are all made from them. Inside this room only.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>

#include "practice/registry/visit.h"

namespace fairlead {

using ColumnValue = std::variant<std::monostate, bool, double, std::int64_t, std::string>;  // nothing: unknown

template <typename Row>
struct Column {
  std::string_view name;        // the unit ends it
  std::string_view type;        // "text", "number", "count", "flag", "time"
  std::string_view definition;
  ColumnValue (*of)(const Row& row);
};

std::span<const Column<LabVisit>> VisitColumns();
std::span<const Column<VisitAttempt>> AttemptColumns();
std::span<const Column<VisitDevice>> DeviceColumns();
std::span<const Column<VisitTrouble>> TroubleColumns();

std::string CellOf(const ColumnValue& value);  // empty: unknown

}  // namespace fairlead
