// SPDX-License-Identifier: Apache-2.0
#include "record/deidentify/report.h"

#include <algorithm>
#include <array>

#include "record/deidentify/treated.h"
#include "record/lesson/words.h"

namespace fairlead {
namespace {

constexpr std::string_view kExplicitLittle = "1.2.840.10008.1.2.1", kDigits = "0123456789";
constexpr std::string_view kReports[] = {"1.2.840.10008.5.1.4.1.1.88.67", "1.2.840.10008.5.1.4.1.1.88.22", "1.2.840.10008.5.1.4.1.1.88.33"};
constexpr std::string_view kRelations[] = {"CONTAINS", "HAS OBS CONTEXT", "HAS CONCEPT MOD", "HAS PROPERTIES", "HAS ACQ CONTEXT", "INFERRED FROM"};
// Of TID 10001 and below (PS3.16), in SNOMED CT and its older form: fluoroscopy, positions, heart and chest, intent, filters' metals, anodes, arms.
constexpr std::string_view kSnomed[] = {"44491008", "P5-06000", "102541007", "F-10480", "102540008", "F-10470", "1240000", "F-10310", "102538003", "F-10340", "102536004", "F-10317", "102535000", "F-10319",
                                        "102539006", "F-10450", "80891009", "T-32000", "51185008", "T-D3000", "41801008", "T-43000", "363703001", "G-C0E8", "262202000", "R-41531", "261004008", "R-408C3",
                                        "66925006", "C-127F9", "C-12700", "12503006", "C-120F9", "C-12000", "88488004", "C-132F9", "C-13200", "77296007", "11713004", "424124008"};
constexpr std::string_view kUnits[] = {"Gy.m2", "mGy.m2", "uGy.m2", "Gy.cm2", "dGy.cm2", "cGy.cm2", "mGy.cm2", "uGy.cm2", "Gy", "dGy", "cGy", "mGy", "uGy", "mm", "cm", "dm", "m", "um", "mm2", "cm2", "dm2", "m2",
                                       "deg", "s", "ms", "us", "min", "h", "kV", "V", "mA", "uA", "A", "mA.s", "mAs", "uA.s", "uAs", "1", "{frames}", "{pulse}", "{pulse}/s", "/s", "1/s", "Hz", "kg", "g", "%", "kW", "a"};

template <typename List>
bool Among(const List& list, std::string_view word) { return std::ranges::find(list, word) != std::end(list); }
bool AllOf(std::string_view text, std::string_view signs) { return text.find_first_not_of(signs) == std::string_view::npos; }

// Codes that mean the same to everybody: a station's own could be anything.
bool IsPublicCode(const std::string& value, const std::string& scheme) {
  if (scheme == "DCM") return value.size() == 6 && value.front() == '1' && AllOf(value, kDigits);
  if (scheme == "UCUM") return Among(kUnits, value);
  return (scheme == "SCT" || scheme == "SRT" || scheme == "SNM3") && Among(kSnomed, value);
}

// Words beside a code explain it; a name among them does not.
std::string MeaningOf(const Item& code, const std::string& value) {
  std::string meaning = TextOf(code, 0x00080104);
  std::ranges::transform(meaning, meaning.begin(), [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  for (std::size_t at = 0; at < meaning.size();) {
    const std::size_t size = WordFrom(meaning, at);
    // As at a sentence's begin: "Baker" would be a name there.
    std::string word = meaning.substr(at, size);
    if (size > 0) word[0] = word[0] >= 'a' && word[0] <= 'z' ? static_cast<char>(word[0] - 'a' + 'A') : word[0];
    if (size > 0 && (MayBeName(word, 0, size) || (size > 3 && AllOf(word, kDigits)))) return value;
    at += std::max<std::size_t>(size, 1);
  }
  return meaning.empty() ? value : TextOf(code, 0x00080104);
}

class Content {
 public:
  Content(const DeidProject& project, DeidImage& image) : project_(project), days_(ShiftOf_days(project)), image_(image) {}

  // The items below `item` that stay.
  std::vector<DataSet> Below(const Item& item) {
    std::vector<DataSet> kept;
    const Element* content = Find(item, 0x0040A730);
    if (content == nullptr) return kept;
    for (const Item& child : content->items) {
      DataSet set;
      if (Keep(child, set)) kept.push_back(std::move(set));
      else ++removed_;
    }
    return kept;
  }
  bool Code(const Item& item, Tag sequence, DataSet& set) const {
    const Item* code = FirstItem(item, sequence);
    if (code == nullptr) return false;
    const std::string value = TextOf(*code, 0x00080100), scheme = TextOf(*code, 0x00080102);
    if (!IsPublicCode(value, scheme)) return false;
    DataSet kept;
    kept.Text(0x00080100, "SH", value);
    kept.Text(0x00080102, "SH", scheme);
    kept.Text(0x00080104, "LO", MeaningOf(*code, value));
    PutItems(set, sequence, {kept});
    return true;
  }
  std::size_t removed() const { return removed_; }

 private:
  bool Keep(const Item& item, DataSet& set) {
    const std::string relation = TextOf(item, 0x0040A010), type = TextOf(item, 0x0040A040);
    if (!Among(kRelations, relation) || !Code(item, 0x0040A043, set) || !Value(item, type, set)) return false;
    set.Text(0x0040A010, "CS", relation);
    set.Text(0x0040A040, "CS", type);
    if (const std::vector<DataSet> below = Below(item); !below.empty()) PutItems(set, 0x0040A730, below);
    return true;
  }

  bool Value(const Item& item, const std::string& type, DataSet& set) {
    if (type == "CONTAINER") return set.Text(0x0040A050, "CS", "SEPARATE"), true;
    if (type == "CODE") return Code(item, 0x0040A168, set);
    if (type == "NUM") return Numbers(item, set);
    if (type == "UIDREF") return Replaced(set, 0x0040A124, "UI", KeyedUid(project_, TextOf(item, 0x0040A124)));
    if (type == "DATETIME") return Replaced(set, 0x0040A120, "DT", ShiftedDicomDate(days_, TextOf(item, 0x0040A120)));
    if (type == "DATE") return Replaced(set, 0x0040A121, "DA", ShiftedDicomDate(days_, TextOf(item, 0x0040A121)));
    if (type == "TIME" && IsTimeOfDay(TextOf(item, 0x0040A122))) return Replaced(set, 0x0040A122, "TM", TextOf(item, 0x0040A122));
    return false;
  }
  bool Replaced(DataSet& set, Tag tag, std::string_view vr, const std::string& value) {
    if (value.empty()) return false;
    ++image_.replaced;
    set.Text(tag, vr, value);
    return true;
  }
  // A value may be missing, as where a station could not measure: then the item says so by being empty (PS3.3 C.18.1).
  bool Numbers(const Item& item, DataSet& set) const {
    const Item* measured = FirstItem(item, 0x0040A300);
    if (measured == nullptr) return PutItems(set, 0x0040A300, {}), true;
    const std::string number = TextOf(*measured, 0x0040A30A);
    DataSet kept;
    const std::size_t first = number.find_first_of(kDigits);
    const bool fits = first != std::string::npos && number.size() <= 16 && AllOf(number, "0123456789+-.eE") && std::min(number.find_first_not_of(kDigits, first), number.size()) - first <= 5;
    if (!fits || !Code(*measured, 0x004008EA, kept)) return false;
    kept.Text(0x0040A30A, "DS", number);
    PutItems(set, 0x0040A300, {kept});
    return true;
  }

  const DeidProject& project_;
  int days_;
  DeidImage& image_;
  std::size_t removed_ = 0;
};

}  // namespace

Result<DeidImage> DeidentifyReport(Bytes file, const DeidProject& project) {
  auto parsed = ParseDicom(file);
  if (!parsed) return parsed.error();
  if (parsed->big_endian) return Error{"the file is big-endian, which is not rewritten here", "", "leave it out, or convert it first"};
  const Item& old = parsed->dataset;
  const std::string storage = TextOf(old, 0x00080016), instance = KeyedUid(project, TextOf(old, 0x00080018));
  if (!Among(kReports, storage) || instance.empty()) return Error{"this is no dose report", "", "leave it out"};
  DeidImage made;
  Content content(project, made);
  DataSet set = TreatedSet(old, project, made, {});
  set.Text(0x00080016, "UI", storage);
  set.Text(0x00080018, "UI", instance);
  PutStatement(set, project, true);
  set.Text(0x00080060, "CS", "SR");
  // Which machine it was stays secret, that it is the same one does not: fields and calibration belong to a machine.
  set.Text(0x00080070, "LO", "removed");
  set.Text(0x00081090, "LO", "removed");
  set.Text(0x00181000, "LO", KeyedTag(project, "device", TextOf(old, 0x00181000)));
  set.Text(0x00181020, "LO", "removed");
  for (const Tag empty : {0x00081111U, 0x0040A372U}) PutItems(set, empty, {});
  set.Text(0x0040A040, "CS", "CONTAINER");
  set.Text(0x0040A050, "CS", "SEPARATE");
  set.Text(0x0040A491, "CS", TextOf(old, 0x0040A491) == "COMPLETE" ? "COMPLETE" : "PARTIAL");
  set.Text(0x0040A493, "CS", "UNVERIFIED");
  if (!content.Code(old, 0x0040A043, set)) return Error{"the report does not say what it is", "", "leave it out"};
  DataSet pattern;
  pattern.Text(0x00080105, "CS", "DCMR");
  pattern.Text(0x0040DB00, "CS", "10001");
  PutItems(set, 0x0040A504, {pattern});
  PutItems(set, 0x0040A730, content.Below(old));
  made.file = FilePreamble(storage, kExplicitLittle, instance);
  const FileBytes body = set.Written();
  made.file.insert(made.file.end(), body.begin(), body.end());
  std::ranges::sort(made.removed);
  made.removed.push_back(std::to_string(content.removed()) + " items of its content: texts, names, codes of a station's own, and what stood below them");
  return made;
}

}  // namespace fairlead
