// SPDX-License-Identifier: Apache-2.0
#include "reasoning/tray/tray.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>

#include "reasoning/tray/guides.h"
#include "reasoning/tray/needs.h"

namespace fairlead {
namespace {

constexpr std::array<std::string_view, 4> kStrategies = {"AW", "ADR", "RW", "RDR"};
constexpr std::size_t kMostCandidates = 5;

// A size that follows the vessel: balloons and covered stents.
void MatchVessel(Need& need, const NeedRow& row, const std::optional<Length>& vessel) {
  if (!vessel) return;
  const Length step = Length::Millimetres(0.5);
  if (row.id == "cart" || row.id == "block") { need.nominal_from = *vessel - step; need.nominal_to = *vessel + step; }
  if (row.id == "covered") { need.nominal_from = *vessel - Length::Millimetres(0.25); need.nominal_to = *vessel + Length::Millimetres(1.0); }
}

class Chooser {
 public:
  Chooser(const TrayQuestion& question, const Shelf& shelf) : question_(question), shelf_(shelf) {}

  TrayNeed Choose(const NeedRow& row) const {
    TrayNeed need{std::string(row.id), std::string(row.what), std::string(row.why), row.side, {}, row.count, {}, NeedState::kMissing, {}, {}};
    for (const std::string& strategy : question_.strategies) {
      if (Serves(row.strategies, strategy)) need.strategies.push_back(strategy);
    }
    auto wanted = ParseNeed(row.need);
    if (!wanted.ok()) return need;  // held by a test over all rows
    MatchVessel(*wanted, row, question_.vessel);
    Rank(need, row, Search(shelf_, *wanted));
    return need;
  }

 private:
  Stretch RouteOf(Approach side) const {
    DeviceRoute route{question_.valve, {"guide", Length::Centimetres(side == Approach::kRetrograde ? 90 : 100), {}, true}, {}, {}};
    route.segments = side == Approach::kRetrograde ? question_.retrograde : question_.antegrade;
    if (side == Approach::kRetrograde) route.inside_other = Length::Centimetres(3);
    return NeedOf(route);
  }

  // Enough in date before too few, long enough before too short, then as the search has them.
  void Rank(TrayNeed& need, const NeedRow& row, std::vector<std::size_t> found) const {
    const bool routed = row.reaches && !(row.side == Approach::kRetrograde ? question_.retrograde : question_.antegrade).empty();
    const Stretch route = RouteOf(row.side);
    const auto reach = [&](std::size_t at) -> std::optional<Spare> {
      if (!routed || !shelf_.devices[at].usable) return std::nullopt;
      return SpareOf(*shelf_.devices[at].usable, route);
    };
    const auto grade = [&](std::size_t at) {
      const auto spare = reach(at);
      const int shortness = spare ? static_cast<int>(spare->reach) : 0;
      return shortness + (shortness == static_cast<int>(ReachClass::kShort) ? 10 : 0) + (UsableCount(shelf_.devices[at], question_.today) == 0 ? 5 : 0);
    };
    std::ranges::stable_sort(found, [&](std::size_t a, std::size_t b) { return grade(a) < grade(b); });
    int together = 0;
    for (const std::size_t at : found) {
      const auto spare = reach(at);
      if (!spare || spare->reach != ReachClass::kShort) together += UsableCount(shelf_.devices[at], question_.today);
    }
    if (found.size() > kMostCandidates) found.resize(kMostCandidates);
    need.candidates = std::move(found);
    if (!need.candidates.empty()) need.reach = reach(need.candidates.front());
    Judge(need, together);
  }

  void Judge(TrayNeed& need, int together) const {
    if (need.candidates.empty()) {
      need.remark = "the shelf has none";
      return;
    }
    const Device& first = shelf_.devices[need.candidates.front()];
    const int usable = UsableCount(first, question_.today);
    if (together == 0) {
      need.remark = need.reach && need.reach->reach == ReachClass::kShort && usable > 0 ? fmt::format("{} is too short by {:.0f} cm", first.name, -need.reach->value.millimetres() / 10)
                    : ExpiredCount(first, question_.today) > 0 ? fmt::format("{} has expired", first.name)
                                                               : fmt::format("{}: none in the drawer", first.name);
      return;
    }
    need.state = NeedState::kReady;
    if (together < need.count) {
      need.state = NeedState::kDoubtful;
      need.remark = fmt::format("{} of {} in the drawer", together, need.count);
    } else if (need.reach && need.reach->reach == ReachClass::kTight) {
      need.state = NeedState::kDoubtful;
      need.remark = fmt::format("reaches with {:.0f} cm to spare", need.reach->value.millimetres() / 10);
    }
  }

  const TrayQuestion& question_;
  const Shelf& shelf_;
};

}  // namespace

std::string_view WordOf(Approach side) { return side == Approach::kAntegrade ? "antegrade" : "retrograde"; }

std::string_view WordOf(NeedState state) {
  switch (state) {
    case NeedState::kReady: return "ready";
    case NeedState::kDoubtful: return "doubtful";
    case NeedState::kMissing: return "missing";
  }
  return "";
}

Result<TrayAnswer> ChooseTray(const TrayQuestion& question, const Shelf& shelf) {
  for (const std::string& strategy : question.strategies) {
    if (std::ranges::find(kStrategies, strategy) == kStrategies.end()) {
      return Error{"this strategy is not known", fmt::format("'{}'", strategy.substr(0, 20)), "use AW, ADR, RW or RDR"};
    }
  }
  TrayAnswer answer;
  const Chooser chooser(question, shelf);
  // In the order of the ladder: what the first strategy asks for comes first.
  for (const std::string& strategy : question.strategies) {
    for (const NeedRow& row : NeedRows()) {
      const bool there = std::ranges::any_of(answer.needs, [&](const TrayNeed& need) { return need.id == row.id; });
      if (Serves(row.strategies, strategy) && !there) answer.needs.push_back(chooser.Choose(row));
    }
  }
  for (const NeedRow& row : NeedRows()) {
    if (row.strategies == "bail") answer.bailout.push_back(chooser.Choose(row));
  }
  for (const std::string_view each : ByEye()) answer.by_eye.emplace_back(each);
  answer.guides = ChooseGuides(question, shelf, answer.needs);
  for (const TrayGuide& guide : answer.guides) answer.conflicts.insert(answer.conflicts.end(), guide.conflicts.begin(), guide.conflicts.end());
  return answer;
}

std::vector<Pick> PickList(const TrayAnswer& answer) {
  std::vector<Pick> picks;
  const auto add = [&](std::size_t device, int count, const std::string& what) {
    const auto known = std::ranges::find(picks, device, &Pick::device);
    if (known == picks.end()) { picks.push_back({device, count, {what}}); return; }
    known->count = std::max(known->count, count);
    if (std::ranges::find(known->what_for, what) == known->what_for.end()) known->what_for.push_back(what);
  };
  for (const TrayGuide& guide : answer.guides) {
    if (guide.guide) add(*guide.guide, 1, std::string(WordOf(guide.side)) + " guide");
    if (guide.sheath) add(*guide.sheath, 1, std::string(WordOf(guide.side)) + " sheath");
  }
  for (const auto* list : {&answer.needs, &answer.bailout}) {
    for (const TrayNeed& need : *list) {
      if (need.state != NeedState::kMissing) add(need.candidates.front(), need.count, need.what);
    }
  }
  return picks;
}

}  // namespace fairlead
