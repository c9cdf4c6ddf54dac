// SPDX-License-Identifier: Apache-2.0
// What was seen against the rates of each published score, by group: an exact comparison, however many cases.
#include <array>

#include "practice/audit/audit_parts.h"

namespace fairlead {
namespace {

constexpr float kWireMinutes = 30;  // of the published end point

// Whether the bad event came; nothing where the row does not tell.
struct Happened {
  WordNumber wire = 0;        // of "AW"; 0: no row has it
  std::optional<bool> Of(YardstickEvent event, const PackedCases& all, const PackedCase& row) const {
    const auto flag = [](std::int8_t said, std::int8_t bad) { return said < 0 ? std::nullopt : std::optional(said == bad); };
    if (event == YardstickEvent::kFailure) return flag(row.success, 0);
    if (event == YardstickEvent::kComplication) return flag(row.complication, 1);
    float minutes = 0;
    bool tried = false;
    const PackedTry* tries = all.tries(row);
    for (std::size_t i = 0; i < row.tries; ++i) {
      minutes += tries[i].minutes;
      const bool by_wire = wire != 0 && tries[i].way == wire;
      tried = tried || by_wire;
      if (!tries[i].crossed) continue;
      if (event == YardstickEvent::kNotWithin30) return !(by_wire && minutes <= kWireMinutes);
      if (by_wire) return false;
    }
    if (event == YardstickEvent::kNotWithin30) return row.tries == 0 ? std::nullopt : std::optional(true);
    return tried ? std::optional(true) : std::nullopt;
  }
};

std::optional<AgainstExpected> Against(const Yardstick& yardstick, const std::array<Count, YardstickSums::kMostGroups>& groups, bool high_end) {
  std::vector<ChanceClass> chances;
  std::int64_t events = 0;
  for (std::size_t i = 0; i < yardstick.table->rates.size() && i < groups.size(); ++i) {
    if (groups[i].cases == 0) continue;
    const Rate& rate = yardstick.table->rates[i];
    const double low = yardstick.of_good ? 1 - rate.high : rate.low, high = yardstick.of_good ? 1 - rate.low : rate.high;
    chances.push_back({.chance = high_end ? high : low, .cases = groups[i].cases});
    events += groups[i].events;
  }
  auto found = CompareWithExpected(chances, events);
  if (!found.ok()) return std::nullopt;
  return *found;
}

}  // namespace

void AddYardsticks(const PackedCases& all, std::span<const PackedCase* const> rows, std::int64_t sign, std::vector<YardstickSums>& to) {
  const Happened happened{all.Find("AW").value_or(0)};
  for (std::size_t i = 0; i < to.size(); ++i) {
    const Yardstick& yardstick = Yardsticks()[i];
    YardstickSums& found = to[i];
    for (const PackedCase* row : rows) {
      const int group = row->groups[yardstick.slot];
      if (group == kGroupNot) {
        found.not_made_for += sign;
      } else if (group < 0 || group >= static_cast<int>(found.groups.size())) {
        found.facts_missing += sign;
      } else if (const auto bad = happened.Of(yardstick.event, all, *row); !bad) {
        found.no_outcome += sign;
      } else {
        Count& count = found.groups[static_cast<std::size_t>(group)];
        count.cases += sign, count.events += *bad ? sign : 0;
      }
    }
  }
}

void SayYardsticks(const AuditSums& sums, Audit& audit) {
  const auto size = [](std::int64_t count) { return static_cast<std::size_t>(count); };
  for (std::size_t i = 0; i < sums.yardsticks.size(); ++i) {
    const Yardstick& yardstick = Yardsticks()[i];
    const YardstickSums& from = sums.yardsticks[i];
    YardstickFound found{.yardstick = &yardstick, .judged = 0, .facts_missing = size(from.facts_missing), .not_made_for = size(from.not_made_for), .no_outcome = size(from.no_outcome), .against = {}, .against_high = {}};
    for (const Count& group : from.groups) found.judged += size(group.cases);
    bool bounds = false;
    for (const Rate& rate : yardstick.table->rates) bounds = bounds || rate.low != rate.high;
    found.against = Against(yardstick, from.groups, false);
    if (bounds) found.against_high = Against(yardstick, from.groups, true);
    audit.by_score.push_back(found);
  }
}

}  // namespace fairlead
