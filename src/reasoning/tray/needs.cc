// SPDX-License-Identifier: Apache-2.0
#include "reasoning/tray/needs.h"

#include <array>

namespace fairlead {
namespace {

using enum Approach;
using enum Rank;

constexpr auto kNeeds = std::to_array<NeedRow>({
    {"mc", "microcatheter", "carries every wire", "AW ADR RDR RW", kAntegrade, "microcatheter", 1, kJustLong},
    {"wire-work", "workhorse wire", "delivers the microcatheter", "*", kAntegrade, "guidewire workhorse load<=1 usable<=200cm"},
    {"wire-taper", "tapered soft wire", "tapered stump, microchannel", "AW", kAntegrade, "guidewire load<=1.5 tip<=0.0105in usable<=200cm"},
    {"wire-direct", "directional wire", "cap and body with a known course", "AW", kAntegrade, "guidewire load>=1.5 load<=5 tip<=0.0125in usable<=200cm"},
    {"wire-hard", "tapered penetration wire", "hard cap, re-entry", "AW ADR", kAntegrade, "guidewire load>=9 load<=14 tip<=0.0105in"},
    {"wire-jacket", "jacketed wire", "knuckle", "ADR RDR", kAntegrade, "guidewire jacket load<=4"},
    {"trap", "trapping balloon", "takes the microcatheter off a short wire", "AW ADR", kAntegrade, "balloon trap"},
    {"small-balloon", "small balloon", "first through the lesion", "AW ADR RW RDR", kAntegrade, "balloon nominal<=1.5mm"},
    {"reentry", "re-entry balloon", "brings the wire back into the lumen", "ADR", kAntegrade, "reentry"},
    {"dual", "dual-lumen microcatheter", "side branch at the cap, second wire", "ADR AW", kAntegrade, "dual_lumen"},
    {"ivus", "ultrasound catheter", "cap without a stump, wire's space, vessel's size", "ADR RDR", kAntegrade, "ivus"},
    {"cart", "balloon as wide as the vessel", "opens the space for the other wire", "RDR", kAntegrade, "balloon nominal>=2.5mm !trap !cutting"},
    {"extension", "guide extension", "meets the retrograde wire", "RW RDR", kAntegrade, "guide_ext", 1, kRoomy},
    {"snare", "snare", "catches a wire that misses the guide", "RW RDR", kAntegrade, "snare nominal>=18mm"},
    {"mc-retro", "long microcatheter", "through the collateral into the other guide", "RW RDR", kRetrograde, "microcatheter usable>=130cm", 1, kReaching},
    {"mc-second", "second microcatheter, slimmer", "the first does not follow in about one in five", "RW RDR", kRetrograde, "microcatheter outer<=0.87mm", 1, kReaching, 1, "mc-retro"},
    {"wire-channel", "collateral wire", "through the channel; nothing stiffer", "RW RDR", kRetrograde, "guidewire collateral load<=0.8"},
    {"wire-out", "externalisation wire", "comes out of the other guide", "RW RDR", kRetrograde, "guidewire usable>=300cm externalisation", 1},
    {"trap-retro", "trapping balloon", "exchange over the retrograde wire", "RW RDR", kRetrograde, "balloon trap"},
    // The bail-out list.
    {"covered", "covered stents, two sizes", "perforation of a large vessel", "bail", kAntegrade, "covered_stent", 1, kSlim, 2},
    {"coil", "coils", "perforation of a distal vessel", "bail", kAntegrade, "coil", 2},
    {"coil-mc", "microcatheter that takes a coil", "delivers it", "bail", kAntegrade, "microcatheter lumen>=0.51mm"},
    {"block", "balloon that closes the vessel", "first hold on a perforation", "bail", kAntegrade, "balloon nominal>=2.5mm !trap !cutting"},
    {"drain", "pericardial drainage set", "tamponade", "bail", kAntegrade, "pericardial_set"},
    {"guide-second", "second guide of 7 or 8 French", "covered stent beside a blocking balloon", "bail", kAntegrade, "guide lumen>=1.95mm"},
    {"sheath-second", "its sheath", "", "bail", kAntegrade, "sheath lumen>=2.35mm"},
    {"snare-large", "snare for the aorta", "", "bail", kAntegrade, "snare nominal>=18mm"},
    {"snare-small", "small snare", "lost or broken parts", "bail", kAntegrade, "snare nominal<=15mm"},
    {"extension-bail", "guide extension", "", "bail", kAntegrade, "guide_ext", 1, kRoomy},
    {"trap-bail", "trapping balloon", "", "bail", kAntegrade, "balloon trap"},
    {"mc-short", "microcatheter of 135 cm", "", "bail", kAntegrade, "microcatheter usable>=135cm usable<=136cm"},
    {"mc-long", "microcatheter of 150 cm", "", "bail", kAntegrade, "microcatheter usable>=150cm"},
    {"dual-bail", "dual-lumen microcatheter", "", "bail", kAntegrade, "dual_lumen"},
    {"wire-long", "externalisation wires, two", "", "bail", kAntegrade, "guidewire usable>=300cm externalisation", 2},
    {"ivus-bail", "ultrasound catheter", "", "bail", kAntegrade, "ivus"},
    {"debulk", "a way through hard tissue", "balloon does not cross or open", "bail", kAntegrade, "atherectomy"},
});

constexpr auto kGroups = std::to_array<GroupRow>({
    {"AW ADR", "microcatheter trapped on its wire", kAntegrade, "mc", "trap"},
    {"ADR", "re-entry balloon trapped on its wire", kAntegrade, "reentry", "trap"},
    {"ADR RDR", "ultrasound beside the microcatheter", kAntegrade, "ivus", "mc"},
    {"RDR", "ultrasound beside the balloon", kAntegrade, "ivus", "cart"},
    {"RW RDR", "extension with a balloon inside the guide", kAntegrade, "extension", ""},
    {"RW RDR", "microcatheter trapped on its wire", kRetrograde, "mc-retro", "trap-retro"},
});

constexpr auto kByEye = std::to_array<std::string_view>(
    {"fat, gel or thrombin", "echo probe on and drapes out", "protamine, atropine, vasopressors, adenosine, nitrate", "defibrillator pads on", "pacing",
     "a plan for haemodynamic support", "blood group and sample"});

}  // namespace

std::span<const NeedRow> NeedRows() { return kNeeds; }
std::span<const GroupRow> GroupRows() { return kGroups; }
std::span<const std::string_view> ByEye() { return kByEye; }

bool Serves(std::string_view strategies, std::string_view strategy) {
  if (strategies == "*") return strategy != "bail";
  while (!strategies.empty()) {
    const auto end = std::min(strategies.find(' '), strategies.size());
    if (strategies.substr(0, end) == strategy) return true;
    strategies.remove_prefix(std::min(end + 1, strategies.size()));
  }
  return false;
}

}  // namespace fairlead
