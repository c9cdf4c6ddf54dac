// SPDX-License-Identifier: Apache-2.0
#include "reasoning/tray/guides.h"

#include <fmt/core.h>

#include <algorithm>

#include "reasoning/tray/needs.h"

namespace fairlead {
namespace {

class GuideChooser {
 public:
  GuideChooser(const TrayQuestion& question, const Shelf& shelf, const std::vector<TrayNeed>& needs)
      : question_(question), shelf_(shelf), needs_(needs) {}

  TrayGuide For(Approach side) const {
    const std::vector<Wanted> wanted = GroupsOf(side);
    TrayGuide best;
    best.side = side;
    FitClass worst_of_best = FitClass::kUnknown;
    for (const std::size_t at : Guides(side)) {
      const FitClass worst = WorstIn(wanted, HostOf(shelf_.devices[at]));
      if (best.guide && worst >= worst_of_best) continue;
      best.guide = at;
      worst_of_best = worst;
      if (worst == FitClass::kFits) break;
    }
    if (!best.guide) best.conflicts.push_back(fmt::format("no guide for the {} side is in the drawer", WordOf(side)));
    else Fill(best, wanted);
    AddSheath(best);
    return best;
  }

 private:
  // Narrow before wide; on the retrograde side short before long.
  std::vector<std::size_t> Guides(Approach side) const {
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < shelf_.devices.size(); ++i) {
      const Device& device = shelf_.devices[i];
      if (device.kind == DeviceClass::kGuide && device.lumen && UsableCount(device, question_.today) > 0) found.push_back(i);
    }
    const auto preferred = [&](std::size_t at) {
      const Length wanted = Length::Centimetres(side == Approach::kRetrograde ? 90 : 100);
      return shelf_.devices[at].usable == wanted ? 0 : 1;
    };
    std::ranges::stable_sort(found, [&](std::size_t a, std::size_t b) {
      const Device& x = shelf_.devices[a];
      const Device& y = shelf_.devices[b];
      if (preferred(a) != preferred(b)) return preferred(a) < preferred(b);
      return *x.lumen < *y.lumen;
    });
    return found;
  }

  const TrayNeed* Of(std::string_view id) const {
    const auto found = std::ranges::find(needs_, id, &TrayNeed::id);
    return found == needs_.end() || found->candidates.empty() ? nullptr : &*found;
  }

  // A pair of devices that may form a group, and the lumen that it takes in its best order: asked once, whatever the guide.
  struct Choice {
    std::vector<std::size_t> devices;
    Length smallest;
    Length demanded;     // by a label
    bool known = false;
  };
  struct Wanted {
    TrayGroup group;
    std::vector<Choice> choices;
  };

