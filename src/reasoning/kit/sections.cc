// SPDX-License-Identifier: Apache-2.0
// A device as the stretches that can lie side by side with others, tip first.
#include <algorithm>

#include "reasoning/kit/fit.h"

namespace fairlead {
namespace {

class Made {
 public:
  // Without its size a stretch cannot be judged: the whole device is unknown then.
  Made& Add(std::string name, const std::optional<Length>& size, bool working = false) {
    if (!size) complete_ = false;
    else sections_.push_back({std::move(name), {*size}, {}, working});
    return *this;
  }
  Made& Wire(Length wire) {
    if (!sections_.empty()) sections_.back().circles.push_back(wire);
    return *this;
  }
  Made& Oval(const std::optional<Length>& short_axis) {
    if (!sections_.empty() && short_axis) sections_.back().short_axis = *short_axis;
    return *this;
  }
  std::vector<Section> Take() { return complete_ ? std::move(sections_) : std::vector<Section>(); }

 private:
  std::vector<Section> sections_;
  bool complete_ = true;
};

bool Says(const Device& device, std::string_view word) {
  return device.label.find(word) != std::string::npos || device.note.find(word) != std::string::npos;
}

// A wire leaves the shaft of a rapid-exchange device and lies beside it from there on.
std::vector<Section> RapidExchange(const Device& device, std::string working, Length wire) {
  return Made()
      .Add(std::move(working), device.profile ? device.profile : device.od_dist, true)
      .Add("distal shaft", device.od_dist)
      .Add("proximal shaft and loose wire", device.od_prox).Wire(wire)
      .Take();
}

std::vector<Section> Imaging(const Device& device, Length wire) {
  // Short monorail: the wire lies beside nearly the whole shaft.
  const bool brief = device.segment && *device.segment < Length::Centimetres(10);
  if (!brief) return RapidExchange(device, "imaging window", wire);
  return Made()
      .Add("imaging window", device.profile ? device.profile : device.od_dist, true)
      .Add("shaft and loose wire", device.od_prox).Wire(wire)
      .Take();
}

std::vector<Section> BalloonSections(const Device& device, const FitRules& rules) {
  const bool over_the_wire = !device.segment;
  if (over_the_wire) return Made().Add("balloon", device.profile, true).Add("shaft", device.od_prox).Take();
  if (Says(device, "trap")) {  // runs without a wire
    return Made().Add("balloon", device.profile, true).Add("distal shaft", device.od_dist).Add("proximal shaft", device.od_prox).Take();
  }
  return RapidExchange(device, "balloon", rules.loose_wire);
}

}  // namespace

std::vector<Section> SectionsOf(const Device& device, const FitRules& rules) {
  switch (device.kind) {
    case DeviceClass::kMicrocatheter:  // never wider at its tip: one printed size counts along the whole shaft
      return Made().Add("distal shaft", device.od_dist ? device.od_dist : device.od_prox).Add("proximal shaft", device.od_prox).Take();
    case DeviceClass::kDualLumen:
      return Made()
          .Add("distal part", device.profile ? device.profile : device.od_dist).Oval(device.minor)
          .Add("proximal shaft and loose wire", device.od_prox).Wire(rules.loose_wire)
          .Take();
    case DeviceClass::kGuidewire: {
      const bool wide_tip = device.tip && device.wire && *device.tip > *device.wire;
      Made made;
      if (wide_tip) made.Add("tip", device.tip, true);
      return made.Add("wire", device.wire).Take();
    }
    case DeviceClass::kBalloon: return BalloonSections(device, rules);
    case DeviceClass::kReentry: return Made().Add("balloon", device.profile, true).Add("shaft", device.od_prox).Take();
    case DeviceClass::kStent:
    case DeviceClass::kCoveredStent: return RapidExchange(device, "stent", rules.loose_wire);
    case DeviceClass::kIvus:
    case DeviceClass::kOct: return Imaging(device, rules.loose_wire);
    case DeviceClass::kAtherectomy: return Made().Add("burr", device.profile, true).Add("drive-shaft sheath", device.od_prox).Take();
    case DeviceClass::kSnare: return Made().Add("loops", device.profile, true).Add("snare catheter", device.od_prox).Take();
    case DeviceClass::kCoil: return Made().Add("coil", device.profile, true).Take();
    case DeviceClass::kGuideExtension: return Made().Add("tunnel", device.od_dist).Add("pushrod", device.od_prox).Take();
    case DeviceClass::kSheath:
    case DeviceClass::kGuide:
    case DeviceClass::kValve:
    case DeviceClass::kPericardialSet:
    case DeviceClass::kOther: return Made().Add("shaft", device.od_prox ? device.od_prox : device.od_dist).Take();
  }
  return {};
}

std::string_view WordOf(FitClass fit) {
  switch (fit) {
    case FitClass::kFits: return "fits";
    case FitClass::kTight: return "tight";
    case FitClass::kNo: return "no";
    case FitClass::kUnknown: return "unknown";
  }
  return "";
}

Host HostOf(const Device& device) {
  Host host;
  host.name = device.name;
  if (device.lumen) host.lumen = *device.lumen;
  if (device.collar && *device.collar < host.lumen) host.lumen = *device.collar;
  host.rounding = device.rounding;
  host.microcatheter = device.kind == DeviceClass::kMicrocatheter || device.kind == DeviceClass::kDualLumen;
  return host;
}

}  // namespace fairlead
