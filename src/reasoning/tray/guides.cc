// SPDX-License-Identifier: Apache-2.0
#include "reasoning/tray/guides.h"

#include <fmt/core.h>

#include <algorithm>
#include <map>

#include "reasoning/tray/needs.h"

namespace fairlead {
namespace {

[[maybe_unused]] constexpr SourceId kArterySource = "radial-ratio-1999"_source;
constexpr std::size_t kCompared = 5;  // candidates of a need that are tried beside those of another

// Devices that may form a group, and the lumen that they take in their best order: asked once, whatever the guide.
struct Choice {
  std::vector<std::string> needs;      // as `devices`
  std::vector<std::size_t> devices;    // first in first
  Length smallest, demanded;           // by geometry; by a label
  bool known = false;
};
struct Wanted {
  const GroupRow* row = nullptr;
  std::vector<std::string> strategies;
  std::vector<Choice> choices;         // the first is the one that the candidates' ranks prefer
};
// One choice for each group such that a need is served by one device throughout.
struct Assignment {
  std::vector<const Choice*> choices;
  FitClass worst = FitClass::kFits;
};

FitClass ClassIn(const Choice& choice, const Host& host) {
  if (!choice.known) return FitClass::kUnknown;
  if (choice.demanded > host.lumen + host.rounding * 2) return FitClass::kNo;
  return ClassOf(host.lumen - choice.smallest, FitRules{}.clearance);
}

Assignment Assign(const std::vector<Wanted>& wanted, const Host& host) {
  Assignment assignment;
  std::map<std::string, std::size_t> fixed;
  const auto allowed = [&](const Choice& choice) {
    for (std::size_t i = 0; i < choice.needs.size(); ++i) {
      const auto known = fixed.find(choice.needs[i]);
      if (known != fixed.end() && known->second != choice.devices[i]) return false;
    }
    return true;
  };
  for (const Wanted& group : wanted) {
    const Choice* best = nullptr;
    for (const Choice& choice : group.choices) {
      if (allowed(choice) && (best == nullptr || ClassIn(choice, host) < ClassIn(*best, host))) best = &choice;
    }
    assignment.choices.push_back(best);
    if (best == nullptr) continue;
    for (std::size_t i = 0; i < best->needs.size(); ++i) fixed[best->needs[i]] = best->devices[i];
    assignment.worst = std::max(assignment.worst, ClassIn(*best, host));
  }
  return assignment;
}

class GuideChooser {
 public:
  GuideChooser(const TrayQuestion& question, const Shelf& shelf, const std::vector<TrayNeed>& needs)
      : question_(question), shelf_(shelf), needs_(needs) {}

  // `taken`: pieces that the other side has already.
  TrayGuide For(Approach side, std::vector<std::size_t>& taken) const {
    const std::vector<Wanted> wanted = GroupsOf(side);
    TrayGuide best;
    best.side = side;
    Assignment chosen;
    for (const std::size_t at : Guides(side, taken)) {
      Assignment assignment = Assign(wanted, HostOf(shelf_.devices[at]));
      if (best.guide && assignment.worst >= chosen.worst) continue;
      best.guide = at;
      chosen = std::move(assignment);
      if (chosen.worst == FitClass::kFits) break;
    }
    if (!best.guide) {
      best.conflicts.push_back(fmt::format("no guide for the {} side is in the drawer", WordOf(side)));
      return best;
    }
    for (std::size_t i = 0; i < wanted.size(); ++i) {
      if (chosen.choices[i] == nullptr) continue;
      best.groups.push_back({std::string(wanted[i].row->why), side, wanted[i].strategies, chosen.choices[i]->needs, chosen.choices[i]->devices, {}, std::nullopt, {}});
    }
    taken.push_back(*best.guide);
    AddSheath(best, taken);
    return best;
  }

