// SPDX-License-Identifier: Apache-2.0
// Sums as text, and back: equal sums are equal text, whatever the order in which their rows came and went.
#include <algorithm>
#include <map>
#include <utility>

#include "practice/audit/kept.h"
#include "practice/audit/kept_bytes.h"

namespace fairlead {
namespace {

constexpr std::uint64_t kMostSteps = 200'000;

void Write(BytesOut& out, const Count& count) { out.Signed(count.cases), out.Signed(count.events); }
void Write(BytesOut& out, const PartSums& part) { out.Signed(part.rows), Write(out, part.success), Write(out, part.complication); }
void Write(BytesOut& out, const Tally& tally) {
  const auto counted = tally.Counted();
  out.Whole(counted.size());
  std::uint64_t before = 0;
  for (const Tally::Steps& each : counted) out.Whole(each.step - before), out.Whole(each.count), before = each.step;
  const auto others = tally.Others();
  out.Whole(others.size());
  for (const double value : others) out.Figure(value);
}

void Read(BytesIn& in, Count& count) { count.cases = in.Signed(), count.events = in.Signed(); }
void Read(BytesIn& in, PartSums& part) {
  part.rows = in.Signed();
  Read(in, part.success), Read(in, part.complication);
}
void Read(BytesIn& in, Tally& tally) {
  std::uint64_t step = 0;
  for (std::uint64_t left = in.Whole(kMostSteps); left > 0 && !in.failed(); --left) {
    step += in.Whole(kMostSteps);
    if (step > kMostSteps) return in.Fail();
    tally.Put({step, in.Whole(0xFFFFFFFFU)});
  }
  for (std::uint64_t left = in.Whole(in.left()); left > 0 && !in.failed(); --left) tally.PutOther(in.Figure());
}

bool Any(const Count& count) { return count.cases != 0 || count.events != 0; }

void WriteWords(BytesOut& out, const AuditSums& sums) {
  std::map<std::string_view, std::size_t> named;
  for (std::size_t i = 0; i < sums.words.size(); ++i) {
    if (sums.ways[i].rows != 0 || sums.vessels[i].rows != 0 || sums.left[i].minutes.size() != 0) named[sums.words[i]] = i;
  }
  out.Whole(named.size());
  for (const auto& [word, i] : named) {
    out.Text(word);
    Write(out, sums.ways[i]), Write(out, sums.vessels[i]), Write(out, sums.left[i].minutes), Write(out, sums.left[i].stalled);
  }
  using Pair = std::pair<std::string_view, std::string_view>;
  const auto pair = [&](std::uint32_t both) { return Pair(sums.words[both >> 16U], sums.words[both & 0xFFFFU]); };
  std::map<Pair, Count> next;
  for (const auto& [both, count] : sums.next) {
    if (Any(count)) next[pair(both)] = count;
  }
  std::map<Pair, std::int64_t> shown;
  for (const auto& [both, changes] : sums.shown) {
    if (changes != 0) shown[pair(both)] = changes;
  }
  out.Whole(next.size());
  for (const auto& [words, count] : next) out.Text(words.first), out.Text(words.second), Write(out, count);
  out.Whole(shown.size());
  for (const auto& [words, changes] : shown) out.Text(words.first), out.Text(words.second), out.Signed(changes);
}

void ReadWords(BytesIn& in, AuditSums& sums) {
  for (std::uint64_t left = in.Whole(kMostWords); left > 0 && !in.failed(); --left) {
    const WordNumber i = sums.NumberOf(std::string(in.Text()));
    Read(in, sums.ways[i]), Read(in, sums.vessels[i]), Read(in, sums.left[i].minutes), Read(in, sums.left[i].stalled);
  }
  const auto both = [&] {
    const std::uint32_t first = sums.NumberOf(std::string(in.Text()));
    return (first << 16U) | sums.NumberOf(std::string(in.Text()));
  };
  for (std::uint64_t left = in.Whole(in.left()); left > 0 && !in.failed(); --left) Read(in, sums.next[both()]);
  for (std::uint64_t left = in.Whole(in.left()); left > 0 && !in.failed(); --left) {
    const std::uint32_t words = both();
    sums.shown[words] = in.Signed();
  }
}

// Everything that has its place; the same list for writing and reading.
template <typename Sums, typename Each>
void Members(Sums& sums, Each each) {
  each(sums.whole), each(sums.procedural);
  for (auto& part : sums.classes) each(part);
  each(sums.minutes), each(sums.contrast_ml), each(sums.air_kerma_gy);
  for (auto& kind : sums.kit) each(kind.counts), each(kind.used);
  for (auto& found : sums.yardsticks) {
    for (auto& group : found.groups) each(group);
  }
}
template <typename Sums, typename Each>
void Numbers(Sums& sums, Each each) {
  each(sums.cases), each(sums.invented), each(sums.no_outcome), each(sums.no_difficulty), each(sums.no_complication_entry), each(sums.not_shown), each(sums.left_for_good);
  for (auto& lacking : sums.lacks) each(lacking);
  for (auto& found : sums.yardsticks) each(found.facts_missing), each(found.not_made_for), each(found.no_outcome);
}

}  // namespace

std::string SumsText(const AuditSums& sums) {
  if (sums.cases == 0) return {};
  BytesOut out;
  out.Whole(KeptStamp());
  Numbers(sums, [&](std::int64_t number) { out.Signed(number); });
  Members(sums, [&](const auto& member) { Write(out, member); });
  const auto months = std::count_if(sums.months.begin(), sums.months.end(), [](const auto& month) { return month.second.part.rows != 0; });
  out.Whole(static_cast<std::uint64_t>(months));
  for (const auto& [number, month] : sums.months) {
    if (month.part.rows == 0) continue;
    out.Signed(number), Write(out, month.part);
    for (const Count& each : month.judged) Write(out, each);
  }
  WriteWords(out, sums);
  return out.AsText();
}

std::optional<AuditSums> ReadSums(std::string_view text) {
  AuditSums sums;
  if (text.empty()) return sums;
  BytesIn in(text);
  if (in.Whole() != KeptStamp() || in.failed()) return std::nullopt;
  Numbers(sums, [&](std::int64_t& number) { number = in.Signed(); });
  Members(sums, [&](auto& member) { Read(in, member); });
  for (std::uint64_t left = in.Whole(in.left()); left > 0 && !in.failed(); --left) {
    MonthOfSums& month = sums.months[static_cast<int>(in.Signed())];
    Read(in, month.part);
    for (Count& each : month.judged) Read(in, each);
  }
  ReadWords(in, sums);
  if (in.failed() || !in.AtEnd()) return std::nullopt;
  return sums;
}

}  // namespace fairlead
