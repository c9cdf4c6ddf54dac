// SPDX-License-Identifier: Apache-2.0
#include "casebook/lift.h"

#include <nlohmann/json.hpp>

namespace fairlead {
namespace {

// Version 0 of "fact" named the fact "name" and had no mark: whatever was written was a person's statement.
Result<std::string> LiftFact0(std::string_view text) {
  nlohmann::ordered_json data = nlohmann::ordered_json::parse(text.begin(), text.end(), nullptr, false);
  if (!data.is_object() || !data.contains("name") || data.contains("fact") || data.contains("mark"))
    return Error{"this is not version 0 of a fact", "entry.data", "version 0 has \"name\" and no \"mark\"; write version 1"};
  nlohmann::ordered_json lifted;
  for (auto& [name, value] : data.items()) {
    lifted[name == "name" ? std::string("fact") : name] = std::move(value);
    if (name == "name") lifted["mark"] = "stated";
  }
  return lifted.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

}  // namespace

int OldestVersion(std::string_view kind) { return kind == "fact" ? 0 : 1; }

Result<std::string> LiftEntryData(std::string_view kind, int version, std::string_view text) {
  if (kind == "fact" && version == 0) return LiftFact0(text);
  return Error{"there is no step up from version " + std::to_string(version) + " of kind \"" + std::string(kind) + "\"",
               "entry.v", "read it with the program that wrote it"};
}

}  // namespace fairlead
