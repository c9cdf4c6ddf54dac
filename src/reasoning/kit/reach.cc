// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/reach.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "measure/normal.h"

namespace fairlead {
namespace {

constexpr SourceId kPractice = "practice"_source;

// Centre of the printed range; a quarter of it as sd where no sd is printed.
constexpr auto kTypical = std::to_array<TypicalStretch>({
    {"left main", 1.05, 0.53, "left-main-2016"_source},
    {"LAD", 11.0, 0.75, kPractice},
    {"circumflex", 7.0, 0.5, kPractice},
    {"RCA", 13.0, 0.5, kPractice},
    {"LAD to septal", 3.5, 0.75, kPractice},
    {"septal channel", 7.0, 1.0, kPractice},
    {"posterior descending", 4.0, 0.75, kPractice},
    {"posterolateral", 4.0, 0.75, kPractice},
    {"epicardial channel", 12.0, 2.0, kPractice},
    {"ipsilateral channel", 7.0, 1.25, kPractice},
    {"right ventricular channel", 11.5, 1.75, kPractice},
    {"vein graft", 18.0, 2.0, kPractice},
    {"mammary graft", 20.0, 1.25, kPractice},
});

char Low(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

Length Quadrature(Length a, Length b) { return Length::Millimetres(std::hypot(a.millimetres(), b.millimetres())); }

Stretch Sum(std::string name, std::span<const Stretch> stretches) {
  Stretch sum{std::move(name), {}, {}, false};
  for (const Stretch& each : stretches) {
    sum.length = sum.length + each.length;
    sum.sd = Quadrature(sum.sd, each.sd);
    sum.typical = sum.typical || each.typical;
  }
  return sum;
}

// Odds that a normal lies at or above a bound; a point mass if nothing is uncertain.
double AtLeast(Length mean, Length sd, Length bound) {
  const double below = (mean - bound).millimetres();
  if (sd <= Length{}) return below > -1e-6 ? 1.0 : 0.0;
  return NormalCdf(below, 0.0, sd.millimetres());
}

}  // namespace

std::span<const TypicalStretch> TypicalStretches() { return kTypical; }

const TypicalStretch* FindTypical(std::string_view name) {
  const auto found = std::ranges::find_if(kTypical, [&](const TypicalStretch& row) {
    return std::ranges::equal(row.name, name, [](char a, char b) { return Low(a) == Low(b); });
  });
  return found == kTypical.end() ? nullptr : &*found;
}

Stretch TypicalOf(const TypicalStretch& row) {
  return {std::string(row.name), Length::Centimetres(row.cm), Length::Centimetres(row.sd_cm), true};
}

Stretch TypicalValve() { return {"valve", Length::Centimetres(9), Length::Centimetres(1), true}; }

Stretch FromOneView(Stretch projected) {
  projected.length = projected.length * 1.15;
  projected.sd = Quadrature(projected.sd * 1.15, projected.length * 0.05);
  return projected;
}

std::string_view WordOf(ReachClass reach) {
  switch (reach) {
    case ReachClass::kOk: return "ok";
    case ReachClass::kTight: return "tight";
    case ReachClass::kShort: return "short";
  }
  return "";
}

Spare SpareOf(Length has, const Stretch& needs, const ReachRules& rules) {
  Spare spare;
  spare.value = has - needs.length;
  spare.sd = needs.sd;
  const double shown = std::round(spare.value.millimetres() * 1e4);
  spare.reach = shown < 0 ? ReachClass::kShort : shown >= std::round(rules.comfort.millimetres() * 1e4) ? ReachClass::kOk : ReachClass::kTight;
  spare.odds_reaches = AtLeast(spare.value, spare.sd, Length{});
  spare.odds_ok = AtLeast(spare.value, spare.sd, rules.comfort);
  return spare;
}

Stretch NeedOf(const DeviceRoute& route) {
  std::vector<Stretch> all{route.valve, route.guide};
  all.insert(all.end(), route.segments.begin(), route.segments.end());
  Stretch need = Sum("route", all);
  need.length = need.length + route.inside_other;
  return need;
}

ReachAnswer LayAlong(const DeviceRoute& route, const std::vector<RouteDevice>& devices, const ReachRules& rules) {
  ReachAnswer answer;
  answer.need = NeedOf(route);
  for (const RouteDevice& device : devices) {
    Stretch need = answer.need;
    need.length = need.length + device.beyond;
    answer.laid.push_back({device, need, SpareOf(device.usable, need, rules)});
    if (answer.laid.back().spare.value < answer.laid[answer.first].spare.value) answer.first = answer.laid.size() - 1;
  }
  return answer;
}

// wire >= microcatheter + pull-back + other guide + its valve + gear outside it + tail behind the hub.
std::vector<ExternalNeed> ExternalNeeds(const Externalising& ask, const ReachRules& rules) {
  std::vector<ExternalNeed> needs{{"parked", rules.parked, {}}, {"at the guide's tip", Length{}, {}}, {"clear of the lesion", rules.clear, {}}};
  for (ExternalNeed& need : needs) {
    const std::array<Stretch, 2> other{ask.other_guide, ask.other_valve};
    need.need = Sum(std::string(need.stage), other);
    need.need.length = need.need.length + ask.microcatheter + need.pulled_back + rules.tail + (ask.over_the_wire ? rules.gear_over : rules.gear_rapid);
  }
  return needs;
}

ExternalWire BringOut(std::string name, Length wire, const Externalising& ask, const ReachRules& rules) {
  ExternalWire answer{std::move(name), wire, {}, {}, false};
  for (const ExternalNeed& need : ExternalNeeds(ask, rules)) answer.spare.push_back(SpareOf(wire, need.need, rules));
  answer.most_pull_back = answer.spare[1].value;
  answer.may_be_snared = answer.spare[1].reach != ReachClass::kShort;
  return answer;
}

ExchangeAnswer Exchange(const Exchanging& ask, const ReachRules& rules) {
  const Length one = Length::Centimetres(1);
  const Length behind = ask.wire - ask.wire_at;  // outside the valve
  ExchangeAnswer answer;
  answer.tail = ask.wire - ask.microcatheter - (ask.wire_at - ask.microcatheter_at);
  answer.longest_protrusion = ask.wire - ask.microcatheter - rules.grip;
  const auto add = [&](std::string_view name, Length has, Length needs, std::string_view mind) {
    answer.ways.push_back({name, has, needs, has - needs > Length::Millimetres(-1e-6), mind});
  };
  if (ask.monorail) add("rapid exchange", behind, *ask.monorail + rules.grip, "");
  add("over the wire", behind, ask.microcatheter + rules.grip, "");
  if (ask.extension) add("extension wire", behind + *ask.extension, ask.microcatheter + rules.grip, "the joint must hold");
  const Length stop = ask.valve.length + ask.guide.length - one - ask.trap - one;  // microcatheter short of the balloon
  const Length pull = std::max(Length{}, ask.microcatheter_at - stop);
  add("trap in this guide", answer.tail, pull + rules.grip, "balloon wholly inside the guide and 0.2 mm wider than its lumen when inflated");
  const Length bare = ask.wire_at - ask.microcatheter_at;
  add("trap in the other guide", bare, ask.trap + one * 2, "only if the wire's tip lies in another guide; nothing is pulled back for it");
  answer.ways.push_back({"fluid under pressure", {}, {}, true,
                         "the wire is not held and may move: watch the tip, never with the tip in a collateral"});
  return answer;
}

std::string_view WordOf(LoopClass loop) {
  switch (loop) {
    case LoopClass::kCovers: return "covers";
    case LoopClass::kSmall: return "small";
    case LoopClass::kNo: return "no";
  }
  return "";
}

// practice, no source: a loop of 1.0 to 1.2 times the vessel sweeps it; below 0.8 a wire slips past.
LoopClass LoopIn(Length largest_loop, Length vessel) {
  if (largest_loop >= vessel) return LoopClass::kCovers;
  return largest_loop >= vessel * 0.8 ? LoopClass::kSmall : LoopClass::kNo;
}

Spare SnareReaches(Length snare, const Stretch& valve, const Stretch& guide, const ReachRules& rules) {
  const std::array<Stretch, 2> both{valve, guide};
  Stretch need = Sum("snare", both);
  need.length = need.length + rules.grip;
  // The grip is the comfort already.
  ReachRules bare = rules;
  bare.comfort = Length{};
  return SpareOf(snare, need, bare);
}

Spare GuideReaches(Length guide, const Stretch& access_to_ostium, const ReachRules& rules) {
  Stretch need = access_to_ostium;
  need.length = need.length + rules.hub;
  ReachRules bare = rules;
  bare.comfort = Length{};
  return SpareOf(guide, need, bare);
}

Length ExtensionSpare(Length tunnel, Length wanted, const ReachRules& rules) { return tunnel - rules.overlap - wanted; }

}  // namespace fairlead
