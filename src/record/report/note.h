// SPDX-License-Identifier: Apache-2.0
// Notes that belong to a section of the report: their first line is "report: SECTION". Inside this room only.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace fairlead {

struct SectionWords {
  std::string section, text;
};
// Nothing for any other note, or if no section is called so.
std::optional<SectionWords> NoteForSection(std::string_view note);

}  // namespace fairlead
