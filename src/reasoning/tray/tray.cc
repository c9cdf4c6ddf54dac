// SPDX-License-Identifier: Apache-2.0
#include "reasoning/tray/tray.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>

#include "reasoning/tray/choosing.h"
#include "reasoning/tray/guides.h"
#include "reasoning/tray/laying.h"
#include "reasoning/tray/needs.h"

namespace fairlead {
namespace {

constexpr std::array<std::string_view, 4> kStrategies = {"AW", "ADR", "RW", "RDR"};
// In the order of the ladder: what the first strategy asks for comes first.
std::vector<TrayNeed> NeedsOf(const TrayQuestion& question, const Shelf& shelf, const GuideLengths& lengths) {
  std::vector<TrayNeed> needs;
  for (const std::string& strategy : question.strategies) {
    for (const NeedRow& row : NeedRows()) {
      const bool there = std::ranges::any_of(needs, [&](const TrayNeed& need) { return need.id == row.id; });
      if (Serves(row.strategies, strategy) && !there) needs.push_back(ChooseNeed(row, question, shelf, lengths));
    }
  }
  return needs;
}

// The lengths of the guides that were chosen, where they are known.
GuideLengths LengthsOf(const std::vector<TrayGuide>& guides, const Shelf& shelf) {
  GuideLengths lengths;
  for (const TrayGuide& guide : guides) {
    if (!guide.guide || !shelf.devices[*guide.guide].usable) continue;
    (guide.side == Approach::kRetrograde ? lengths.retrograde : lengths.antegrade) = {shelf.devices[*guide.guide].name, *shelf.devices[*guide.guide].usable, {}, false};
  }
  return lengths;
}

// The device that serves a group in the guide chosen goes first.
void Promote(std::vector<TrayNeed>& needs, const std::vector<TrayGuide>& guides) {
  for (const TrayGuide& guide : guides) {
    for (const TrayGroup& group : guide.groups) {
      for (std::size_t i = 0; i < group.needs.size(); ++i) {
        const auto need = std::ranges::find(needs, group.needs[i], &TrayNeed::id);
        if (need == needs.end()) continue;
        const auto at = std::ranges::find(need->candidates, group.devices[i]) - need->candidates.begin();
        if (at == static_cast<std::ptrdiff_t>(need->candidates.size())) continue;
        std::rotate(need->candidates.begin(), need->candidates.begin() + at, need->candidates.begin() + at + 1);
        std::rotate(need->reaches.begin(), need->reaches.begin() + at, need->reaches.begin() + at + 1);
      }
    }
  }
}

const TrayNeed* Laid(const std::vector<TrayNeed>& needs, std::string_view id) {
  const auto need = std::ranges::find(needs, id, &TrayNeed::id);
  return need == needs.end() || need->pieces.empty() ? nullptr : &*need;
}

std::optional<TrayExternal> External(const TrayAnswer& answer, const TrayQuestion& question, const Shelf& shelf, const GuideLengths& lengths) {
  const TrayNeed* microcatheter = Laid(answer.needs, "mc-retro");
  if (microcatheter == nullptr) return std::nullopt;
  const Device& shaft = shelf.devices[microcatheter->pieces.front().device];
  if (!shaft.usable) return std::nullopt;
  const Externalising ask{*shaft.usable, lengths.antegrade, question.valve, false};
  TrayExternal external{ExternalNeeds(ask), std::nullopt, shaft.name, lengths.antegrade.name};
  if (const TrayNeed* wire = Laid(answer.needs, "wire-out")) {
    const Device& out = shelf.devices[wire->pieces.front().device];
    if (out.usable) external.wire = BringOut(out.name, *out.usable, ask);
  }
  return external;
}

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
  answer.needs = NeedsOf(question, shelf, {});
  answer.guides = ChooseGuides(question, shelf, answer.needs);
  const GuideLengths lengths = LengthsOf(answer.guides, shelf);
  answer.needs = NeedsOf(question, shelf, lengths);
  for (const NeedRow& row : NeedRows()) {
    if (row.strategies == "bail") answer.bailout.push_back(ChooseNeed(row, question, shelf, lengths));
  }
  Promote(answer.needs, answer.guides);
  LayOut(answer, question, shelf);
  FitGroups(answer.guides, answer.needs, shelf);
  for (const std::string_view each : ByEye()) answer.by_eye.emplace_back(each);
  answer.external = External(answer, question, shelf, lengths);
  for (const TrayGuide& guide : answer.guides) answer.conflicts.insert(answer.conflicts.end(), guide.conflicts.begin(), guide.conflicts.end());
  if (answer.external && answer.external->wire && !answer.external->wire->may_be_snared) {
    answer.conflicts.push_back(fmt::format("{} is too short to be brought out beside {}: not to be snared", answer.external->wire->name, answer.external->microcatheter));
  }
  return answer;
}

void AddFlow(TrayAnswer& answer, const Shelf& shelf) {
  for (TrayGuide& guide : answer.guides) {
    for (TrayGroup& group : guide.groups) {
      const FitAnswer& fit = group.fit.answer;
      const bool tunnel = std::ranges::any_of(fit.worst, [](const Paired& paired) { return paired.section == "tunnel"; });
      if (!guide.guide || tunnel || (fit.fit != FitClass::kFits && fit.fit != FitClass::kTight)) continue;
      std::vector<Length> shafts;
      for (const Place& place : fit.places) shafts.push_back(place.diameter);
      const Length lumen = HostOf(shelf.devices[*guide.guide]).lumen;
      auto resting = Rest(shafts, lumen);
      if (!resting) continue;
      group.flow = FlowBeside(*resting, lumen);
      group.resting = std::move(*resting);
    }
  }
}

std::vector<Pick> PickList(const TrayAnswer& answer) {
  std::vector<Pick> picks;
  const auto add = [&](std::size_t device, int count, const std::string& what) {
    const auto known = std::ranges::find(picks, device, &Pick::device);
    if (known == picks.end()) { picks.push_back({device, count, {what}}); return; }
    known->count += count;
    if (std::ranges::find(known->what_for, what) == known->what_for.end()) known->what_for.push_back(what);
  };
  for (const TrayGuide& guide : answer.guides) {
    if (guide.guide) add(*guide.guide, 1, std::string(WordOf(guide.side)) + " guide");
    if (guide.sheath) add(*guide.sheath, 1, std::string(WordOf(guide.side)) + " sheath");
  }
  for (const auto* list : {&answer.needs, &answer.bailout}) {
    for (const TrayNeed& need : *list) {
      for (const TrayPiece& piece : need.pieces) add(piece.device, piece.count, need.what);
    }
  }
  return picks;
}

}  // namespace fairlead
