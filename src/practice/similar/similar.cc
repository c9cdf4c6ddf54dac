// SPDX-License-Identifier: Apache-2.0
#include "practice/similar/similar.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace fairlead {
namespace {

constexpr std::size_t kFew = 10;  // below it the answer says that it is mostly chance; practice, no source

bool SameCase(const CaseRow& here, const CaseRow& there) { return there.id == here.id || there.id.starts_with(here.id + "/"); }

std::optional<AuditShare> ShareOf(const std::vector<LikeCase>& cases, std::optional<bool> CaseRow::*member, Result<Interval> (*method)(Count)) {
  Count count;
  for (const LikeCase& each : cases) {
    if (!(each.row.*member)) continue;
    ++count.cases;
    count.events += *(each.row.*member) ? 1 : 0;
  }
  const auto interval = method(count);
  if (!interval.ok()) return std::nullopt;
  return AuditShare{count, *interval};
}

std::vector<double> Figures(const std::vector<LikeCase>& cases, std::optional<double> CaseRow::*member) {
  std::vector<double> values;
  for (const LikeCase& each : cases) {
    if (each.row.*member) values.push_back(*(each.row.*member));
  }
  return values;
}

std::vector<LikeStrategy> ByFirst(const std::vector<LikeCase>& cases) {
  std::map<std::string, LikeStrategy> groups;
  std::map<std::string, std::vector<double>> minutes;
  for (const LikeCase& each : cases) {
    if (each.row.tries.empty()) continue;
    const Try& first = each.row.tries.front();
    LikeStrategy& group = groups[first.strategy];
    group.strategy = first.strategy;
    ++group.cases;
    group.crossed_first += first.crossed ? 1 : 0;
    group.with_outcome += each.row.success ? 1 : 0;
    group.success += each.row.success.value_or(false) ? 1 : 0;
    minutes[first.strategy].push_back(first.minutes);
  }
  std::vector<LikeStrategy> found;
  for (auto& [name, group] : groups) {
    group.minutes = QuartilesOf(std::move(minutes[name]));
    found.push_back(std::move(group));
  }
  return found;
}

void Say(LikeAnswer& answer) {
  if (answer.asked_of == 0) return answer.says.push_back("There is no past case yet.");
  if (answer.too_little > 0) {
    answer.says.push_back(fmt::format("{} of {} past cases know too little in common with this one to be compared.", answer.too_little, answer.asked_of));
  }
  if (answer.cases.empty()) return;
  if (answer.near == 0) answer.says.push_back("None of them is near: these are the nearest there are, not cases like this one.");
  else answer.says.push_back(fmt::format("{} past {} near this one (distance at most {:.1f}); {} {} shown.", answer.near, answer.near == 1 ? "case is" : "cases are", kNear, answer.cases.size(), answer.cases.size() == 1 ? "is" : "are"));
  if (answer.cases.size() < kFew) answer.says.push_back("So few cases say little: look at each, not at the shares.");
  answer.says.push_back("They were not drawn by lot: what was tried was chosen for that patient, so this is no comparison of strategies.");
}

}  // namespace

LikeAnswer CasesLike(const CaseRow& here, std::span<const CaseRow> past, std::size_t most, std::optional<Instant> before) {
  struct Near {
    double apart;
    const CaseRow* row;
  };
  LikeAnswer answer;
  std::vector<Near> nearest;
  for (const CaseRow& row : past) {
    if (SameCase(here, row) || (before && !(row.began < *before))) continue;
    ++answer.asked_of;
    const CaseDistance distance = DistanceBetween(here, row, false);
    if (distance.compared < kLeastCompared) {
      ++answer.too_little;
      continue;
    }
    answer.near += distance.apart <= kNear ? 1 : 0;
    nearest.push_back({distance.apart, &row});
  }
  const std::size_t shown = std::min({most, kMostLike, nearest.size()});
  std::partial_sort(nearest.begin(), nearest.begin() + static_cast<std::ptrdiff_t>(shown), nearest.end(),
                    [](const Near& a, const Near& b) { return a.apart != b.apart ? a.apart < b.apart : a.row->id < b.row->id; });
  for (std::size_t i = 0; i < shown; ++i) answer.cases.push_back({*nearest[i].row, DistanceBetween(here, *nearest[i].row)});
  for (const LikeCase& each : answer.cases) answer.invented += each.row.invented ? 1 : 0;
  answer.success = ShareOf(answer.cases, &CaseRow::success, WilsonInterval);
  answer.complication = ShareOf(answer.cases, &CaseRow::complication, ExactInterval);
  answer.by_first = ByFirst(answer.cases);
  answer.minutes = QuartilesOf(Figures(answer.cases, &CaseRow::minutes));
  answer.contrast_ml = QuartilesOf(Figures(answer.cases, &CaseRow::contrast_ml));
  answer.air_kerma_gy = QuartilesOf(Figures(answer.cases, &CaseRow::air_kerma_gy));
  Say(answer);
  return answer;
}

}  // namespace fairlead
