// SPDX-License-Identifier: Apache-2.0
// The attributes that may leave, each with what is done to it. Whatever is not in the table is removed: private groups, curves,
// overlays, names, words, whatever a station invented. Inside this room and its tests.
#pragma once

#include <span>
#include <string_view>

#include "imaging/dicom/elements.h"

namespace fairlead {

enum class DeidAct {
  kNumber,    // kept if it is numbers (DS, IS) or binary numbers
  kWord,      // kept if each of its values is one of the standard's words that we know
  kDate,      // DA and DT: shifted
  kTime,      // TM: kept, digits only
  kUid,       // replaced by its keyed stand-in
  kClass,     // a UID of the standard (1.2.840.10008.): kept, another is removed
  kAge,       // above 89 years: 090Y
  kItems,     // a sequence: its items are treated likewise
};

struct KeptAttribute {
  Tag tag;
  std::string_view vr;
  DeidAct act;
};

std::span<const KeptAttribute> KeptAttributes();  // sorted by tag
const KeptAttribute* FindKept(Tag tag);
bool IsKnownWord(std::string_view word);

}  // namespace fairlead
