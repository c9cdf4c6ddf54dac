// SPDX-License-Identifier: Apache-2.0
#include "record/deidentify/image.h"

#include <fmt/core.h>

#include <algorithm>
#include <set>

#include "record/deidentify/kept.h"

namespace fairlead {
namespace {

constexpr std::string_view kExplicitLittle = "1.2.840.10008.1.2.1";
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
      case DeidAct::kTime: return Put(set, kept, OnlyOf(text, "0123456789.:") ? text : std::string(), text.empty());
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
      const bool numbers = std::ranges::all_of(values, [&](const std::string& value) { return value.size() <= (kept.vr == "DS" ? 16U : 12U) && OnlyOf(value, "0123456789+-.eE"); });
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
    FileBytes all;
    for (const Item& item : element.items) {
      const FileBytes inside = Of(item, " in " + TagText(element.tag)).Written();
      Put16(all, 0xFFFE);
      Put16(all, 0xE000);
      Put32(all, inside.size());
      all.insert(all.end(), inside.begin(), inside.end());
    }
    set.Raw(element.tag, "SQ", std::move(all));
    return true;
  }

  const DeidProject& project_;
  int days_;
  DeidImage& image_;
  std::set<std::string> seen_;
};

// Type 2 attributes that a file must have though they may be empty (PS3.3 C.7.3.1, C.7.6.1, C.8.7.2).
DataSet Empties(std::string_view storage) {
  DataSet set;
  set.Text(0x00200011, "IS", "");
  set.Text(0x00200013, "IS", "");
  set.Text(0x00200020, "CS", "");
  for (const Tag date : {0x00080020U, 0x00080023U}) set.Text(date, "DA", "");
  for (const Tag time : {0x00080030U, 0x00080033U}) set.Text(time, "TM", "");
  set.Text(0x00100040, "CS", "");
  if (storage != "1.2.840.10008.5.1.4.1.1.12.1") return set;
  set.Text(0x00180060, "DS", "");
  for (const Tag exposure : {0x00181150U, 0x00181151U, 0x00181152U}) set.Text(exposure, "IS", "");
  return set;
}

// What a file must have (PS3.3 type 2) and what it says of how it was treated (PS3.15 E.1.1, PS3.3 C.7.1.1).
void PutStatement(DataSet& set, const DeidProject& project) {
  const std::string stand_in = KeyedTag(project, "patient", project.patient);
  set.Text(0x00080005, "CS", "ISO_IR 192");
  set.Text(0x00080050, "SH", "");
  set.Text(0x00080070, "LO", "");
  set.Text(0x00080090, "PN", "");
  set.Text(0x00100010, "PN", stand_in);
  set.Text(0x00100020, "LO", stand_in);
  set.Text(0x00100030, "DA", "");
  set.Text(0x00120062, "CS", "YES");
  set.Text(0x00120063, "LO", "rebuilt from listed attributes; UIDs and dates by key; looked at");
  FileBytes codes;
  static constexpr std::pair<const char*, const char*> kCodes[] = {{"113100", "Basic Application Confidentiality Profile"}, {"113101", "Clean Pixel Data Option"}, {"113103", "Clean Graphics Option"},
      {"113105", "Clean Descriptors Option"}, {"113107", "Retain Longitudinal Temporal Information Modified Dates Option"}, {"113108", "Retain Patient Characteristics Option"}};
  for (const auto& [code, meaning] : kCodes) {
    DataSet item;
    item.Text(0x00080100, "SH", code);
    item.Text(0x00080102, "SH", "DCM");
    item.Text(0x00080104, "LO", std::string_view(meaning).substr(0, 64));
    const FileBytes inside = item.Written();
    Put16(codes, 0xFFFE);
    Put16(codes, 0xE000);
    Put32(codes, inside.size());
    codes.insert(codes.end(), inside.begin(), inside.end());
  }
  set.Raw(0x00120064, "SQ", std::move(codes));
  set.Text(0x00200010, "SH", "");
  set.Text(0x00280301, "CS", "NO");
  set.Text(0x00280303, "CS", "MODIFIED");
}

