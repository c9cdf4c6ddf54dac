// SPDX-License-Identifier: Apache-2.0
// How ways are left, what helps after them, what is used.
#include <array>
#include <cmath>
#include <map>
#include <unordered_map>

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

struct Left {
  Tally minutes, stalled;
};

void AddWays(const PackedCases& all, const AuditRows& rows, Audit& audit) {
  std::vector<Left> left(all.words());
  std::unordered_map<std::uint32_t, Count> next;  // by the numbers of the reason and of the way tried next
  std::uint32_t key = 0;
  std::unordered_map<std::uint32_t, std::int64_t> shown;  // changes, by what the ladder put next and the way tried
  Count* last = nullptr;                          // of `key`: attempts of one kind come in runs
  for (const PackedCase* row : rows) {
    const PackedTry* tries = all.tries(*row);
    for (std::size_t i = 0; i < row->tries; ++i) {
      if (tries[i].crossed) continue;
      Left& one = left[tries[i].way];
      one.minutes.Add(static_cast<double>(tries[i].minutes));
      if (!std::isnan(tries[i].stalled_min)) one.stalled.Add(static_cast<double>(tries[i].stalled_min));
      if (i + 1 == row->tries) {
        ++audit.left_for_good;
        continue;
      }
      if (tries[i].ladder == 0) ++audit.ladder.not_shown;
      else ++shown[(std::uint32_t{tries[i].ladder} << 16U) | tries[i + 1].way];
      if (const std::uint32_t wanted = (std::uint32_t{tries[i].reason} << 16U) | tries[i + 1].way; last == nullptr || wanted != key) key = wanted, last = &next[key];
      ++last->cases, last->events += tries[i + 1].crossed ? 1 : 0;
    }
  }
  Count followed;
  for (const auto& [both, changes] : shown) {
    const bool same = LadderMeans(all.word(static_cast<WordNumber>(both >> 16U)), all.word(static_cast<WordNumber>(both & 0xFFFFU)));
    followed.cases += changes, followed.events += same ? changes : 0;
  }
  audit.ladder.followed = ShareBy(followed, WilsonInterval);
  std::map<std::string, std::size_t> names;
  for (std::size_t i = 0; i < left.size(); ++i) {
    if (left[i].minutes.size() > 0) names[all.word(static_cast<WordNumber>(i))] = i;
  }
  for (const auto& [name, at] : names) audit.left_ways.push_back({name, left[at].minutes.size(), left[at].minutes.Found(), left[at].stalled.Found()});
  std::map<std::pair<std::string, std::string>, Count> named;
  for (const auto& [both, count] : next) named[{all.word(static_cast<WordNumber>(both >> 16U)), all.word(static_cast<WordNumber>(both & 0xFFFFU))}] = count;
  for (const auto& [pair, count] : named) {
    if (const auto share = ShareBy(count, WilsonInterval)) audit.remedies.push_back({pair.first, pair.second, *share});
  }
}

void AddKit(const AuditRows& rows, Audit& audit) {
  std::array<Tally, kCountedKit.size()> counts;
  std::array<Count, kCountedKit.size()> used;
  for (const PackedCase* row : rows) {
    for (std::size_t kind = 0; kind < kCountedKit.size(); ++kind) {
      if (row->kit[kind] == PackedCase::kNotCounted) continue;
      counts[kind].Add(row->kit[kind]);
      ++used[kind].cases, used[kind].events += row->kit[kind] > 0 ? 1 : 0;
    }
  }
  for (std::size_t kind = 0; kind < kCountedKit.size(); ++kind) {
    if (const auto share = ShareBy(used[kind], WilsonInterval)) audit.kit.push_back({std::string(kCountedKit[kind]), *share, counts[kind].Found()});
  }
}

}  // namespace

void AddHabits(const PackedCases& all, const AuditRows& rows, Audit& audit) {
  AddWays(all, rows, audit);
  AddKit(rows, audit);
}

}  // namespace fairlead
