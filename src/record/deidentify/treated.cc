// SPDX-License-Identifier: Apache-2.0
#include "record/deidentify/treated.h"

#include <fmt/core.h>

#include <algorithm>
#include <set>

#include "record/deidentify/kept.h"

namespace fairlead {
namespace {

constexpr std::size_t kLongestValue = 65'534;

std::string TagText(Tag tag) { return fmt::format("({:04X},{:04X})", tag >> 16, tag & 0xFFFF); }

std::string TextIn(const Element& element) {
  std::string text(element.value.begin(), element.value.end());
  while (!text.empty() && (text.back() == ' ' || text.back() == '\0')) text.pop_back();
  return text;
}

std::vector<std::string> ValuesIn(const std::string& text) {
  std::vector<std::string> values(1);
  for (const char c : text) {
    if (c == '\\') values.emplace_back();
    else values.back() += c;
  }
  for (std::string& value : values) {
    while (!value.empty() && value.front() == ' ') value.erase(0, 1);
    while (!value.empty() && value.back() == ' ') value.pop_back();
  }
  return values;
}

bool OnlyOf(std::string_view text, std::string_view signs) { return text.find_first_not_of(signs) == std::string_view::npos; }

// More than five digits before the point: an exposure in uAs may have them, and the number of a patient has.
bool IsLongNumber(std::string_view value) {
  const std::size_t start = value.find_first_of("0123456789");
  return start != std::string_view::npos && std::min(value.find_first_not_of("0123456789", start), value.size()) - start > 5;
}

class Treated {
 public:
  Treated(const DeidProject& project, DeidImage& image) : project_(project), days_(ShiftOf_days(project)), image_(image) {}

  // What is kept of the item, put into `set`.
  DataSet Of(const Item& item, const std::string& within, DataSet set = {}) {
    for (const Element& element : item.elements) {
      const KeptAttribute* kept = FindKept(element.tag);
      if (kept == nullptr || !Keep(set, element, *kept)) Remove(element, within);
    }
    return set;
  }

