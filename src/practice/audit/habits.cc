// SPDX-License-Identifier: Apache-2.0
// How ways are left, what helps after them, what is used.
#include <map>
#include <utility>

#include "practice/audit/audit_parts.h"

namespace fairlead {
namespace {

// The ladder names retrograde ways together: "RW/RDR" is either.
bool LadderMeans(std::string_view ladder, std::string_view way) {
  while (true) {
    const std::size_t end = ladder.find('/');
    if (ladder.substr(0, end) == way) return true;
    if (end == std::string_view::npos) return false;
    ladder.remove_prefix(end + 1);
  }
}

void SayWays(const AuditSums& sums, Audit& audit) {
  Count followed;
  for (const auto& [both, changes] : sums.shown) {
    const bool same = LadderMeans(sums.words[both >> 16U], sums.words[both & 0xFFFFU]);
    followed.cases += changes, followed.events += same ? changes : 0;
  }
  audit.ladder.followed = ShareBy(followed, WilsonInterval);
  audit.ladder.not_shown = static_cast<std::size_t>(sums.not_shown), audit.left_for_good = static_cast<std::size_t>(sums.left_for_good);
  std::map<std::string, const LeftSums*> names;
  for (std::size_t i = 0; i < sums.left.size(); ++i) {
    if (sums.left[i].minutes.size() > 0) names[sums.words[i]] = &sums.left[i];
  }
  for (const auto& [name, found] : names) audit.left_ways.push_back({name, static_cast<std::size_t>(found->minutes.size()), found->minutes.Found(), found->stalled.Found()});
  std::map<std::pair<std::string, std::string>, Count> named;
  for (const auto& [both, count] : sums.next) named[{sums.words[both >> 16U], sums.words[both & 0xFFFFU]}] = count;
  for (const auto& [pair, count] : named) {
    if (const auto share = ShareBy(count, WilsonInterval)) audit.remedies.push_back({pair.first, pair.second, *share});
  }
}

void SayKit(const AuditSums& sums, Audit& audit) {
  for (std::size_t kind = 0; kind < kCountedKit.size(); ++kind) {
    if (const auto share = ShareBy(sums.kit[kind].used, WilsonInterval)) audit.kit.push_back({std::string(kCountedKit[kind]), *share, sums.kit[kind].counts.Found()});
  }
}

}  // namespace

void SayHabits(const AuditSums& sums, Audit& audit) {
  SayWays(sums, audit);
  SayKit(sums, audit);
}

}  // namespace fairlead
