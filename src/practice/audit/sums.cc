// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/sums.h"

#include <algorithm>
#include <cmath>

#include "practice/audit/audit_parts.h"

namespace fairlead {
namespace {

void AddFlag(Count& count, std::int8_t said, std::int64_t sign) {
  if (said >= 0) count.cases += sign, count.events += sign * said;
}
void AddPart(PartSums& part, const PackedCase& row, std::int64_t sign) {
  part.rows += sign;
  AddFlag(part.success, row.success, sign), AddFlag(part.complication, row.complication, sign);
}
void AddCount(Count& to, const Count& from) { to.cases += from.cases, to.events += from.events; }
void AddPart(PartSums& to, const PartSums& from) {
  to.rows += from.rows;
  AddCount(to.success, from.success), AddCount(to.complication, from.complication);
}

// In the order of MissingOf.
std::array<bool, kRowMembers> LacksOf(const PackedCase& row) {
  return {row.by == 0, row.vessel == 0, row.j_cto < 0, row.tries == 0, row.success < 0, row.complication < 0, row.first_attempt < 0,
          std::isnan(row.minutes), std::isnan(row.contrast_ml), std::isnan(row.air_kerma_gy)};
}

void AddIfKnown(Tally& tally, double value, std::int64_t sign) {
  if (!std::isnan(value)) tally.Add(value, static_cast<int>(sign));
}

}  // namespace

void Tally::Add(double value, int sign) {
  constexpr double kMost = 100'000;  // steps
  size_ += sign;
  if (const double step = std::round(scale_ * value); step >= 0 && step <= kMost && step / scale_ == value) {
    const auto at = static_cast<std::size_t>(step);
    if (at >= steps_.size()) steps_.resize(at + 1);
    steps_[at] += static_cast<std::uint32_t>(sign);
  } else if (sign > 0) {
    others_.push_back(value);
  } else if (const auto found = std::find(others_.begin(), others_.end(), value); found != others_.end()) {
    *found = others_.back(), others_.pop_back();
  }
}

void Tally::Merge(const Tally& other) {
  size_ += other.size_;
  if (other.steps_.size() > steps_.size()) steps_.resize(other.steps_.size());
  for (std::size_t i = 0; i < other.steps_.size(); ++i) steps_[i] += other.steps_[i];
  others_.insert(others_.end(), other.others_.begin(), other.others_.end());
}

std::vector<Tally::Steps> Tally::Counted() const {
  std::vector<Steps> counted;
  for (std::size_t i = 0; i < steps_.size(); ++i) {
    if (steps_[i] > 0) counted.push_back({i, steps_[i]});
  }
  return counted;
}

std::vector<double> Tally::Others() const {
  std::vector<double> sorted = others_;
  std::sort(sorted.begin(), sorted.end());
  return sorted;
}

void Tally::Put(const Steps& counted) {
  if (counted.step >= steps_.size()) steps_.resize(counted.step + 1);
  steps_[counted.step] += static_cast<std::uint32_t>(counted.count), size_ += static_cast<std::int64_t>(counted.count);
}

Quartiles Tally::Found() const {
  if (size_ <= 0) return {};
  const auto cases = static_cast<std::size_t>(size_);
  if (others_.empty()) {
    return QuartilesAt(cases, [&](std::size_t place) {
      std::size_t i = 0;
      for (std::size_t seen = steps_[0]; seen <= place && i + 1 < steps_.size(); seen += steps_[i]) ++i;
      return static_cast<double>(i) / scale_;
    });
  }
  std::vector<double> all = others_;
  for (std::size_t i = 0; i < steps_.size(); ++i) all.insert(all.end(), steps_[i], static_cast<double>(i) / scale_);
  return QuartilesOf(std::move(all));
}

AuditSums::AuditSums() : ways(1), vessels(1), left(1), yardsticks(Yardsticks().size()) {}

WordNumber AuditSums::NumberOf(const std::string& word) {
  if (const auto found = numbers_.find(word); found != numbers_.end()) return found->second;
  if (words.size() >= kMostWords) return 0;
  const auto number = static_cast<WordNumber>(words.size());
  words.push_back(word), numbers_.emplace(word, number);
  ways.emplace_back(), vessels.emplace_back(), left.emplace_back();
  return number;
}

void AuditSums::Add(const PackedCases& all, std::span<const PackedCase* const> rows, int sign) {
  std::vector<WordNumber> here(all.words());
  std::vector<char> asked(all.words());
  const auto ask = [&](WordNumber number) {
    if (asked[number] != 0) return;
    asked[number] = 1, here[number] = NumberOf(all.word(number));
  };
  for (const PackedCase* row : rows) {
    ask(row->vessel);
    const PackedTry* tries = all.tries(*row);
    for (std::size_t i = 0; i < row->tries; ++i) ask(tries[i].way), ask(tries[i].reason), ask(tries[i].ladder);
  }
  for (const PackedCase* row : rows) AddRow(all, *row, here, sign), AddTries(all, *row, here, sign);
  AddYardsticks(all, rows, sign, yardsticks);
}

void AuditSums::AddRow(const PackedCases& all, const PackedCase& row, std::span<const WordNumber> here, std::int64_t sign) {
  cases += sign, invented += row.invented ? sign : 0;
  no_outcome += row.success < 0 ? sign : 0, no_difficulty += row.success >= 0 && row.j_cto < 0 ? sign : 0;
  no_complication_entry += row.complication < 0 ? sign : 0;
  AddPart(whole, row, sign);
  // Technical success without a major complication: settled by a failure or a complication alone.
  const bool bad = row.success == 0 || row.complication == 1, good = row.success == 1 && row.complication == 0;
  if (bad || good) procedural.cases += sign, procedural.events += good ? sign : 0;
  if (row.tries > 0) AddPart(ways[here[all.tries(row)->way]], row, sign);
  AddPart(vessels[here[row.vessel]], row, sign);
  if (row.j_cto >= 0) AddPart(classes[JctoClass(row.j_cto)], row, sign);
  MonthOfSums& month = months[MonthBegun(row.began)];
  AddPart(month.part, row, sign);
  if (row.success >= 0 && row.j_cto >= 0) AddFlag(month.judged[JctoClass(row.j_cto)], static_cast<std::int8_t>(row.success == 0), sign);
  const auto missing = LacksOf(row);
  for (std::size_t i = 0; i < lacks.size(); ++i) lacks[i] += missing[i] ? sign : 0;
  AddIfKnown(minutes, row.minutes, sign), AddIfKnown(contrast_ml, row.contrast_ml, sign), AddIfKnown(air_kerma_gy, row.air_kerma_gy, sign);
  for (std::size_t kind = 0; kind < kit.size(); ++kind) {
    if (row.kit[kind] == PackedCase::kNotCounted) continue;
    kit[kind].counts.Add(row.kit[kind], static_cast<int>(sign));
    kit[kind].used.cases += sign, kit[kind].used.events += row.kit[kind] > 0 ? sign : 0;
  }
}

void AuditSums::AddTries(const PackedCases& all, const PackedCase& row, std::span<const WordNumber> here, std::int64_t sign) {
  const PackedTry* tries = all.tries(row);
  Count* last = nullptr;  // of `key`: attempts of one kind come in runs
  std::uint32_t key = 0;
  for (std::size_t i = 0; i < row.tries; ++i) {
    if (tries[i].crossed) continue;
    LeftSums& one = left[here[tries[i].way]];
    one.minutes.Add(static_cast<double>(tries[i].minutes), static_cast<int>(sign));
    AddIfKnown(one.stalled, static_cast<double>(tries[i].stalled_min), sign);
    if (i + 1 == row.tries) {
      left_for_good += sign;
      continue;
    }
    const std::uint32_t way = here[tries[i + 1].way];
    if (tries[i].ladder == 0) not_shown += sign;
    else shown[(std::uint32_t{here[tries[i].ladder]} << 16U) | way] += sign;
    if (const std::uint32_t wanted = (std::uint32_t{here[tries[i].reason]} << 16U) | way; last == nullptr || wanted != key) key = wanted, last = &next[key];
    last->cases += sign, last->events += tries[i + 1].crossed ? sign : 0;
  }
}

void AuditSums::Merge(const AuditSums& other) {
  std::vector<WordNumber> here;
  for (const std::string& word : other.words) here.push_back(NumberOf(word));
  const auto moved = [&](std::uint32_t both) { return (std::uint32_t{here[both >> 16U]} << 16U) | here[both & 0xFFFFU]; };
  for (std::size_t i = 0; i < here.size(); ++i) {
    AddPart(ways[here[i]], other.ways[i]), AddPart(vessels[here[i]], other.vessels[i]);
    left[here[i]].minutes.Merge(other.left[i].minutes), left[here[i]].stalled.Merge(other.left[i].stalled);
  }
  for (const auto& [both, count] : other.next) AddCount(next[moved(both)], count);
  for (const auto& [both, changes] : other.shown) shown[moved(both)] += changes;
  cases += other.cases, invented += other.invented, no_outcome += other.no_outcome, no_difficulty += other.no_difficulty, no_complication_entry += other.no_complication_entry;
  AddPart(whole, other.whole), AddCount(procedural, other.procedural);
  for (std::size_t i = 0; i < classes.size(); ++i) AddPart(classes[i], other.classes[i]);
  for (const auto& [number, month] : other.months) {
    AddPart(months[number].part, month.part);
    for (std::size_t i = 0; i < month.judged.size(); ++i) AddCount(months[number].judged[i], month.judged[i]);
  }
  for (std::size_t i = 0; i < lacks.size(); ++i) lacks[i] += other.lacks[i];
  minutes.Merge(other.minutes), contrast_ml.Merge(other.contrast_ml), air_kerma_gy.Merge(other.air_kerma_gy);
  not_shown += other.not_shown, left_for_good += other.left_for_good;
  for (std::size_t i = 0; i < kit.size(); ++i) kit[i].counts.Merge(other.kit[i].counts), AddCount(kit[i].used, other.kit[i].used);
  for (std::size_t i = 0; i < yardsticks.size() && i < other.yardsticks.size(); ++i) {
    YardstickSums& to = yardsticks[i];
    const YardstickSums& from = other.yardsticks[i];
    for (std::size_t group = 0; group < to.groups.size(); ++group) AddCount(to.groups[group], from.groups[group]);
    to.facts_missing += from.facts_missing, to.not_made_for += from.not_made_for, to.no_outcome += from.no_outcome;
  }
}

std::optional<char> JudgedLetter(const PackedCase& row) {
  if (row.success < 0 || row.j_cto < 0) return std::nullopt;
  return static_cast<char>('a' + 2 * static_cast<int>(JctoClass(row.j_cto)) + (row.success == 0 ? 1 : 0));
}

}  // namespace fairlead
