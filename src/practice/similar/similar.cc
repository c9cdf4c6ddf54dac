// SPDX-License-Identifier: Apache-2.0
#include "practice/similar/similar.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace fairlead {
namespace {

constexpr std::size_t kFew = 10;  // below it the answer says that it is mostly chance; practice, no source

// The case itself, or a later visit of it.
bool SameCase(std::string_view here, std::string_view there) { return there.starts_with(here) && (there.size() == here.size() || there[here.size()] == '/'); }

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

LikeSearch::LikeSearch(CaseRow here, std::size_t most, std::optional<Instant> before) : here_(std::move(here)), most_(std::min(most, kMostLike)), before_(before) {}

void LikeSearch::Count(double apart, double compared, std::string_view id, const CaseRow* row) {
  ++counted_.asked_of;
  if (compared < kLeastCompared) {
    ++counted_.too_little;
    return;
  }
  counted_.near += apart <= kNear ? 1 : 0;
  const auto nearer = [](const Near& a, const std::pair<double, std::string_view>& b) { return a.apart != b.first ? a.apart < b.first : a.id < b.second; };
  const std::pair<double, std::string_view> key(apart, id);
  if (most_ == 0) return;
  if (nearest_.size() == most_) {
    const Near& last = nearest_.back();
    if (apart > last.apart || (apart == last.apart && id >= last.id)) return;
    nearest_.pop_back();
  }
  const auto at = std::lower_bound(nearest_.begin(), nearest_.end(), key, nearer);
  nearest_.insert(at, Near{apart, std::string(id), row == nullptr ? std::nullopt : std::optional<CaseRow>(*row)});
}

void LikeSearch::Take(const CaseRow& row) {
  if (SameCase(here_.id, row.id) || (before_ && !(row.began < *before_))) return;
  const CaseDistance distance = DistanceBetween(here_, row, false);
  Count(distance.apart, distance.compared, row.id, &row);
}

bool LikeSearch::TakeKept(std::string_view known, const std::set<std::string_view>& gone) {
  const KnownCase here = KnownOf(here_);
  KnownDay day(known);
  while (const auto next = day.Next()) {
    if (SameCase(here_.id, next->id) || (before_ && !(next->began < *before_)) || gone.contains(next->id)) continue;
    const CaseDistance distance = DistanceBetween(here, next->known);
    Count(distance.apart, distance.compared, next->id, nullptr);
  }
  return !day.failed();
}

std::vector<std::string> LikeSearch::Unread() const {
  std::vector<std::string> ids;
  for (const Near& each : nearest_) {
    if (!each.row) ids.push_back(each.id);
  }
  return ids;
}

LikeAnswer LikeSearch::Answer(std::span<const CaseRow> unread) const {
  LikeAnswer answer = counted_;
  std::map<std::string_view, const CaseRow*> read;
  for (const CaseRow& row : unread) read[row.id] = &row;
  for (const Near& each : nearest_) {
    const auto found = read.find(each.id);
    const CaseRow* row = each.row ? &*each.row : found == read.end() ? nullptr : found->second;
    if (row != nullptr) answer.cases.push_back({*row, DistanceBetween(here_, *row)});
  }
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

LikeAnswer CasesLike(const CaseRow& here, std::span<const CaseRow> past, std::size_t most, std::optional<Instant> before) {
  LikeSearch search(here, most, before);
  for (const CaseRow& row : past) search.Take(row);
  return search.Answer({});
}

}  // namespace fairlead
