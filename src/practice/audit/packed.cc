// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/packed.h"

#include <algorithm>

#include "practice/audit/known.h"

namespace fairlead {

WordNumber PackedCases::NumberOf(const std::string& word) {
  if (const auto found = numbers_.find(word); found != numbers_.end()) return found->second;
  if (words_.size() >= kMostWords) return 0;
  const auto number = static_cast<WordNumber>(words_.size());
  words_.push_back(word);
  numbers_.emplace(word, number);
  return number;
}

namespace {

// A later visit of the same case ("CASE/2") is none, whatever was said of earlier failures.
std::int8_t FirstAttemptOf(const CaseRow& row) {
  if (row.id.find('/') != std::string::npos) return 0;
  const auto earlier = row.facts.find("previous_failed_attempts");
  if (earlier == row.facts.end()) return -1;
  const double* count = std::get_if<double>(&earlier->second);
  return static_cast<std::int8_t>(count == nullptr ? -1 : *count < 0.5 ? 1 : 0);
}

}  // namespace

std::optional<WordNumber> PackedCases::Find(std::string_view word) const {
  const auto found = numbers_.find(word);
  if (found == numbers_.end()) return std::nullopt;
  return found->second;
}

void PackedCases::Reserve(std::size_t cases, std::size_t tries) {
  cases_.reserve(cases), tries_.reserve(tries), ids_.reserve(cases * 26);
}

void PackedCases::Add(const CaseRow& row) {
  constexpr std::size_t kMost = 65'535;
  const auto flag = [](const std::optional<bool>& said) { return static_cast<std::int8_t>(said ? (*said ? 1 : 0) : -1); };
  PackedCase one;
  one.began = row.began;
  one.minutes = row.minutes.value_or(PackedCase::kUnknown), one.contrast_ml = row.contrast_ml.value_or(PackedCase::kUnknown);
  one.air_kerma_gy = row.air_kerma_gy.value_or(PackedCase::kUnknown);
  one.id_from = ids_.size(), one.first_try = tries_.size();
  one.id_size = static_cast<std::uint16_t>(std::min(row.id.size(), kMost)), one.tries = static_cast<std::uint16_t>(std::min(row.tries.size(), kMost));
  one.by = NumberOf(row.by), one.vessel = NumberOf(row.vessel);
  one.j_cto = static_cast<std::int8_t>(row.j_cto.value_or(-1));
  one.success = flag(row.success), one.complication = flag(row.complication);
  one.first_attempt = FirstAttemptOf(row);
  one.invented = row.invented;
  one.groups.fill(kGroupUnknown);
  const ScoreDefinition* last = nullptr;
  for (const Yardstick& each : Yardsticks()) {
    if (each.score != last) one.groups[each.slot] = GroupOfRow(*each.score, row);
    last = each.score;
  }
  for (std::size_t i = 0; i < kCountedKit.size(); ++i) {
    const auto counted = row.kit.find(kCountedKit[i]);
    one.kit[i] = counted == row.kit.end() ? PackedCase::kNotCounted : static_cast<std::uint8_t>(std::clamp(counted->second, 0, 254));
  }
  ids_.append(row.id, 0, one.id_size);
  PutKnown(KnownBytes(row), one);
  for (std::size_t i = 0; i < one.tries; ++i) {
    const Try& made = row.tries[i];
    tries_.push_back({.minutes = static_cast<float>(made.minutes), .stalled_min = static_cast<float>(made.stalled_min.value_or(PackedCase::kUnknown)),
                      .way = NumberOf(made.strategy), .reason = NumberOf(made.reason), .ladder = NumberOf(made.ladder), .crossed = made.crossed});
  }
  cases_.push_back(one);
}

void PackedCases::AddPacked(PackedCase one, std::string_view id, std::span<const PackedTry> tries, std::string_view known) {
  one.id_from = ids_.size(), one.first_try = tries_.size();
  one.id_size = static_cast<std::uint16_t>(id.size()), one.tries = static_cast<std::uint16_t>(tries.size());
  PutKnown(known, one);
  ids_.append(id), tries_.insert(tries_.end(), tries.begin(), tries.end());
  cases_.push_back(one);
}

// Words are short, numbers few: more than that is no case.
void PackedCases::PutKnown(std::string_view known, PackedCase& one) {
  if (known.size() > 65'535) known = {};
  one.known_from = known_.size(), one.known_size = static_cast<std::uint16_t>(known.size());
  known_.append(known);
}

void PackedCases::Leave(const std::set<std::string_view>& ids) {
  if (!ids.empty()) std::erase_if(cases_, [&](const PackedCase& row) { return ids.contains(id(row)); });
}

void PackedCases::Sort() {
  const auto before = [this](const PackedCase& a, const PackedCase& b) { return a.began != b.began ? a.began < b.began : id(a) < id(b); };
  if (!std::is_sorted(cases_.begin(), cases_.end(), before)) std::sort(cases_.begin(), cases_.end(), before);
}

PackedCases Pack(std::span<const CaseRow> rows) {
  PackedCases packed;
  std::size_t tries = 0;
  for (const CaseRow& row : rows) tries += row.tries.size();
  packed.Reserve(rows.size(), tries);
  for (const CaseRow& row : rows) packed.Add(row);
  packed.Sort();
  return packed;
}

}  // namespace fairlead
