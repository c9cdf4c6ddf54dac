// SPDX-License-Identifier: Apache-2.0
// How ways are left, what helps after them, what is used.
#include <cmath>
#include <map>

#include "practice/audit/audit_parts.h"

namespace fairlead {
namespace {

struct Left {
  std::vector<double> minutes, stalled;
};

void AddWays(const PackedCases& all, const AuditRows& rows, Audit& audit) {
  std::vector<Left> left(all.words());
  std::map<std::pair<std::string, std::string>, Count> next;
  for (const PackedCase* row : rows) {
    const PackedTry* tries = all.tries(*row);
    for (std::size_t i = 0; i < row->tries; ++i) {
      if (tries[i].crossed) continue;
      Left& one = left[tries[i].way];
      one.minutes.push_back(static_cast<double>(tries[i].minutes));
      if (!std::isnan(tries[i].stalled_min)) one.stalled.push_back(static_cast<double>(tries[i].stalled_min));
      if (i + 1 == row->tries) {
        ++audit.left_for_good;
        continue;
      }
      Count& count = next[{all.word(tries[i].reason), all.word(tries[i + 1].way)}];
      ++count.cases, count.events += tries[i + 1].crossed ? 1 : 0;
    }
  }
  std::map<std::string, std::size_t> names;
  for (std::size_t i = 0; i < left.size(); ++i) {
    if (!left[i].minutes.empty()) names[all.word(static_cast<WordNumber>(i))] = i;
  }
  for (const auto& [name, at] : names) {
    const std::size_t attempts = left[at].minutes.size();
    audit.left_ways.push_back({name, attempts, QuartilesOf(std::move(left[at].minutes)), QuartilesOf(std::move(left[at].stalled))});
  }
  for (const auto& [pair, count] : next) {
    if (const auto share = ShareBy(count, WilsonInterval)) audit.remedies.push_back({pair.first, pair.second, *share});
  }
}

void AddKit(const AuditRows& rows, Audit& audit) {
  for (std::size_t kind = 0; kind < kCountedKit.size(); ++kind) {
    std::vector<double> counts;
    Count used;
    for (const PackedCase* row : rows) {
      if (row->kit[kind] == PackedCase::kNotCounted) continue;
      counts.push_back(row->kit[kind]);
      ++used.cases, used.events += row->kit[kind] > 0 ? 1 : 0;
    }
    if (const auto share = ShareBy(used, WilsonInterval)) audit.kit.push_back({std::string(kCountedKit[kind]), *share, QuartilesOf(std::move(counts))});
  }
}

}  // namespace

void AddHabits(const PackedCases& all, const AuditRows& rows, Audit& audit) {
  AddWays(all, rows, audit);
  AddKit(rows, audit);
}

}  // namespace fairlead
