// SPDX-License-Identifier: Apache-2.0
// Actions after DICOM PS3.15 Table E.1-1, Basic Profile with the options Clean Pixel Data (113101), Clean Graphics (113103: curves
// and overlays go), Clean Descriptors (113105: words go), Longitudinal Modified Dates (113107) and Patient Characteristics (113108).
#include "record/deidentify/kept.h"

#include <algorithm>
#include <array>

namespace fairlead {
namespace {
using enum DeidAct;

constexpr auto kAttributes = std::to_array<KeptAttribute>({
    {0x0008'0008, "CS", kWord},    // image type
    {0x0008'0020, "DA", kDate},    {0x0008'0021, "DA", kDate},    {0x0008'0022, "DA", kDate},    {0x0008'0023, "DA", kDate},    {0x0008'002A, "DT", kDate},
    {0x0008'0030, "TM", kTime},    {0x0008'0031, "TM", kTime},    {0x0008'0032, "TM", kTime},    {0x0008'0033, "TM", kTime},
    {0x0008'0060, "CS", kWord},    // modality
    {0x0008'0064, "CS", kWord},    // conversion type
    {0x0008'1140, "SQ", kItems},   {0x0008'1150, "UI", kClass},   {0x0008'1155, "UI", kUid},     {0x0008'2144, "IS", kNumber},  {0x0008'3010, "UI", kUid},
    {0x0008'9007, "CS", kWord},    {0x0008'9205, "CS", kWord},    {0x0008'9206, "CS", kWord},    {0x0008'9207, "CS", kWord},
    {0x0010'0040, "CS", kWord},    {0x0010'1010, "AS", kAge},     {0x0010'1020, "DS", kNumber},  {0x0010'1030, "DS", kNumber},
    {0x0018'0015, "CS", kWord},    // body part
    {0x0018'0040, "IS", kNumber},  {0x0018'0060, "DS", kNumber},  {0x0018'1063, "DS", kNumber},  {0x0018'1065, "DS", kNumber},  {0x0018'1110, "DS", kNumber},
    {0x0018'1111, "DS", kNumber},  {0x0018'1114, "DS", kNumber},  {0x0018'1134, "CS", kWord},    {0x0018'1135, "DS", kNumber},  {0x0018'1136, "DS", kNumber},
    {0x0018'1137, "DS", kNumber},  {0x0018'1147, "CS", kWord},    {0x0018'1149, "IS", kNumber},  {0x0018'1150, "IS", kNumber},  {0x0018'1151, "IS", kNumber},
    {0x0018'1152, "IS", kNumber},  {0x0018'1153, "IS", kNumber},  {0x0018'1154, "DS", kNumber},  {0x0018'1155, "CS", kWord},    {0x0018'115E, "DS", kNumber},
    {0x0018'1164, "DS", kNumber},  {0x0018'1190, "DS", kNumber},  {0x0018'1500, "CS", kWord},    {0x0018'1510, "DS", kNumber},  {0x0018'1511, "DS", kNumber},
    {0x0018'1520, "DS", kNumber},  {0x0018'1521, "DS", kNumber},  {0x0018'1600, "CS", kWord},    {0x0018'1602, "IS", kNumber},  {0x0018'1604, "IS", kNumber},
    {0x0018'1606, "IS", kNumber},  {0x0018'1608, "IS", kNumber},  {0x0018'1610, "IS", kNumber},  {0x0018'1612, "IS", kNumber},  {0x0018'1620, "IS", kNumber},
    {0x0018'3100, "CS", kWord},    {0x0018'3101, "DS", kNumber},  {0x0018'6011, "SQ", kItems},   {0x0018'6012, "US", kNumber},  {0x0018'6014, "US", kNumber},
    {0x0018'6016, "UL", kNumber},  {0x0018'6018, "UL", kNumber},  {0x0018'601A, "UL", kNumber},  {0x0018'601C, "UL", kNumber},  {0x0018'601E, "UL", kNumber},
    {0x0018'6024, "US", kNumber},  {0x0018'6026, "US", kNumber},  {0x0018'602C, "FD", kNumber},  {0x0018'602E, "FD", kNumber},
    {0x0018'9074, "DT", kDate},    {0x0018'9151, "DT", kDate},    {0x0018'9402, "FL", kNumber},  {0x0018'9405, "SQ", kItems},   {0x0018'9432, "SQ", kItems},
    {0x0018'9461, "FL", kNumber},  {0x0018'9476, "SQ", kItems},
    {0x0020'000D, "UI", kUid},     {0x0020'000E, "UI", kUid},     {0x0020'0011, "IS", kNumber},  {0x0020'0012, "IS", kNumber},  {0x0020'0013, "IS", kNumber},
    {0x0020'0052, "UI", kUid},     {0x0020'0200, "UI", kUid},     {0x0020'9111, "SQ", kItems},
    {0x0028'0009, "AT", kNumber},  {0x0028'0030, "DS", kNumber},  {0x0028'0A02, "CS", kWord},    {0x0028'1040, "CS", kWord},    {0x0028'1050, "DS", kNumber},
    {0x0028'1051, "DS", kNumber},  {0x0028'1052, "DS", kNumber},  {0x0028'1053, "DS", kNumber},  {0x0028'1090, "CS", kWord},    {0x0028'2110, "CS", kWord},
    {0x0028'6040, "US", kNumber},  {0x0050'0004, "CS", kWord},    {0x5200'9229, "SQ", kItems},   {0x5200'9230, "SQ", kItems},
});

// Defined terms and enumerated values of the attributes above (PS3.3 C.7.6, C.8.7, C.8.5); body parts of the chest.
constexpr auto kWords = std::to_array<std::string_view>({
    "", "ORIGINAL", "DERIVED", "PRIMARY", "SECONDARY", "SINGLE PLANE", "BIPLANE A", "BIPLANE B", "SINGLE A", "SINGLE B", "NONE", "MIXED", "VOLUME",
    "XA", "RF", "US", "IVUS", "OT", "SR", "WSD", "DV", "DI", "DF", "SD", "SI", "DRW", "SYN",
    "M", "F", "O", "HEART", "CHEST", "CORONARYARTERY", "STATIC", "DYNAMIC", "SC", "GR", "RECTANGLE", "ROUND", "RECTANGULAR", "CIRCULAR", "POLYGONAL",
    "MOTOR_PULLBACK", "MANUAL_PULLBACK", "SELECTIVE", "GATED_PULLBACK", "GEOMETRY", "FIDUCIAL", "LIN", "LOG", "DISP", "NAT", "SUB", "YES", "NO", "00", "01", "MONOCHROME", "COLOR", "TRUE"});

static_assert(std::ranges::is_sorted(kAttributes, {}, &KeptAttribute::tag));

}  // namespace

std::span<const KeptAttribute> KeptAttributes() { return kAttributes; }

const KeptAttribute* FindKept(Tag tag) {
  const auto* found = std::ranges::lower_bound(kAttributes, tag, {}, &KeptAttribute::tag);
  return found != kAttributes.end() && found->tag == tag ? found : nullptr;
}

bool IsKnownWord(std::string_view word) { return std::ranges::find(kWords, word) != kWords.end(); }

}  // namespace fairlead
