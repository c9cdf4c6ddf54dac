// SPDX-License-Identifier: Apache-2.0
// The kinds of entries: name, version and reader of each. Inside casebook only.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "casebook/entry.h"
#include "casebook/member_reader.h"

namespace fairlead {

struct KindRow {
  std::string_view name;
  int version;  // the present one
  // `from` is the object `data`, `json` its bytes.
  EntryData (*read)(MemberReader& from, std::string_view json);
};

const KindRow* FindKind(std::string_view name);
std::vector<std::string_view> KindNames();

// --- Readers that stand in files of their own.
EntryData ReadFact(MemberReader& from, std::string_view text);
EntryData ReadRun(MemberReader& from, std::string_view json);
// "points": [{x, y}] and "parts": [{name, sd}]; empty if absent.
std::vector<PixelPoint> ReadPoints(MemberReader& from);
std::vector<NamedPart> ReadParts(MemberReader& from);

}  // namespace fairlead
