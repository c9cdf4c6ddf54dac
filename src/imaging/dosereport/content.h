// SPDX-License-Identifier: Apache-2.0
// Content items of a structured report (PS3.3 C.17.3): what each is called, and its value. Relationships, templates and
// the meaning of codes are not looked at: reports from the field are wrong in all three and their numbers are still right.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "imaging/dicom/elements.h"

namespace fairlead {

struct Code {
  std::string value, scheme;  // at most 64 letters each
  bool empty() const { return value.empty(); }
};

// The code of the first item of a sequence; empty if there is none.
Code CodeIn(const Item& item, Tag sequence);
bool IsDcm(const Code& code, std::string_view value);
// Of SNOMED CT, or the older code of the same meaning.
bool IsSnomed(const Code& code, std::string_view sct, std::string_view srt);

enum class ContentKind { kContainer, kNumber, kCode, kText, kOther };

// Points into the file's elements, which must outlive it.
struct ContentItem {
  const Item* item = nullptr;
  ContentKind kind = ContentKind::kOther;
  Code name;
};
ContentItem ContentOf(const Item& item);
std::vector<ContentItem> ChildrenOf(const Item& item);

// Of a number: all its values, the unit's code. A value that is empty or no number is not among them.
struct Measured {
  std::vector<double> values;
  std::string unit;
};
Measured MeasuredOf(const ContentItem& content);

Code CodeOf(const ContentItem& content);          // the value of a code
std::string TextValueOf(const ContentItem& content);  // of a text, date and time, or unique identifier; at most 128 letters

}  // namespace fairlead