  std::vector<Wanted> GroupsOf(Approach side) const {
    std::vector<Wanted> groups;
    for (const GroupRow& row : GroupRows()) {
      if (row.side != side) continue;
      Wanted wanted;
      wanted.group.why = row.why;
      wanted.group.side = side;
      for (const std::string& strategy : question_.strategies) {
        if (Serves(row.strategies, strategy)) wanted.group.strategies.push_back(strategy);
      }
      if (wanted.group.strategies.empty()) continue;
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
    for (const std::size_t a : first->candidates) {
      if (second == nullptr) { choices.push_back(ChoiceOf({a})); continue; }
      for (const std::size_t b : second->candidates) choices.push_back(ChoiceOf({a, b}));
    }
    return choices;
  }

  Choice ChoiceOf(const std::vector<std::size_t>& pair) const {
    std::vector<Device> devices;
    Choice choice;
    for (const std::size_t at : pair) {
      devices.push_back(shelf_.devices[at]);
      choice.demanded = std::max(choice.demanded, shelf_.devices[at].need_lumen.value_or(Length{}));
    }
    const Host anywhere{"", Length::Centimetres(5)};  // so wide that only the order matters
    const OrderedFit best = FitOrders(anywhere, devices).front();
    for (const std::size_t index : best.order) choice.devices.push_back(pair[index]);
    choice.smallest = best.answer.smallest;
    choice.known = best.answer.fit != FitClass::kUnknown;
    return choice;
  }

  static FitClass ClassIn(const Choice& choice, const Host& host) {
    if (!choice.known) return FitClass::kUnknown;
    if (choice.demanded > host.lumen + host.rounding * 2) return FitClass::kNo;
    return ClassOf(host.lumen - choice.smallest, FitRules{}.clearance);
  }

  // The first of the best: candidates are ranked already.
  static const Choice& BestIn(const Wanted& wanted, const Host& host) {
    const Choice* best = &wanted.choices.front();
    for (const Choice& choice : wanted.choices) {
      if (ClassIn(choice, host) < ClassIn(*best, host)) best = &choice;
    }
    return *best;
  }

  static FitClass WorstIn(const std::vector<Wanted>& wanted, const Host& host) {
    FitClass worst = FitClass::kFits;
    for (const Wanted& each : wanted) worst = std::max(worst, ClassIn(BestIn(each, host), host));
    return worst;
  }

  void Fill(TrayGuide& guide, const std::vector<Wanted>& wanted) const {
    const Host host = HostOf(shelf_.devices[*guide.guide]);
    guide.fit = FitClass::kFits;
    for (const Wanted& each : wanted) {
      TrayGroup group = each.group;
      group.devices = BestIn(each, host).devices;
      std::vector<Device> devices;
      for (const std::size_t at : group.devices) devices.push_back(shelf_.devices[at]);
      group.fit = {{}, Fit(host, devices)};
      for (std::size_t i = 0; i < devices.size(); ++i) group.fit.order.push_back(i);
      if (!group.fit.answer.off_label.empty()) group.fit.answer.fit = std::max(group.fit.answer.fit, FitClass::kNo);
      guide.fit = std::max(guide.fit, group.fit.answer.fit);
      Conflict(guide, group);
      guide.groups.push_back(std::move(group));
    }
  }

  void Conflict(TrayGuide& guide, const TrayGroup& group) const {
    if (group.fit.answer.fit == FitClass::kFits) return;
    std::string names;
    for (const std::size_t at : group.devices) names += (names.empty() ? "" : " and ") + shelf_.devices[at].name;
    const FitAnswer& answer = group.fit.answer;
    const std::string sum = answer.fit == FitClass::kUnknown ? "sizes not known" : fmt::format("{}, {:+.2f} mm", WordOf(answer.fit), answer.margin.millimetres());
    guide.conflicts.push_back(fmt::format("{} in {}: {} ({})", names, shelf_.devices[*guide.guide].name, sum, group.why));
  }

  void AddSheath(TrayGuide& guide) const {
    if (!guide.guide) return;
    const Device& shaft = shelf_.devices[*guide.guide];
    if (!shaft.od_prox) { guide.conflicts.push_back(fmt::format("the outer diameter of {} is not known: no sheath can be chosen", shaft.name)); return; }
    for (std::size_t i = 0; i < shelf_.devices.size(); ++i) {
      const Device& sheath = shelf_.devices[i];
      const bool takes = sheath.kind == DeviceClass::kSheath && sheath.lumen && *sheath.lumen >= *shaft.od_prox && UsableCount(sheath, question_.today) > 0;
      if (!takes) continue;
      // The thinnest outside among those that take the guide.
      const auto outer = [&](std::size_t at) { return shelf_.devices[at].od_prox.value_or(Length::Millimetres(99)); };
      if (!guide.sheath || outer(i) < outer(*guide.sheath)) guide.sheath = i;
    }
    if (!guide.sheath) { guide.conflicts.push_back(fmt::format("no sheath in the drawer takes {}", shaft.name)); return; }
    const auto& outer = shelf_.devices[*guide.sheath].od_prox;
    if (!question_.radial_artery || !outer) return;
    guide.artery_ratio = *question_.radial_artery / *outer;
    if (*guide.artery_ratio < 1.0) {  // severe loss of flow 13 % below 1, 4 % from 1 on
      guide.conflicts.push_back(fmt::format("{} is wider than the radial artery: ratio {:.2f}; flow was lost in 13 of 100 below 1, in 4 of 100 above",
                                            shelf_.devices[*guide.sheath].name, *guide.artery_ratio));
    }
  }

  const TrayQuestion& question_;
  const Shelf& shelf_;
  const std::vector<TrayNeed>& needs_;
};

[[maybe_unused]] constexpr SourceId kArterySource = "radial-ratio-1999"_source;

}  // namespace

std::vector<TrayGuide> ChooseGuides(const TrayQuestion& question, const Shelf& shelf, const std::vector<TrayNeed>& needs) {
  std::vector<TrayGuide> guides;
  if (question.strategies.empty()) return guides;
  const GuideChooser chooser(question, shelf, needs);
  guides.push_back(chooser.For(Approach::kAntegrade));
  const bool retrograde = std::ranges::any_of(question.strategies, [](const std::string& each) { return each.starts_with('R'); });
  if (retrograde) guides.push_back(chooser.For(Approach::kRetrograde));
  return guides;
}

}  // namespace fairlead
