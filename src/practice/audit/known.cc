// SPDX-License-Identifier: Apache-2.0
#include "practice/audit/known.h"

#include <algorithm>
#include <cmath>

#include "practice/audit/kept.h"

namespace fairlead {
namespace {

double PlaceOf(const RowFactKind& kind, const RowFact& fact) {
  if (const auto* number = std::get_if<double>(&fact)) return *number;
  if (const auto* flag = std::get_if<bool>(&fact)) return *flag ? 1 : 0;
  const auto word = std::find(kind.words.begin(), kind.words.end(), std::get<std::string>(fact));
  return word == kind.words.end() ? KnownCase::kUnknown : static_cast<double>(word - kind.words.begin());
}

}  // namespace

KnownCase KnownOf(const CaseRow& row) {
  KnownCase known;
  known.vessel = row.vessel, known.j_cto = row.j_cto.value_or(-1);
  const auto kinds = RowFacts();
  for (std::size_t i = 0; i < kinds.size(); ++i) {
    if (const auto fact = row.facts.find(kinds[i].name); fact != row.facts.end()) known.facts[i] = PlaceOf(kinds[i], fact->second);
  }
  return known;
}

std::string KnownBytes(const CaseRow& row) {
  const KnownCase known = KnownOf(row);
  std::uint64_t there = 0;
  for (std::size_t i = 0; i < known.facts.size(); ++i) there |= std::isnan(known.facts[i]) ? 0 : std::uint64_t{1} << i;
  BytesOut out;
  out.Text(known.vessel), out.Whole(static_cast<std::uint64_t>(known.j_cto + 1)), out.Whole(there);
  for (const double fact : known.facts) {
    if (!std::isnan(fact)) out.Figure(fact);
  }
  return out.bytes();
}

KnownCase ReadKnown(BytesIn& in) {
  KnownCase known;
  known.vessel = in.Text(), known.j_cto = static_cast<int>(in.Whole(6)) - 1;
  const std::uint64_t there = in.Whole((std::uint64_t{1} << KnownCase::kMostFacts) - 1);
  for (std::size_t i = 0; i < known.facts.size(); ++i) {
    if ((there >> i & 1U) != 0) known.facts[i] = in.Figure();
  }
  return known;
}

KnownDay::KnownDay(std::string_view known) : in_(known) {
  if (known.empty()) return;
  if (in_.Whole() != KeptStamp()) in_.Fail();
  left_ = in_.Whole(in_.left());
}

std::optional<KnownDay::Case> KnownDay::Next() {
  if (left_ == 0 || in_.failed()) {
    if (!in_.AtEnd()) in_.Fail();
    return std::nullopt;
  }
  --left_;
  Case next;
  next.id = in_.Text(), next.began.ms = in_.Signed();
  const std::uint64_t size = in_.Whole(in_.left()), before = in_.left();
  next.known = ReadKnown(in_);
  if (before - in_.left() != size) in_.Fail();
  if (in_.failed()) return std::nullopt;
  return next;
}

}  // namespace fairlead
