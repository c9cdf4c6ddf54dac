// SPDX-License-Identifier: Apache-2.0
#include "reasoning/tray/tray_facts.h"

#include <algorithm>

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

}  // namespace

TrayQuestion QuestionFromFacts(const Facts& facts, std::vector<std::string> strategies, std::string_view channel) {
  TrayQuestion question;
  question.strategies = std::move(strategies);
  const std::string vessel = Likeliest(facts, {"occluded_vessel", ""});
  const std::string of = ChannelOf(facts, channel);
  question.antegrade = UsualAntegrade(vessel);
  question.retrograde = UsualRetrograde(vessel, Likeliest(facts, {"collateral_channel", of}));
  if (const Number* length = NumberOf(facts, {"channel_length_mm", of})) {
    for (Stretch& stretch : question.retrograde) {
      if (IsChannel(stretch)) stretch = {stretch.name + " " + of, Length::Millimetres(length->value), Length::Millimetres(length->sd.value_or(0.0)), false};
    }
  }
  // The landing zone is the size that balloons and covered stents follow.
  if (const Number* landing = NumberOf(facts, {"dlz_diameter_mm", ""})) question.vessel = Length::Millimetres(landing->value);
  return question;
}

}  // namespace fairlead
