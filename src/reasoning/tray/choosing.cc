// SPDX-License-Identifier: Apache-2.0
#include "reasoning/tray/choosing.h"

#include <algorithm>

namespace fairlead {
namespace {

constexpr std::size_t kMostCandidates = 8;

// A size that follows the vessel: balloons and covered stents. practice, no source
void MatchVessel(Need& need, const NeedRow& row, const std::optional<Length>& vessel) {
  if (!vessel) return;
  const Length step = Length::Millimetres(0.5);
  if (row.id == "cart" || row.id == "block") { need.nominal_from = *vessel - step; need.nominal_to = *vessel + step; }
  if (row.id == "covered") { need.nominal_from = *vessel - Length::Millimetres(0.25); need.nominal_to = *vessel + Length::Millimetres(1.0); }
}

struct Ranked {
  std::size_t device = 0;
  std::optional<Spare> reach;
  int shortness = 0;   // 0 long enough, 1 barely, 2 too short
  bool there = false;  // in date, in the drawer
};

// Long enough before too short, there before not, then what the row asks for; ties stay as the search had them.
void Sort(std::vector<Ranked>& found, Rank rank, const Shelf& shelf) {
  const auto usable = [&](const Ranked& each) { return shelf.devices[each.device].usable.value_or(Length{}); };
  const auto lumen = [&](const Ranked& each) { return shelf.devices[each.device].lumen.value_or(Length{}); };
  std::ranges::stable_sort(found, [&](const Ranked& a, const Ranked& b) {
    const bool gone_a = a.shortness == 2, gone_b = b.shortness == 2;
    if (gone_a != gone_b) return gone_b;
    if (a.there != b.there) return a.there;
    if (a.shortness != b.shortness) return a.shortness < b.shortness;
    if (rank == Rank::kJustLong) return usable(a) < usable(b);
    return rank == Rank::kRoomy && lumen(a) > lumen(b);
  });
}

}  // namespace

Stretch RouteOn(Approach side, const TrayQuestion& question, const GuideLengths& lengths) {
  const bool retrograde = side == Approach::kRetrograde;
  DeviceRoute route{question.valve, retrograde ? lengths.retrograde : lengths.antegrade, {}, {}};
  route.segments = retrograde ? question.retrograde : question.antegrade;
  if (retrograde) route.inside_other = Length::Centimetres(3);  // practice, no source
  return NeedOf(route);
}

TrayNeed ChooseNeed(const NeedRow& row, const TrayQuestion& question, const Shelf& shelf, const GuideLengths& lengths) {
  TrayNeed need;
  need.id = row.id;
  need.what = row.what;
  need.why = row.why;
  need.side = row.side;
  need.count = row.count;
  need.kinds = row.kinds;
  need.unlike = row.unlike;
  for (const std::string& strategy : question.strategies) {
    if (Serves(row.strategies, strategy)) need.strategies.push_back(strategy);
  }
  auto wanted = ParseNeed(row.need);
  if (!wanted.ok()) return need;  // held by a test over all rows
  MatchVessel(*wanted, row, question.vessel);
  const auto& segments = row.side == Approach::kRetrograde ? question.retrograde : question.antegrade;
  const bool routed = (row.rank == Rank::kReaching || row.rank == Rank::kJustLong) && !segments.empty();
  const Stretch route = RouteOn(row.side, question, lengths);
  std::vector<Ranked> found;
  for (const std::size_t at : Search(shelf, *wanted)) {
    Ranked ranked{at, std::nullopt, 0, UsableCount(shelf.devices[at], question.today) > 0};
    if (routed && shelf.devices[at].usable) ranked.reach = SpareOf(*shelf.devices[at].usable, route);
    if (ranked.reach) ranked.shortness = ranked.reach->reach == ReachClass::kOk ? 0 : ranked.reach->reach == ReachClass::kTight ? 1 : 2;
    found.push_back(std::move(ranked));
  }
  Sort(found, row.rank, shelf);
  if (found.size() > kMostCandidates) found.resize(kMostCandidates);
  for (Ranked& ranked : found) {
    need.candidates.push_back(ranked.device);
    need.reaches.push_back(std::move(ranked.reach));
  }
  return need;
}

}  // namespace fairlead
