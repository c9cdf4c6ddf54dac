// SPDX-License-Identifier: Apache-2.0
#include "imaging/dosereport/content.h"

#include <algorithm>

#include "imaging/dicom/tags.h"

namespace fairlead {
namespace {

// PS3.6
constexpr Tag kCodeValue = 0x0008'0100, kScheme = 0x0008'0102, kLongCode = 0x0008'0119;
constexpr Tag kValueType = 0x0040'A040, kDateTime = 0x0040'A120, kUid = 0x0040'A124, kText = 0x0040'A160;
constexpr Tag kNumeric = 0x0040'A30A;

std::string Short(std::string text, std::size_t most) {
  if (text.size() > most) text.resize(most);
  return text;
}

ContentKind KindOf(const Item& item) {
  const std::string type = TextOf(item, kValueType);
  if (type == "CONTAINER") return ContentKind::kContainer;
  if (type == "NUM") return ContentKind::kNumber;
  if (type == "CODE") return ContentKind::kCode;
  if (type == "TEXT" || type == "UIDREF" || type == "DATETIME") return ContentKind::kText;
  // Some writers leave the type out: what is there says it.
  if (!type.empty()) return ContentKind::kOther;
  if (Find(item, tags::kMeasuredValue) != nullptr) return ContentKind::kNumber;
  if (Find(item, tags::kConceptCode) != nullptr) return ContentKind::kCode;
  if (Find(item, tags::kContent) != nullptr) return ContentKind::kContainer;
  return ContentKind::kOther;
}

}  // namespace

Code CodeIn(const Item& item, Tag sequence) {
  const Item* code = FirstItem(item, sequence);
  if (code == nullptr) return {};
  std::string value = TextOf(*code, kCodeValue);
  if (value.empty()) value = TextOf(*code, kLongCode);
  return {Short(std::move(value), 64), Short(TextOf(*code, kScheme), 64)};
}

bool IsDcm(const Code& code, std::string_view value) { return code.value == value && code.scheme == "DCM"; }

bool IsSnomed(const Code& code, std::string_view sct, std::string_view srt) {
  if (code.value == sct) return code.scheme == "SCT" || code.scheme.starts_with("SNM3") || code.scheme == "SRT";
  return code.value == srt && (code.scheme == "SRT" || code.scheme.starts_with("SNM3") || code.scheme.starts_with("99"));
}

ContentItem ContentOf(const Item& item) { return {&item, KindOf(item), CodeIn(item, tags::kConceptName)}; }

std::vector<ContentItem> ChildrenOf(const Item& item) {
  std::vector<ContentItem> children;
  const Element* content = Find(item, tags::kContent);
  if (content == nullptr) return children;
  children.reserve(content->items.size());
  for (const Item& child : content->items) children.push_back(ContentOf(child));
  return children;
}

Measured MeasuredOf(const ContentItem& content) {
  Measured measured;
  const Item* value = FirstItem(*content.item, tags::kMeasuredValue);
  if (value == nullptr) return measured;
  measured.values = NumbersOf(*value, kNumeric);
  if (measured.values.empty()) measured.values = NumbersOf(*value, tags::kFloatingValue);
  measured.unit = CodeIn(*value, tags::kMeasurementUnits).value;
  return measured;
}

Code CodeOf(const ContentItem& content) { return CodeIn(*content.item, tags::kConceptCode); }

std::string TextValueOf(const ContentItem& content) {
  for (const Tag tag : {kUid, kDateTime, kText}) {
    std::string text = Short(TextOf(*content.item, tag), 128);
    if (text.empty()) continue;
    // These reach screens and answers.
    std::ranges::replace_if(text, [](char c) { return c < 0x20 || c > 0x7E; }, '?');
    return text;
  }
  return {};
}

}  // namespace fairlead
