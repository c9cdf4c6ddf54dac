// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/device.h"

#include <algorithm>

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

std::string Plain(std::string_view word) {
  std::string plain;
  for (const char c : word) {
    if (c >= 'A' && c <= 'Z') plain += static_cast<char>(c - 'A' + 'a');
    else plain += c == ' ' || c == '-' ? '_' : c;
  }
  return plain;
}

struct OtherName {
  std::string_view word;
  DeviceClass kind;
};

// Words that labs write in their lists.
constexpr std::array<OtherName, 16> kOtherNames = {{{"guide_catheter", kGuide}, {"guiding_catheter", kGuide},
                                                    {"guide_extension_catheter", kGuideExtension}, {"extension", kGuideExtension},
                                                    {"mc", kMicrocatheter}, {"micro_catheter", kMicrocatheter},
                                                    {"dual", kDualLumen}, {"wire", kGuidewire}, {"guide_wire", kGuidewire},
                                                    {"covered", kCoveredStent}, {"ultrasound", kIvus}, {"burr", kAtherectomy},
                                                    {"introducer", kSheath}, {"y_connector", kValve}, {"re_entry", kReentry},
                                                    {"drain", kPericardialSet}}};

}  // namespace

const std::array<ClassName, 18>& DeviceClasses() { return kClasses; }

std::string_view WordOf(DeviceClass kind) {
  return std::ranges::find(kClasses, kind, &ClassName::kind)->word;
}

std::string_view TitleOf(DeviceClass kind) {
  return std::ranges::find(kClasses, kind, &ClassName::kind)->title;
}

std::optional<DeviceClass> ClassOf(std::string_view word) {
  const std::string plain = Plain(word);
  for (const ClassName& name : kClasses) {
    if (plain == name.word || plain == Plain(name.title)) return name.kind;
  }
  const auto other = std::ranges::find(kOtherNames, std::string_view(plain), &OtherName::word);
  return other == kOtherNames.end() ? std::nullopt : std::optional(other->kind);
}

}  // namespace fairlead
