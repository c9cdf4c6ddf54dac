// SPDX-License-Identifier: Apache-2.0
#include "reasoning/budget/limits.h"

#include <cmath>
#include <string>

#include <nlohmann/json.hpp>

namespace fairlead {
namespace {
using nlohmann::json;

struct Member {
  const char* name;
  double* value;
  double low, high;
};

Error LimitFault(const std::string& where, std::string what) { return {std::move(what), where, "correct the lab's limits"}; }

// Every member of `object` is one of the numbers, or is in `others`.
Status Read(const json& object, const std::string& where, std::initializer_list<Member> numbers, std::initializer_list<std::string_view> others = {}) {
  if (!object.is_object()) return LimitFault(where, "this is not an object");
  for (const auto& [name, value] : object.items()) {
    bool known = false;
    for (const std::string_view other : others) known = known || other == name;
    for (const Member& member : numbers) {
      if (name != member.name) continue;
      known = true;
      if (!value.is_number()) return LimitFault(where + "." + name, "this is not a number");
      const double number = value.get<double>();
      if (!std::isfinite(number) || number < member.low || number > member.high) return LimitFault(where + "." + name, "this number cannot be");
      *member.value = number;
    }
    if (!known) return LimitFault(where, "there is no member \"" + name.substr(0, 60) + "\"");
  }
  return Done{};
}

Status ReadTargets(const json& object, const std::string& where, ActTargets& targets) {
  return Read(object, where, {{"antegrade_s", &targets.antegrade_s, 150, 500}, {"retrograde_s", &targets.retrograde_s, 150, 500},
                              {"upper_s", &targets.upper_s, 200, 800}, {"lower_s", &targets.lower_s, 100, 400}});
}

Status ReadAct(const json& act, RunLimits& limits) {
  if (auto read = Read(act, "limits.act", {{"every_min", &limits.act_every_min, 5, 120}, {"slope_high", &limits.slope_high, 0.3, 5}, {"slope_low", &limits.slope_low, 0.3, 5}},
                       {"analyser", "H", "L", "show_return_dose"}); !read.ok())
    return read;
  if (const auto found = act.find("analyser"); found != act.end()) {
    if (*found != "H" && *found != "L") return LimitFault("limits.act.analyser", "an analyser is \"H\" (reads high) or \"L\" (reads low)");
    limits.analyser = *found == "L" ? 'L' : 'H';
  }
  if (const auto found = act.find("show_return_dose"); found != act.end()) {
    if (!found->is_boolean()) return LimitFault("limits.act.show_return_dose", "this is neither true nor false");
    limits.show_return_dose = found->get<bool>();
  }
  for (const char* family : {"H", "L"}) {
    const auto found = act.find(family);
    if (found == act.end()) continue;
    if (auto read = ReadTargets(*found, std::string("limits.act.") + family, *family == 'H' ? limits.high : limits.low); !read.ok()) return read;
  }
  return Done{};
}

}  // namespace

Result<RunLimits> RunLimitsFromJson(std::string_view text) {
  const json tree = json::parse(text, nullptr, false);
  if (tree.is_discarded()) return LimitFault("limits", "this is no JSON");
  RunLimits limits;
  if (auto read = Read(tree, "limits", {{"minutes", &limits.minutes, 30, 720}, {"contrast_ratio", &limits.contrast_ratio, 1, 8},
                                        {"air_kerma_gy", &limits.air_kerma_gy, 1, 15}, {"kerma_area_gycm2", &limits.kerma_area_gycm2, 50, 2000},
                                        {"fluoro_min", &limits.fluoro_min, 10, 300}}, {"act", "reserve"}); !read.ok())
    return read.error();
  if (const auto act = tree.find("act"); act != tree.end())
    if (auto read = ReadAct(*act, limits); !read.ok()) return read.error();
  if (const auto reserve = tree.find("reserve"); reserve != tree.end())
    if (auto read = Read(*reserve, "limits.reserve", {{"minutes", &limits.reserve.minutes, 0, 180}, {"contrast_ml", &limits.reserve.contrast_ml, 0, 400},
                                                      {"air_kerma_gy", &limits.reserve.air_kerma_gy, 0, 5}}); !read.ok())
      return read.error();
  return limits;
}

}  // namespace fairlead
