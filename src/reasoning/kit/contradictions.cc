// SPDX-License-Identifier: Apache-2.0
// What cannot be true of a real device. Some oddities are real: a shaft wider than its small balloon, a burr's sheath
// wider than the burr, a wire's tip wider than its shaft.
#include <fmt/core.h>

#include <array>

#include "reasoning/kit/shelf.h"

namespace fairlead {
namespace {

using enum DeviceClass;

bool Has(const Device& device, std::initializer_list<DeviceClass> kinds) {
  for (const DeviceClass kind : kinds) {
    if (device.kind == kind) return true;
  }
  return false;
}

void Inside(std::vector<std::string>& found, const std::optional<Length>& inner, const std::optional<Length>& outer,
            std::string_view inner_name, std::string_view outer_name) {
  if (inner && outer && *inner > *outer) {
    found.push_back(fmt::format("{} {:.3f} mm is wider than {} {:.3f} mm", inner_name, inner->millimetres(), outer_name,
                                outer->millimetres()));
  }
}

void Ranges(std::vector<std::string>& found, const Device& device) {
  const auto length = [&](Length low, Length high) {
    if (device.usable && (*device.usable < low || *device.usable > high)) {
      found.push_back(fmt::format("a usable length of {:.1f} cm is not {:.0f} to {:.0f} cm: check the unit",
                                  device.usable->millimetres() / 10, low.millimetres() / 10, high.millimetres() / 10));
    }
  };
  length(Length::Centimetres(5), Length::Centimetres(350));
  struct Outer { std::string_view name; const std::optional<Length>* size; };
  for (const Outer& outer : std::to_array<Outer>({{"outer diameter", &device.od_prox}, {"outer diameter", &device.od_dist},
                                                  {"profile", &device.profile}, {"lumen", &device.lumen}})) {
    if (*outer.size && (**outer.size < Length::Millimetres(0.15) || **outer.size > Length::Millimetres(10))) {
      found.push_back(fmt::format("{} of {:.3f} mm is not 0.15 to 10 mm: check the unit", outer.name, (*outer.size)->millimetres()));
    }
  }
  if (device.tip_load_gf && (*device.tip_load_gf < 0.1 || *device.tip_load_gf > 50)) {
    found.push_back(fmt::format("a tip load of {} gf is not 0.1 to 50 gf", *device.tip_load_gf));
  }
  if (device.wire && (*device.wire < Length::Millimetres(0.15) || *device.wire > Length::Millimetres(1.0))) {
    found.push_back(fmt::format("a wire of {:.3f} mm is not 0.15 to 1.0 mm: wires are printed in inches", device.wire->millimetres()));
  }
}

}  // namespace

std::vector<std::string> Contradictions(const Device& device) {
  std::vector<std::string> found;
  Ranges(found, device);
  if (Has(device, {kGuide, kSheath, kGuideExtension, kMicrocatheter, kDualLumen})) {
    Inside(found, device.lumen, device.od_dist ? device.od_dist : device.od_prox, "the lumen", "the shaft around it,");
  }
  if (device.kind == kMicrocatheter) {
    Inside(found, device.tip_od, device.od_dist, "the tip", "the distal shaft");
    Inside(found, device.od_dist, device.od_prox, "the distal shaft", "the proximal shaft (are the two changed over?)");
  }
  if (device.kind == kGuideExtension) Inside(found, device.od_dist, device.need_lumen, "the tunnel", "the lumen that it needs");
  if (device.kind != kGuidewire) Inside(found, device.wire, device.lumen, "the wire taken", "the lumen");
  Inside(found, device.minor, device.profile, "the short axis", "the long axis");
  return found;
}

}  // namespace fairlead
