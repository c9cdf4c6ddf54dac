// SPDX-License-Identifier: Apache-2.0
#include <cmath>
#include <nlohmann/json.hpp>

#include "reasoning/strategy/ladder.h"

namespace fairlead {
namespace {

using Json = nlohmann::json;
constexpr std::array<const char*, 3> kNames = {"minutes", "contrast_ml", "kerma_mgy"};

Result<std::array<std::optional<double>, 3>> Amounts(const Json& object, const std::string& where) {
  std::array<std::optional<double>, 3> amounts{};
  if (!object.is_object()) return Error{"an object is expected", where, R"(write {"minutes", "contrast_ml", "kerma_mgy"})"};
  for (const auto& [name, value] : object.items()) {
    if (name.starts_with('_') || (where == "budget" && (name == "reserve" || name == "used"))) continue;
    std::size_t r = 0;
    while (r < kNames.size() && name != kNames[r]) ++r;
    if (r == kNames.size()) return Error{"there is no such limit as \"" + name.substr(0, 40) + "\"", where, "known are minutes, contrast_ml, kerma_mgy"};
    if (value.is_null()) continue;
    if (!value.is_number() || !(value.get<double>() >= 0.0) || !std::isfinite(value.get<double>())) {
      return Error{name + " is not a number of 0 or more", where, "correct it, or leave it out"};
    }
    amounts[r] = value.get<double>();
  }
  return amounts;
}

}  // namespace

Result<SessionLimits> ParseLimits(std::string_view text) {
  if (text.size() > 65536) return Error{"the text is larger than 64 KiB", "budget", "give less"};
  const Json json = Json::parse(text.begin(), text.end(), nullptr, false);
  SessionLimits limits;
  auto whole = Amounts(json, "budget");
  if (!whole.ok()) return whole.error();
  limits.limit = *whole;
  if (json.contains("reserve")) {
    auto reserve = Amounts(json["reserve"], "reserve");
    if (!reserve.ok()) return reserve.error();
    limits.reserve = *reserve;
  }
  if (json.contains("used")) {
    auto used = Amounts(json["used"], "used");
    if (!used.ok()) return used.error();
    for (std::size_t r = 0; r < limits.used.size(); ++r) limits.used[r] = (*used)[r].value_or(0.0);
  }
  return limits;
}

}  // namespace fairlead
