// SPDX-License-Identifier: Apache-2.0
#include "front/server/log_kit.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <optional>
#include <string>

#include <fmt/core.h>

#include "casebook/run_table.h"

namespace fairlead {
namespace {

constexpr double kMmPerFrench = 1.0 / 3.0;

struct VerbClass {
  Verb verb;
  DeviceClass kind;
};
constexpr auto kClasses = std::to_array<VerbClass>({
    {Verb::kGuide, DeviceClass::kGuide},           {Verb::kExtension, DeviceClass::kGuideExtension},
    {Verb::kWire, DeviceClass::kGuidewire},        {Verb::kMc, DeviceClass::kMicrocatheter},
    {Verb::kMc, DeviceClass::kDualLumen},          {Verb::kBalloon, DeviceClass::kBalloon},
    {Verb::kStent, DeviceClass::kStent},           {Verb::kCover, DeviceClass::kCoveredStent},
    {Verb::kCoil, DeviceClass::kCoil},             {Verb::kDebulk, DeviceClass::kAtherectomy},
});

// A guide is named by its outer French size, an extension by that of the guide it goes into, which no label gives as a size.
std::optional<double> FrenchOf(const Device& device) {
  if (device.kind != DeviceClass::kGuide || !device.od_prox) return std::nullopt;
  return std::round(device.od_prox->millimetres() / kMmPerFrench);
}

std::optional<double> PrintedFor(RunField field, const Device& device) {
  const auto cm = [](std::optional<Length> length) { return length ? std::optional(length->millimetres() / 10.0) : std::nullopt; };
  const auto mm = [](std::optional<Length> length) { return length ? std::optional(length->millimetres()) : std::nullopt; };
  if (field == RunField::kWireLength) return cm(device.usable);
  if (field == RunField::kTipLoad) return device.tip_load_gf;
  if (field == RunField::kFrench) return FrenchOf(device);
  if (field == RunField::kDiameter) return mm(device.nominal);
  if (field == RunField::kLength) return mm(device.nominal_length);
  return std::nullopt;
}

std::string Short(double number) {
  char text[32];
  std::snprintf(text, sizeof text, "%.4g", number);
  return text;
}

}  // namespace

Result<std::vector<LogQuestion>> FillFromShelf(RunEvent& event, const Shelf& shelf) {
  std::vector<LogQuestion> asks;
  const std::string name(WordOf(event, RunField::kKit));
  const Device* device = name.empty() ? nullptr : FindDevice(shelf, name);
  if (device == nullptr) return asks;
  const auto of_verb = [&](const VerbClass& one) { return one.verb == event.verb; };
  if (std::ranges::none_of(kClasses, of_verb)) return asks;
  if (std::ranges::none_of(kClasses, [&](const VerbClass& one) { return of_verb(one) && one.kind == device->kind; })) {
    return Error{"\"" + name + "\" is a " + std::string(TitleOf(device->kind)) + " on the shelf", "the log line",
                 "name another device, or leave kit: out"};
  }
  for (const VerbField& field : RowOf(event.verb).fields) {
    const std::optional<double> printed = PrintedFor(field.id, *device);
    if (!printed) continue;
    const std::optional<double> said = NumberOf(event, field.id);
    if (!said) {
      if (*printed >= field.low && *printed <= field.high) Put(event, {field.id, *printed, ""});
    } else if (std::abs(*said - *printed) > 1e-6 * std::max(1.0, std::abs(*printed))) {
      const std::string unit(RowOf(field.id).units.empty() ? "" : " " + std::string(RowOf(field.id).units.front().unit));
      asks.push_back({fmt::format("the shelf has \"{}\" with {}{}, the line says {}{}", name, Short(*printed), unit, Short(*said), unit), "confirm, or leave the figure out", ""});
    }
  }
  if (device->kind == DeviceClass::kDualLumen && WordOf(event, RunField::kKind).empty()) Put(event, {RunField::kKind, 0.0, "dual"});
  return asks;
}

}  // namespace fairlead
