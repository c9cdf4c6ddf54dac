// SPDX-License-Identifier: Apache-2.0
// What was used and what was left: devices with in and out, balloons, stents with their identifiers, ultrasound.
#include <fmt/core.h>

#include <algorithm>
#include <map>

#include "record/report/parts.h"

namespace fairlead {
namespace {

std::string WhatOf(const RunDevice& device) {
  const auto number = [](const std::optional<double>& value, const char* unit) { return value ? Plain(*value) + unit : std::string(); };
  return ListText({device.wire_class, device.lumens.empty() ? "" : device.lumens + " lumen", number(device.tip_g, " g tip"), number(device.size_f, " F"),
                   number(device.diameter_mm, " mm"), number(device.length_cm, " cm"), device.externalised ? "externalised" : ""});
}

std::string AttemptAt(const RunState& run, Instant at) {
  std::string during;
  for (const RunAttempt& attempt : run.attempts)
    if (attempt.start <= at && (!attempt.end || at <= *attempt.end)) during = StrategyWord(attempt.strategy);
  return during;
}

// A treating device: what, where, with what identifiers.
struct Treated {
  Verb verb;
  std::string_view name;
  bool implant;
};
constexpr Treated kTreated[] = {{Verb::kBalloon, "balloon", false}, {Verb::kCut, "cutting balloon", false}, {Verb::kDebulk, "debulking", false},
                                {Verb::kStent, "stent", true},      {Verb::kCover, "covered stent", true},  {Verb::kCoil, "closure of a hole", true}};

std::vector<std::string> TreatedRow(const ReportMatter& matter, const VisitEvent& event, const Treated& treated) {
  const auto word = [&](RunField field) { return std::string(WordOf(*event.event, field)); };
  const std::string what = ListText({std::string(treated.name), treated.verb == Verb::kJoin ? "" : word(RunField::kKind)});
  std::string identifiers = ListText({word(RunField::kKit), word(RunField::kUdi)});
  if (identifiers.empty()) identifiers = treated.implant && treated.verb != Verb::kCoil ? "not recorded" : "not said";
  const auto count = NumberOf(*event.event, RunField::kCount);
  return {ClockOf(matter, event.at), count ? what + ", " + Plain(*count) : what, SizeText(*event.event),
          ListText({word(RunField::kWhere), std::string(SideName(event.event->side))}), WithRemark(identifiers, *event.event)};
}

}  // namespace

ReportSection DeviceSection(const ReportMatter& matter) {
  ReportSection section{"devices", "Devices", {}, {}, {}};
  ReportTable table{"", {"device", "from", "what", "the lab's name", "in", "out", "during"}, {21, 13, 28, 14, 8, 8, 8}, {}, {}};
  for (const RunDevice& device : matter.run.devices) {
    if (device.kind == DeviceKind::kSheath) continue;
    table.rows.push_back({ListText({std::string(DeviceWord(device.kind)), device.tag}, " "), std::string(SideName(device.side)), WhatOf(device),
                          device.kit.empty() ? "not said" : device.kit, ClockOf(matter, device.since),
                          device.out ? ClockOf(matter, *device.out) : "not recorded", AttemptAt(matter.run, device.since)});
  }
  if (table.rows.empty()) {
    Need(section, "Guides, wires and catheters", std::nullopt, {ReportFill::How::kLog, "guide a in 7F 90cm"});
    return section;
  }
  section.tables.push_back(std::move(table));
  return section;
}

ReportSection TreatmentSection(const ReportMatter& matter) {
  ReportSection section{"treatment", "Preparation, stents and ultrasound", {}, {}, {}};
  std::vector<std::pair<VisitEvent, const Treated*>> all;
  for (const Treated& treated : kTreated)
    for (const VisitEvent& event : EventsOf(matter, treated.verb)) all.emplace_back(event, &treated);
  std::ranges::stable_sort(all, {}, [](const auto& one) { return one.first.at; });
  ReportTable table{"", {"time", "what", "size, pressure, time, segment", "where", "the lab's name, identifier"}, {9, 20, 33, 16, 22}, {}, {}};
  for (const auto& [event, treated] : all) {
    table.rows.push_back(TreatedRow(matter, event, *treated));
    const bool lot = treated->implant && treated->verb != Verb::kCoil && WordOf(*event.event, RunField::kUdi).empty();
    if (lot) Need(section, "Identifier (lot) of the " + std::string(treated->name) + " of " + ClockOf(matter, event.at), std::nullopt, {ReportFill::How::kLog, "amend the " + std::string(treated->name) + " with udi:"});
  }
  if (!table.rows.empty()) section.tables.push_back(std::move(table));
  if (matter.run.distal_proven && matter.run.stents.empty()) Need(section, "Stents", std::nullopt, {ReportFill::How::kText, "treatment"});
  for (const VisitEvent& size : EventsOf(matter, Verb::kEem)) {
    const auto least = NumberOf(*size.event, RunField::kEemMin), greatest = NumberOf(*size.event, RunField::kEemMax);
    const std::string segment(WordOf(*size.event, RunField::kSegment));
    const std::string measured = ListText({least ? Plain(*least) : "", greatest ? Plain(*greatest) : ""}, " × ");
    Say(section, "Vessel on ultrasound at " + ClockOf(matter, size.at),
        WithRemark(ListText({measured + " mm from media to media", segment.empty() ? "" : "segment " + segment}), *size.event), {*size.entry});
  }
  for (const auto& pullback : matter.run.pullbacks)
    Say(section, "Ultrasound pullback at " + ClockOf(matter, pullback.at), WithRemark(ListText({std::string(SideName(pullback.value.side)), WordOf(pullback.value, RunField::kSegment).empty() ? "" : "segment " + std::string(WordOf(pullback.value, RunField::kSegment))}), pullback.value), {pullback.entry});
  if (!matter.run.stents.empty() && matter.run.pullbacks.empty())
    Say(section, "Ultrasound", "no pullback in the log");
  return section;
}

}  // namespace fairlead
