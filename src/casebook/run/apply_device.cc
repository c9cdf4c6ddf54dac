// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cstddef>
#include <utility>

#include "casebook/run/run_apply.h"

namespace fairlead {
namespace {

DeviceKind KindOf(Verb verb) {
  if (verb == Verb::kGuide) return DeviceKind::kGuide;
  if (verb == Verb::kExtension) return DeviceKind::kExtension;
  if (verb == Verb::kWire) return DeviceKind::kWire;
  if (verb == Verb::kMc) return DeviceKind::kMicrocatheter;
  if (verb == Verb::kIvus) return DeviceKind::kUltrasound;
  if (verb == Verb::kSnare) return DeviceKind::kSnare;
  if (verb == Verb::kSheath) return DeviceKind::kSheath;
  return DeviceKind::kBalloon;
}

void Keep(std::optional<double>& held, std::optional<double> said) { if (said) held = said; }
void Keep(std::string& held, std::string_view said) { if (!said.empty()) held = said; }

void Describe(RunDevice& device, const RunEvent& event) {
  Keep(device.length_cm, NumberOf(event, RunField::kWireLength));
  Keep(device.size_f, NumberOf(event, RunField::kFrench));
  Keep(device.tip_g, NumberOf(event, RunField::kTipLoad));
  Keep(device.depth_cm, NumberOf(event, RunField::kDepth));
  Keep(device.diameter_mm, NumberOf(event, RunField::kDiameter));
  Keep(device.wire_class, WordOf(event, RunField::kClass));
  if (event.verb == Verb::kMc) Keep(device.lumens, WordOf(event, RunField::kKind));
  Keep(device.kit, WordOf(event, RunField::kKit));
  Keep(device.segment, WordOf(event, RunField::kSegment));
  Keep(device.site, WordOf(event, RunField::kSite));
  Keep(device.body_side, WordOf(event, RunField::kBodySide));
}

RunDevice* Find(RunState& run, DeviceKind kind, const RunEvent& event) {
  const RunDevice* found = FindInBody(run, kind, event.side, WordOf(event, RunField::kTag));
  return found == nullptr ? nullptr : &run.devices[static_cast<std::size_t>(found - run.devices.data())];
}

// A sheath is told apart by where it is, not by a number.
RunDevice* FindSheath(RunState& run, const RunEvent& event) {
  const std::string_view site = WordOf(event, RunField::kSite), side = WordOf(event, RunField::kBodySide);
  for (auto device = run.devices.rbegin(); device != run.devices.rend(); ++device) {
    if (device->out || device->kind != DeviceKind::kSheath) continue;
    if ((site.empty() || device->site == site) && (side.empty() || device->body_side == side)) return &*device;
  }
  return nullptr;
}

void InOrOut(RunState& run, const Told& told) {
  const RunEvent& event = told.event;
  const DeviceKind kind = KindOf(event.verb);
  const std::string_view move = WordOf(event, RunField::kMove), tag = WordOf(event, RunField::kTag);
  RunDevice* held = kind == DeviceKind::kSheath ? FindSheath(run, event) : Find(run, kind, event);
  if (move == "out") {
    if (held != nullptr) held->out = told.at;
    if (held != nullptr && kind == DeviceKind::kGuide) run.damped.erase(held->side);  // with the guide
    return;
  }
  if (held != nullptr && (!tag.empty() || move == "pull")) return Describe(*held, event);  // in already: said more of
  if (move == "pull") return;
  RunDevice device;
  device.kind = kind;
  device.tag = tag.empty() ? NextTag(run, kind) : std::string(tag);
  device.side = event.side;
  device.since = told.at;
  device.entry = told.entry;
  Describe(device, event);
  run.devices.push_back(std::move(device));
}

RunDevice* NamedWire(RunState& run, const RunEvent& event, RunSide otherwise) {
  RunEvent wanted{Verb::kWire, event.side == RunSide::kNone ? otherwise : event.side, {}, {}};
  if (const std::string_view tag = WordOf(event, RunField::kTag); !tag.empty()) wanted.values.push_back({RunField::kTag, 0.0, std::string(tag)});
  return Find(run, DeviceKind::kWire, wanted);
}

void Place(RunState& run, const Told& told) {
  RunDevice* wire = NamedWire(run, told.event, told.event.side);
  if (wire == nullptr) return;
  wire->place = WirePlace{std::string(WordOf(told.event, RunField::kSpace)), std::string(WordOf(told.event, RunField::kProof)),
                          std::string(WordOf(told.event, RunField::kSegment)), told.at};
  wire->in_aorta = false;
  Progress(run, told, "");
}

void Externalise(RunState& run, const Told& told) {
  run.externalisations.push_back(told.As(told.event));
  // The antegrade guide's side is what it comes out of; the wire is a retrograde one.
  RunEvent of_wire = told.event;
  of_wire.side = RunSide::kRetrograde;
  RunDevice* wire = NamedWire(run, of_wire, RunSide::kRetrograde);
  if (wire == nullptr) return;
  Keep(wire->length_cm, NumberOf(told.event, RunField::kWireLength));
  wire->externalised = true;
  wire->in_aorta = false;
  Progress(run, told, "");
}

}  // namespace

void ApplyDevice(RunState& run, const Told& told) {
  if (told.event.verb == Verb::kSpace) return Place(run, told);
  if (told.event.verb == Verb::kExternalise) return Externalise(run, told);
  if (told.event.verb == Verb::kTipIn) {
    run.tip_ins.push_back(told.As(told.event));
    if (RunDevice* wire = NamedWire(run, told.event, RunSide::kRetrograde)) wire->in_aorta = false;
    return;
  }
  if (told.event.verb == Verb::kAorta) {
      run.aortas.push_back(told.As(told.event));
      RunEvent of_wire = told.event;
      of_wire.side = RunSide::kRetrograde;
      if (RunDevice* wire = NamedWire(run, of_wire, RunSide::kRetrograde)) wire->in_aorta = true;
      return;
    }
  if (told.event.verb == Verb::kSnare) {
      if (WordOf(told.event, RunField::kMove) != "out") run.snares.push_back(told.As(told.event));
      RunEvent untagged = told.event;  // the tag is that of the wire it holds
      std::erase_if(untagged.values, [](const RunValue& value) { return value.field == RunField::kTag; });
      return InOrOut(run, {untagged, told.at, told.entry});
    }
  if (told.event.verb == Verb::kIvus) {
    if (WordOf(told.event, RunField::kMove) == "pull") run.pullbacks.push_back(told.As(told.event));
      RunEvent untagged = told.event;  // of the wire it rides on
      std::erase_if(untagged.values, [](const RunValue& value) { return value.field == RunField::kTag; });
      return InOrOut(run, {untagged, told.at, told.entry});
    }
  return InOrOut(run, told);
}

}  // namespace fairlead
