// SPDX-License-Identifier: Apache-2.0
#include "reasoning/tray/tray_facts.h"

#include <algorithm>
#include <iterator>
#include <utility>

#include "reasoning/tray/usual_route.h"

namespace fairlead {
namespace {

// The likelier grade; empty if unknown.
std::string Likeliest(const Facts& facts, const FactKey& key) {
  const auto* grade = std::get_if<GradeOdds>(&BeliefOf(facts, key));
  if (grade == nullptr || grade->odds.empty()) return {};
  return std::ranges::max_element(grade->odds, {}, [](const auto& each) { return each.second; })->first;
}

const Number* NumberOf(const Facts& facts, const FactKey& key) { return std::get_if<Number>(&BeliefOf(facts, key)); }

std::string ChannelOf(const Facts& facts, std::string_view asked) {
  std::string first;
  bool any = false;
  for (const auto& [key, belief] : facts) {
    if (key.name != "collateral_channel") continue;
    if (!asked.empty() && key.of == asked) return key.of;
    if (!any) first = key.of;
    any = true;
    const auto* usable = std::get_if<FlagOdds>(&BeliefOf(facts, {"interventional", key.of}));
    if (asked.empty() && usable != nullptr && usable->yes >= 0.5) return key.of;
  }
  return first;
}

bool IsChannel(const Stretch& stretch) { return stretch.name.ends_with("channel"); }

struct Lengths {
  const Facts& facts;
  std::span<const FactKey> one_view;

  Stretch Measured(std::string name, const FactKey& key) const {
    const Number& length = *NumberOf(facts, key);
    Stretch stretch{std::move(name), Length::Millimetres(length.value), Length::Millimetres(length.sd.value_or(0.0)), false};
    if (std::ranges::find(one_view, key) == one_view.end()) return stretch;
    stretch.name += ", widened: measured in one view";
    return FromOneView(std::move(stretch));
  }
};

// What was measured of the way through `of` stands in the place of the usual lengths before, within and behind the channel.
std::vector<Stretch> Retrograde(const Lengths& lengths, const std::vector<Stretch>& usual, const std::string& of) {
  const Facts& facts = lengths.facts;
  const Number* before = NumberOf(facts, {"donor_way_mm", of});
  const Number* within = NumberOf(facts, {"channel_length_mm", of});
  const Number* behind = NumberOf(facts, {"recipient_way_mm", of});
  const auto channel = std::ranges::find_if(usual, IsChannel);
  const bool whole = before != nullptr && behind != nullptr && within != nullptr;
  std::vector<Stretch> route;
  if (usual.empty() && !whole) return route;
  if (before != nullptr && (whole || channel != usual.end())) route.push_back(lengths.Measured("donor vessel", {"donor_way_mm", of}));
  else route.insert(route.end(), usual.begin(), channel);
  if (within != nullptr && (whole || channel != usual.end())) route.push_back(lengths.Measured((channel == usual.end() ? "channel" : channel->name) + " " + of, {"channel_length_mm", of}));
  else if (channel != usual.end()) route.push_back(*channel);
  if (behind != nullptr && (whole || channel != usual.end())) route.push_back(lengths.Measured("back to the ostium", {"recipient_way_mm", of}));
  else if (channel != usual.end()) route.insert(route.end(), std::next(channel), usual.end());
  return route;
}

}  // namespace

TrayQuestion QuestionFromFacts(const Facts& facts, std::vector<std::string> strategies, std::string_view channel, std::span<const FactKey> one_view) {
  TrayQuestion question;
  const Lengths lengths{facts, one_view};
  question.strategies = std::move(strategies);
  const std::string vessel = Likeliest(facts, {"occluded_vessel", ""});
  const std::string of = ChannelOf(facts, channel);
  question.antegrade = UsualAntegrade(vessel);
  if (NumberOf(facts, {"antegrade_way_mm", ""}) != nullptr) question.antegrade = {lengths.Measured("ostium to beyond the occlusion", {"antegrade_way_mm", ""})};
  question.retrograde = Retrograde(lengths, UsualRetrograde(vessel, Likeliest(facts, {"collateral_channel", of})), of);
  // The landing zone is the size that balloons and covered stents follow.
  if (const Number* landing = NumberOf(facts, {"dlz_diameter_mm", ""})) question.vessel = Length::Millimetres(landing->value);
  return question;
}

}  // namespace fairlead
