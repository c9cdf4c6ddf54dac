// SPDX-License-Identifier: Apache-2.0
// The kind "dose".
#include <algorithm>

#include <nlohmann/json.hpp>

#include "casebook/entry_data.h"

namespace fairlead {
namespace {
using nlohmann::json;

// Chosen: beyond what any procedure reaches, so that a wrong unit is refused and a bad day is not.
constexpr double kMostKerma_Gy = 100.0, kMostArea_Gycm2 = 100'000.0, kMostMinutes = 10'000.0;
constexpr int kMostEvents = 20'000;
constexpr std::size_t kMostTyped = 200;

bool IsDay(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
  return std::ranges::all_of(text, [](char c) { return c == '-' || (c >= '0' && c <= '9'); });
}

std::vector<TypedDose> ReadTyped(MemberReader& from) {
  std::vector<TypedDose> typed;
  const json* list = from.List("typed", kMostTyped, "{primary_deg, secondary_deg, air_kerma_gy}");
  if (list == nullptr) return typed;
  for (const json& item : *list) {
    MemberReader each(item, from, "typed", static_cast<int>(typed.size()));
    each.Only({"primary_deg", "secondary_deg", "air_kerma_gy"});
    TypedDose dose{each.NumberIfThere("primary_deg", -180.0, 180.0), each.NumberIfThere("secondary_deg", -90.0, 90.0),
                   each.Number("air_kerma_gy", 0.0, kMostKerma_Gy)};
    if (dose.primary_deg.has_value() != dose.secondary_deg.has_value()) each.Refuse("a view has two angles", "", "give both, or none");
    typed.push_back(dose);
  }
  return typed;
}

}  // namespace

EntryData ReadDose(MemberReader& from, std::string_view /*json*/) {
  from.Only({"hash", "label", "earlier", "day", "events", "air_kerma_gy", "kerma_area_gycm2", "fluoroscopy_min", "typed"});
  DoseGiven dose;
  dose.hash = from.ContentHash("hash", false);
  dose.label = from.Text("label", kLongestLine);
  dose.earlier = from.Flag("earlier");
  dose.day = from.Text("day", 10, false);
  if (!dose.day.empty() && !IsDay(dose.day)) from.Refuse("a day is written YYYY-MM-DD", "day", "write it so, or leave it out");
  dose.events = from.Whole("events", 0, kMostEvents);
  dose.air_kerma_gy = from.Number("air_kerma_gy", 0.0, kMostKerma_Gy);
  dose.kerma_area_gycm2 = from.Number("kerma_area_gycm2", 0.0, kMostArea_Gycm2);
  dose.fluoroscopy_min = from.Number("fluoroscopy_min", 0.0, kMostMinutes);
  dose.typed = ReadTyped(from);
  if (dose.hash.empty() == dose.typed.empty()) from.Refuse("a dose comes from a file or is typed", "hash", "give the file's hash, or \"typed\"");
  return dose;
}

}  // namespace fairlead