void PutPixels(DataSet& set, const Run& run, FileBytes pixels) {
  const int top = run.bits == 8 ? 8 : std::clamp(run.bits_stored, 9, 16);
  set.Short(0x00280002, run.samples);
  set.Text(0x00280004, "CS", run.samples == 3 ? "RGB" : run.inverse ? "MONOCHROME1" : "MONOCHROME2");
  if (run.samples == 3) set.Short(0x00280006, 0);
  set.Text(0x00280008, "IS", std::to_string(run.frames));
  set.Short(0x00280010, run.rows);
  set.Short(0x00280011, run.columns);
  set.Short(0x00280100, run.bits);
  set.Short(0x00280101, top);
  set.Short(0x00280102, top - 1);
  set.Short(0x00280103, 0);
  if (pixels.size() % 2 != 0) pixels.push_back(0);
  set.Raw(0x7FE00010, run.bits == 8 ? "OB" : "OW", std::move(pixels));
}

void Paint(FileBytes& pixels, const Run& run, const MaskBox& box) {
  const int left = std::clamp(box.left, 0, run.columns), right = std::clamp(box.left + box.width, 0, run.columns);
  const int top = std::clamp(box.top, 0, run.rows), bottom = std::clamp(box.top + box.height, 0, run.rows);
  const std::size_t pixel = static_cast<std::size_t>(run.samples) * static_cast<std::size_t>(run.bits / 8);
  const std::size_t row = static_cast<std::size_t>(run.columns) * pixel, frame = FrameBytes(run);
  if (left >= right) return;
  for (int f = 0; f < run.frames; ++f)
    for (int y = top; y < bottom; ++y) {
      const auto from = pixels.begin() + static_cast<std::ptrdiff_t>(static_cast<std::size_t>(f) * frame + static_cast<std::size_t>(y) * row + static_cast<std::size_t>(left) * pixel);
      std::fill(from, from + static_cast<std::ptrdiff_t>(static_cast<std::size_t>(right - left) * pixel), std::uint8_t{0});
    }
}

}  // namespace

Result<DeidImage> DeidentifyImage(Bytes file, const Run& run, Bytes frames, const std::vector<MaskBox>& boxes, const DeidProject& project) {
  auto parsed = ParseDicom(file);
  if (!parsed) return parsed.error();
  if (parsed->big_endian) return Error{"the file is big-endian, which is not rewritten here", "", "leave it out, or convert it first"};
  if (frames.size() != FrameBytes(run) * static_cast<std::size_t>(run.frames)) return Error{"the frames do not fit the run", "", "import the run again", Fault::kOutside};
  const std::string storage = TextOf(parsed->dataset, 0x00080016), instance = KeyedUid(project, TextOf(parsed->dataset, 0x00080018));
  if (!storage.starts_with("1.2.840.10008.") || !OnlyOf(storage, "0123456789.") || instance.empty()) return Error{"the file does not say what kind of object it is", "", "leave it out"};
  DeidImage image;
  DataSet set = Treated(project, image).Of(parsed->dataset, "", Empties(storage));
  set.Text(0x00080016, "UI", storage);
  set.Text(0x00080018, "UI", instance);
  PutStatement(set, project);
  FileBytes pixels(frames.begin(), frames.end());
  for (const MaskBox& box : boxes) Paint(pixels, run, box);
  PutPixels(set, run, std::move(pixels));
  image.file = FilePreamble(storage, kExplicitLittle, instance);
  const FileBytes body = set.Written();
  image.file.insert(image.file.end(), body.begin(), body.end());
  // What is written anew is not removed: its old value is, and that is what the list says.
  std::ranges::sort(image.removed);
  image.removed.emplace_back("private elements of every group and depth, and all that followed the pixels");
  return image;
}

}  // namespace fairlead
