// SPDX-License-Identifier: Apache-2.0
// A device of the lab's shelf as geometry: what its label says, in our fields. Absent = not printed or not applicable;
// an answer that needs an absent field says so and is never taken as a yes.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "measure/quantity.h"

namespace fairlead {

enum class DeviceClass {
  kSheath, kValve, kGuide, kGuideExtension, kMicrocatheter, kDualLumen, kGuidewire, kBalloon, kReentry, kStent,
  kCoveredStent, kIvus, kOct, kAtherectomy, kSnare, kCoil, kPericardialSet, kOther,
};

struct ClassName {
  DeviceClass kind;
  std::string_view word;    // in files: "guide_ext"
  std::string_view title;   // on screen: "guide extension"
};
const std::array<ClassName, 18>& DeviceClasses();
std::string_view WordOf(DeviceClass kind);
std::string_view TitleOf(DeviceClass kind);
std::optional<DeviceClass> ClassOf(std::string_view word);  // by word or title, case-blind, blanks as underscores

// One batch of a device in a drawer.
struct Stock {
  std::string lot;
  std::string expires;  // "2027-12-31"; empty: not given
  int count = 0;
  std::string place;
};

struct Device {
  std::string id, name, label;
  DeviceClass kind = DeviceClass::kOther;
  std::optional<Length> od_prox;        // proximal shaft, outer
  std::optional<Length> od_dist;        // distal shaft with the wire inside, outer
  std::optional<Length> profile;        // working element folded or crimped; long axis of an oval
  std::optional<Length> minor;          // short axis of an oval
  std::optional<Length> lumen;          // narrowest inner
  std::optional<Length> collar;         // entry of a guide extension's tunnel, if narrower than `lumen`
  std::optional<Length> tip_od;
  std::optional<Length> usable;         // length
  std::optional<Length> segment;        // monorail length, or tunnel length of an extension
  std::optional<Length> offset;         // tip to imaging element, or between two exits
  std::optional<Length> nominal;        // inflated diameter, loop, burr
  std::optional<Length> nominal_length;
  std::optional<Length> need_lumen;     // least host lumen that the label demands
  std::optional<Length> wire;           // own shaft (a wire), or the thickest wire taken
  std::optional<Length> tip;            // a wire's tip
  std::optional<double> tip_load_gf;
  // Half of the last digit printed, of outer sizes and of the lumen: the true size lies within it. practice, no source
  Length rounding = Length::Millimetres(0.005);
  std::string coating, note, gtin;
  std::vector<Stock> stock;
  int used = 0, short_by = 0;           // packages opened since the list was made; of them, those the list did not hold
  bool invented = false;
};

inline int CountOf(const Device& device) {
  int count = 0;
  for (const Stock& stock : device.stock) count += stock.count;
  return count;
}

}  // namespace fairlead