 private:
  int Left(std::size_t at, const std::vector<std::size_t>& taken) const {
    return UsableCount(shelf_.devices[at], question_.today) - static_cast<int>(std::ranges::count(taken, at));
  }

  // The usual length first, then narrow before wide: the retrograde guide is short so that devices reach.
  std::vector<std::size_t> Guides(Approach side, const std::vector<std::size_t>& taken) const {
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < shelf_.devices.size(); ++i) {
      if (shelf_.devices[i].kind == DeviceClass::kGuide && shelf_.devices[i].lumen && Left(i, taken) > 0) found.push_back(i);
    }
    const auto other = [&](std::size_t at) { return shelf_.devices[at].usable != Length::Centimetres(side == Approach::kRetrograde ? 90 : 100); };
    std::ranges::stable_sort(found, [&](std::size_t a, std::size_t b) {
      return other(a) != other(b) ? other(b) : *shelf_.devices[a].lumen < *shelf_.devices[b].lumen;
    });
    return found;
  }

  const TrayNeed* Of(std::string_view id) const {
    const auto found = std::ranges::find(needs_, id, &TrayNeed::id);
    return found == needs_.end() || found->candidates.empty() ? nullptr : &*found;
  }

  std::vector<Wanted> GroupsOf(Approach side) const {
    std::vector<Wanted> groups;
    for (const GroupRow& row : GroupRows()) {
      if (row.side != side) continue;
      Wanted wanted{&row, {}, {}};
      for (const std::string& strategy : question_.strategies) {
        if (Serves(row.strategies, strategy)) wanted.strategies.push_back(strategy);
      }
      if (wanted.strategies.empty()) continue;
      wanted.choices = ChoicesOf(row);
      if (!wanted.choices.empty()) groups.push_back(std::move(wanted));
    }
    return groups;
  }

  std::vector<Choice> ChoicesOf(const GroupRow& row) const {
    const TrayNeed* first = Of(row.first);
    const TrayNeed* second = row.second.empty() ? nullptr : Of(row.second);
    std::vector<Choice> choices;
    if (first == nullptr || (!row.second.empty() && second == nullptr)) return choices;
    for (std::size_t a = 0; a < std::min(kCompared, first->candidates.size()); ++a) {
      if (second == nullptr) { choices.push_back(ChoiceOf({first->id}, {first->candidates[a]})); continue; }
      for (std::size_t b = 0; b < std::min(kCompared, second->candidates.size()); ++b) {
        choices.push_back(ChoiceOf({first->id, second->id}, {first->candidates[a], second->candidates[b]}));
      }
    }
    return choices;
  }

  Choice ChoiceOf(const std::vector<std::string>& ids, const std::vector<std::size_t>& pair) const {
    std::vector<Device> devices;
    Choice choice;
    for (const std::size_t at : pair) {
      devices.push_back(shelf_.devices[at]);
      choice.demanded = std::max(choice.demanded, shelf_.devices[at].need_lumen.value_or(Length{}));
    }
    const Host anywhere{"", Length::Centimetres(5)};  // so wide that only the order matters
    const OrderedFit best = FitOrders(anywhere, devices).front();
    for (const std::size_t index : best.order) {
      choice.devices.push_back(pair[index]);
      choice.needs.push_back(ids[index]);
    }
    choice.smallest = best.answer.smallest;
    choice.known = best.answer.fit != FitClass::kUnknown;
    return choice;
  }

