// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/device.h"

#include <algorithm>

#include "reasoning/kit/plain_word.h"

namespace fairlead {
namespace {

using enum DeviceClass;

constexpr std::array<ClassName, 18> kClasses = {{{kSheath, "sheath", "introducer sheath"},
                                                 {kValve, "valve", "haemostatic valve"},
                                                 {kGuide, "guide", "guide catheter"},
                                                 {kGuideExtension, "guide_ext", "guide extension"},
                                                 {kMicrocatheter, "microcatheter", "microcatheter"},
                                                 {kDualLumen, "dual_lumen", "dual-lumen microcatheter"},
                                                 {kGuidewire, "guidewire", "guidewire"},
                                                 {kBalloon, "balloon", "balloon"},
                                                 {kReentry, "reentry", "re-entry balloon"},
                                                 {kStent, "stent", "stent"},
                                                 {kCoveredStent, "covered_stent", "covered stent"},
                                                 {kIvus, "ivus", "ultrasound catheter"},
                                                 {kOct, "oct", "OCT catheter"},
                                                 {kAtherectomy, "atherectomy", "atherectomy burr"},
                                                 {kSnare, "snare", "snare"},
                                                 {kCoil, "coil", "coil"},
                                                 {kPericardialSet, "pericardial_set", "pericardial drainage set"},
                                                 {kOther, "other", "other"}}};

struct OtherName {
  std::string_view word;
  DeviceClass kind;
};

// Words that labs write in their lists.
constexpr auto kOtherNames = std::to_array<OtherName>({
    {"guide_catheter", kGuide}, {"guiding_catheter", kGuide}, {"guiding", kGuide}, {"fuhrungskatheter", kGuide}, {"catheter_guide", kGuide},
    {"cateter_guia", kGuide}, {"catetere_guida", kGuide}, {"guide_extension_catheter", kGuideExtension}, {"extension", kGuideExtension},
    {"guide_extension", kGuideExtension}, {"extension_de_guide", kGuideExtension}, {"mc", kMicrocatheter}, {"micro_catheter", kMicrocatheter},
    {"mikrokatheter", kMicrocatheter}, {"microcateter", kMicrocatheter}, {"microcatetere", kMicrocatheter}, {"dual", kDualLumen},
    {"dual_lumen_catheter", kDualLumen}, {"double_lumen", kDualLumen}, {"doppellumen", kDualLumen}, {"wire", kGuidewire}, {"guide_wire", kGuidewire},
    {"draht", kGuidewire}, {"fuhrungsdraht", kGuidewire}, {"fil_guide", kGuidewire}, {"guia", kGuidewire}, {"filo_guida", kGuidewire},
    {"ballon", kBalloon}, {"balloon_catheter", kBalloon}, {"ballonkatheter", kBalloon}, {"balon", kBalloon}, {"palloncino", kBalloon},
    {"covered", kCoveredStent}, {"stent_couvert", kCoveredStent}, {"stentgraft", kCoveredStent}, {"stent_graft", kCoveredStent},
    {"ultrasound", kIvus}, {"imaging", kIvus}, {"burr", kAtherectomy}, {"rotablation", kAtherectomy}, {"introducer", kSheath},
    {"schleuse", kSheath}, {"introducteur", kSheath}, {"introductor", kSheath}, {"y_connector", kValve}, {"haemostasis_valve", kValve},
    {"hemostasis_valve", kValve}, {"hemostatic_valve", kValve}, {"re_entry", kReentry}, {"re_entry_catheter", kReentry}, {"schlinge", kSnare},
    {"drain", kPericardialSet}, {"pericardiocentesis_set", kPericardialSet}, {"autre", kOther}, {"andere", kOther},
});

}  // namespace

const std::array<ClassName, 18>& DeviceClasses() { return kClasses; }

std::string_view WordOf(DeviceClass kind) {
  return std::ranges::find(kClasses, kind, &ClassName::kind)->word;
}

std::string_view TitleOf(DeviceClass kind) {
  return std::ranges::find(kClasses, kind, &ClassName::kind)->title;
}

std::optional<DeviceClass> ClassOf(std::string_view word) {
  const std::string plain = PlainWord(word);
  for (const ClassName& name : kClasses) {
    if (plain == name.word || plain == PlainWord(name.title)) return name.kind;
  }
  const auto other = std::ranges::find(kOtherNames, std::string_view(plain), &OtherName::word);
  return other == kOtherNames.end() ? std::nullopt : std::optional(other->kind);
}

}  // namespace fairlead