 private:
  void Remove(const Element& element, const std::string& within) {
    const std::string vr(element.vr.begin(), element.vr.end());
    std::string line = TagText(element.tag) + " " + (OnlyOf(vr, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") ? vr : "UN") + within;
    if (seen_.insert(line).second) image_.removed.push_back(std::move(line));
  }

  bool Keep(DataSet& set, const Element& element, const KeptAttribute& kept) {
    if (kept.act == DeidAct::kItems) return KeepItems(set, element);
    const std::string text = TextIn(element);
    if (element.value.size() > kLongestValue || !element.items.empty()) return false;
    switch (kept.act) {
      case DeidAct::kNumber: return KeepNumbers(set, element, kept, text);
      case DeidAct::kWord:
        if (!std::ranges::all_of(ValuesIn(text), [](const std::string& word) { return IsKnownWord(word); })) return KeepKnownPart(set, kept, text);
        set.Text(kept.tag, kept.vr, text);
        return true;
      case DeidAct::kDate: return Put(set, kept, ShiftedDicomDate(days_, text), text.empty());
      case DeidAct::kTime: return Put(set, kept, IsTimeOfDay(text) ? text : std::string(), text.empty());
      case DeidAct::kUid: return Put(set, kept, KeyedUid(project_, text), text.empty());
      case DeidAct::kClass: return Put(set, kept, text.starts_with("1.2.840.10008.") && OnlyOf(text, "0123456789.") ? text : std::string(), false);
      case DeidAct::kAge: return Put(set, kept, AgeOf(text), text.empty());
      case DeidAct::kItems: return false;
    }
    return false;
  }

  // An empty value stays empty; one that could not be treated is removed.
  bool Put(DataSet& set, const KeptAttribute& kept, const std::string& value, bool was_empty) {
    if (value.empty() && !was_empty) return false;
    set.Text(kept.tag, kept.vr, value);
    if (!value.empty() && (kept.act == DeidAct::kDate || kept.act == DeidAct::kUid)) ++image_.replaced;
    return true;
  }

  // Of several words those up to the first that nobody knows: an image type with a station's own fifth value.
  static bool KeepKnownPart(DataSet& set, const KeptAttribute& kept, const std::string& text) {
    std::string known;
    for (const std::string& word : ValuesIn(text)) {
      if (word.empty() || !IsKnownWord(word)) break;
      known += (known.empty() ? "" : "\\") + word;
    }
    if (!known.empty()) set.Text(kept.tag, kept.vr, known);
    return false;  // something was removed, and is listed
  }

  static bool KeepNumbers(DataSet& set, const Element& element, const KeptAttribute& kept, const std::string& text) {
    if (kept.vr == "DS" || kept.vr == "IS") {
      // Digits alone could spell a number of the patient: no value is longer than the standard allows (PS3.5 6.2).
      const auto values = ValuesIn(text);
      const bool numbers = std::ranges::all_of(values, [&](const std::string& value) { return value.size() <= (kept.vr == "DS" ? 16U : 12U) && OnlyOf(value, "0123456789+-.eE") && !IsLongNumber(value); });
      if (!numbers) return false;
      std::string joined;
      for (std::size_t i = 0; i < values.size(); ++i) joined += (i == 0 ? "" : "\\") + values[i];
      set.Text(kept.tag, kept.vr, joined);
      return true;
    }
    const std::size_t width = kept.vr == "FD" ? 8 : kept.vr == "US" ? 2 : 4;
    if (element.value.size() % width != 0) return false;
    set.Raw(kept.tag, kept.vr, {element.value.begin(), element.value.end()});
    return true;
  }

  static std::string AgeOf(const std::string& text) {
    if (text.size() != 4 || !OnlyOf(text.substr(0, 3), "0123456789") || !OnlyOf(text.substr(3), "DWMY")) return {};
    return text[3] == 'Y' && std::stoi(text.substr(0, 3)) > 89 ? "090Y" : text;
  }

  bool KeepItems(DataSet& set, const Element& element) {
    std::vector<DataSet> items;
    for (const Item& item : element.items) items.push_back(Of(item, " in " + TagText(element.tag)));
    PutItems(set, element.tag, items);
    return true;
  }

  const DeidProject& project_;
  int days_;
  DeidImage& image_;
  std::set<std::string> seen_;
};

}  // namespace

DataSet TreatedSet(const Item& item, const DeidProject& project, DeidImage& image, DataSet set) { return Treated(project, image).Of(item, "", std::move(set)); }

void PutItems(DataSet& set, Tag tag, const std::vector<DataSet>& items) {
  FileBytes all;
  for (const DataSet& item : items) {
    const FileBytes inside = item.Written();
    Put16(all, 0xFFFE);
    Put16(all, 0xE000);
    Put32(all, inside.size());
    all.insert(all.end(), inside.begin(), inside.end());
  }
  set.Raw(tag, "SQ", std::move(all));
}

// What a file must have (PS3.3 type 2) and what it says of how it was treated (PS3.15 E.1.1, PS3.3 C.7.1.1).
void PutStatement(DataSet& set, const DeidProject& project, bool content) {
  const std::string stand_in = KeyedTag(project, "patient", project.patient);
  set.Text(0x00080005, "CS", "ISO_IR 192");
  set.Text(0x00080050, "SH", "");
  set.Text(0x00080070, "LO", "");
  set.Text(0x00080090, "PN", "");
  set.Text(0x00100010, "PN", stand_in);
  set.Text(0x00100020, "LO", stand_in);
  set.Text(0x00100030, "DA", "");
  set.Text(0x00120062, "CS", "YES");
  set.Text(0x00120063, "LO", content ? "rebuilt from listed attributes and codes; UIDs and dates by key" : "rebuilt from listed attributes; UIDs and dates by key; looked at");
  static constexpr std::pair<const char*, const char*> kCodes[] = {{"113100", "Basic Application Confidentiality Profile"}, {"113101", "Clean Pixel Data Option"}, {"113103", "Clean Graphics Option"},
      {"113104", "Clean Structured Content Option"}, {"113105", "Clean Descriptors Option"}, {"113107", "Retain Longitudinal Temporal Information Modified Dates Option"}, {"113108", "Retain Patient Characteristics Option"}};
  std::vector<DataSet> codes;
  for (const auto& [code, meaning] : kCodes) {
    // Of pixels speaks a picture, of content a report.
    if (std::string_view(code) == (content ? "113101" : "113104") || (content && std::string_view(code) == "113103")) continue;
    DataSet& item = codes.emplace_back();
    item.Text(0x00080100, "SH", code);
    item.Text(0x00080102, "SH", "DCM");
    item.Text(0x00080104, "LO", std::string_view(meaning).substr(0, 64));
  }
  PutItems(set, 0x00120064, codes);
  set.Text(0x00200010, "SH", "");
  if (!content) set.Text(0x00280301, "CS", "NO");
  set.Text(0x00280303, "CS", "MODIFIED");
}

}  // namespace fairlead