  // The thinnest outside among those that take the guide.
  void AddSheath(TrayGuide& guide, std::vector<std::size_t>& taken) const {
    const Device& shaft = shelf_.devices[*guide.guide];
    if (!shaft.od_prox) { guide.conflicts.push_back(fmt::format("the outer diameter of {} is not known: no sheath can be chosen", shaft.name)); return; }
    const auto outer = [&](std::size_t at) { return shelf_.devices[at].od_prox.value_or(Length::Millimetres(99)); };
    for (std::size_t i = 0; i < shelf_.devices.size(); ++i) {
      const Device& sheath = shelf_.devices[i];
      const bool takes = sheath.kind == DeviceClass::kSheath && sheath.lumen && *sheath.lumen >= *shaft.od_prox && Left(i, taken) > 0;
      if (takes && (!guide.sheath || outer(i) < outer(*guide.sheath))) guide.sheath = i;
    }
    if (!guide.sheath) { guide.conflicts.push_back(fmt::format("no sheath in the drawer takes {}", shaft.name)); return; }
    taken.push_back(*guide.sheath);
    const auto& wide = shelf_.devices[*guide.sheath].od_prox;
    if (!question_.radial_artery || !wide) return;
    guide.artery_ratio = *question_.radial_artery / *wide;
    if (*guide.artery_ratio >= 1.0) return;
    guide.conflicts.push_back(fmt::format("{} is wider than the radial artery: ratio {:.2f}; flow was lost in 13 of 100 below 1, in 4 of 100 from 1 on",
                                          shelf_.devices[*guide.sheath].name, *guide.artery_ratio));
  }

  const TrayQuestion& question_;
  const Shelf& shelf_;
  const std::vector<TrayNeed>& needs_;
};

void Conflict(TrayGuide& guide, const TrayGroup& group, const Shelf& shelf) {
  const FitAnswer& answer = group.fit.answer;
  if (answer.fit == FitClass::kFits && answer.off_label.empty()) return;
  std::string names;
  for (const std::size_t at : group.devices) names += (names.empty() ? "" : ", then ") + shelf.devices[at].name;
  const std::string sum = answer.fit == FitClass::kUnknown ? "sizes not known" : fmt::format("{}, {:+.2f} mm{}", WordOf(answer.fit), answer.margin.millimetres(), answer.off_label.empty() ? "" : ", off label");
  guide.conflicts.push_back(fmt::format("{} in {}: {} ({})", names, shelf.devices[*guide.guide].name, sum, group.why));
}

}  // namespace

std::vector<TrayGuide> ChooseGuides(const TrayQuestion& question, const Shelf& shelf, const std::vector<TrayNeed>& needs) {
  std::vector<TrayGuide> guides;
  if (question.strategies.empty()) return guides;
  const GuideChooser chooser(question, shelf, needs);
  std::vector<std::size_t> taken;
  guides.push_back(chooser.For(Approach::kAntegrade, taken));
  const bool retrograde = std::ranges::any_of(question.strategies, [](const std::string& each) { return each.starts_with('R'); });
  if (retrograde) guides.push_back(chooser.For(Approach::kRetrograde, taken));
  return guides;
}

void FitGroups(std::vector<TrayGuide>& guides, const std::vector<TrayNeed>& needs, const Shelf& shelf) {
  for (TrayGuide& guide : guides) {
    if (!guide.guide) continue;
    const Host host = HostOf(shelf.devices[*guide.guide]);
    guide.fit = FitClass::kFits;
    for (TrayGroup& group : guide.groups) {
      std::vector<std::size_t> laid;
      std::vector<Device> devices;
      for (std::size_t i = 0; i < group.needs.size(); ++i) {
        const auto need = std::ranges::find(needs, group.needs[i], &TrayNeed::id);
        laid.push_back(need != needs.end() && !need->pieces.empty() ? need->pieces.front().device : group.devices[i]);
        devices.push_back(shelf.devices[laid.back()]);
      }
      const OrderedFit best = FitOrders(host, devices).front();
      group.devices.clear();
      for (const std::size_t index : best.order) group.devices.push_back(laid[index]);
      group.fit = {{}, best.answer};
      for (std::size_t i = 0; i < laid.size(); ++i) group.fit.order.push_back(i);
      guide.fit = std::max(guide.fit, best.answer.off_label.empty() ? best.answer.fit : std::max(best.answer.fit, FitClass::kTight));
      Conflict(guide, group, shelf);
    }
  }
}

}  // namespace fairlead
