// SPDX-License-Identifier: Apache-2.0
#include "casebook/entry_json.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <numeric>
#include <optional>
#include <set>
#include <utility>

#include <nlohmann/json.hpp>

#include "casebook/fact_json.h"
#include "casebook/lift.h"

namespace fairlead {
namespace {
using nlohmann::json;

// Chosen: far above what people write, far below what would trouble a screen.
constexpr std::size_t kLongestName = 64;
constexpr std::size_t kLongestLine = 400;
constexpr std::size_t kLongestText = 32 * 1024;
constexpr std::size_t kMostPoints = 2000;
constexpr std::size_t kMostParts = 50;
constexpr int kMostFrames = 100000;
constexpr int kWidestImage = 65535;        // DICOM PS3.3 C.7.6.3: Rows and Columns are 16 bit unsigned
constexpr double kLargestPixel_mm = 10.0;  // chosen: no X-ray or ultrasound pixel comes near it

struct KindRow {
  std::string_view name;
  int version;
};
constexpr KindRow kKinds[] = {{"case", 1},  {"fact", 1},     {"image", 1}, {"calibration", 1},
                              {"note", 1},  {"withdraw", 1}, {"shown", 1}};

// Levenshtein distance; the words are short.
std::size_t Distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 0; i < a.size(); ++i) {
    std::size_t diagonal = std::exchange(row[0], i + 1);
    for (std::size_t j = 0; j < b.size(); ++j) {
      const std::size_t changed = diagonal + (a[i] == b[j] ? 0 : 1);
      diagonal = row[j + 1];
      row[j + 1] = std::min({changed, row[j] + 1, row[j + 1] + 1});
    }
  }
  return row.back();
}

using Words = std::initializer_list<std::string_view>;

std::string Nearest(std::string_view word, const Words& known) {
  word = word.substr(0, kLongestName);
  const auto* best = std::min_element(known.begin(), known.end(), [word](std::string_view a, std::string_view b) {
    return Distance(word, a) < Distance(word, b);
  });
  return std::string(*best);
}

std::string Quoted(std::string_view text) { return '"' + std::string(text.substr(0, kLongestName)) + '"'; }

// Reads members of one object. The first fault is kept and everything after it is skipped, so that the reading code is
// a plain list of members.
class Reader {
 public:
  Reader(const json& object, const char* where, std::optional<Error>& fault) : Reader(object, nullptr, where, -1, fault) {}
  // A member of `outer`, or the item `index` of a list there.
  Reader(const json& object, const Reader* outer, const char* name, int index, std::optional<Error>& fault)
      : object_(object), outer_(outer), name_(name), index_(index), fault_(fault) {
    if (!object_.is_object()) Refuse("this is not an object", "", "send an object in braces");
  }

  void Only(const Words& known) {
    if (!object_.is_object()) return;
    for (const auto& [name, value] : object_.items()) {
      if (std::find(known.begin(), known.end(), name) == known.end())
        Refuse("there is no member " + Quoted(name), "", "did you mean " + Quoted(Nearest(name, known)) + "?");
    }
  }
  const json* Find(const char* name, bool needed) {
    if (!object_.is_object()) return nullptr;
    const auto found = object_.find(name);
    if (found != object_.end()) return &*found;
    if (needed) Refuse("the member " + Quoted(name) + " is missing", "", "add it");
    return nullptr;
  }
  std::string Text(const char* name, std::size_t longest, bool needed = true) {
    const json* value = Find(name, needed);
    if (value == nullptr) return {};
    if (!value->is_string()) return Refuse("this is not text", name, "write it in quotes"), std::string();
    const auto& text = value->get_ref<const std::string&>();
    if (text.size() > longest)
      Refuse("the text is longer than " + std::to_string(longest) + " bytes", name, "shorten it");
    if (needed && text.empty()) Refuse("the text is empty", name, "fill it in");
    return text;
  }
  double Number(const char* name, double low, double high) {
    const json* value = Find(name, true);
    if (value == nullptr) return 0.0;
    const double number = value->is_number() ? value->get<double>() : std::nan("");
    if (!(number >= low && number <= high)) Refuse("this is not a number from " + Shown(low) + " to " + Shown(high), name, "correct it");
    return number;
  }
  int Whole(const char* name, int low, int high, std::optional<int> otherwise = std::nullopt) {
    const json* value = Find(name, !otherwise);
    if (value == nullptr) return otherwise.value_or(0);
    const bool whole = value->is_number_integer() && (!value->is_number_unsigned() || value->get<std::uint64_t>() <= static_cast<std::uint64_t>(kWidestImage) * 2);
    const std::int64_t number = whole ? value->get<std::int64_t>() : std::int64_t{low} - 1;
    if (number < low || number > high) {
      Refuse("this is not a whole number from " + std::to_string(low) + " to " + std::to_string(high), name, "correct it");
      return low;
    }
    return static_cast<int>(number);
  }
  bool Flag(const char* name) {
    const json* value = Find(name, false);
    if (value == nullptr) return false;
    if (!value->is_boolean()) return Refuse("this is neither true nor false", name, "correct it"), false;
    return value->get<bool>();
  }
  Instant Time(const char* name) {
    const json* value = Find(name, true);
    if (value == nullptr) return {};
    if (!value->is_string()) return Refuse("this is not a time", name, "write it as \"2026-11-25T09:41:07Z\""), Instant{};
    const auto time = ParseIso(value->get_ref<const std::string&>());
    if (!time) return Refuse(time.error().what, name, time.error().to_do), Instant{};
    return *time;
  }
  // A SHA-256 in small hexadecimal digits.
  std::string ContentHash(const char* name, bool needed = true) {
    std::string text = Text(name, kLongestLine, needed);
    const bool hex = text.size() == 64 && text.find_first_not_of("0123456789abcdef") == std::string::npos;
    if (!hex && (needed || !text.empty())) Refuse("this is not a SHA-256 of 64 small hexadecimal digits", name, "send the image's hash as the engine gave it");
    return text;
  }
  // Put together only when something is wrong: thousands of entries are read without a fault.
  std::string Where() const {
    std::string where = outer_ == nullptr ? name_ : outer_->At(name_);
    return index_ < 0 ? where : where + "[" + std::to_string(index_) + "]";
  }
  std::string At(const char* name) const { return Where() + "." + name; }
  void Refuse(std::string what, const char* member, std::string to_do) {
    if (!fault_) fault_ = Error{std::move(what), *member == '\0' ? Where() : At(member), std::move(to_do)};
  }
  void Refuse(Error error) {
    if (!fault_) fault_ = std::move(error);
  }

 private:
  static std::string Shown(double v) { return json(v).dump(); }
  const json& object_;
  const Reader* outer_;
  const char* name_;
  int index_;
  std::optional<Error>& fault_;
};

std::vector<PixelPoint> ReadPoints(Reader& from, std::optional<Error>& fault) {
  std::vector<PixelPoint> points;
  const json* list = from.Find("points", false);
  if (list == nullptr) return points;
  if (!list->is_array() || list->size() > kMostPoints)
    return from.Refuse("this is not a list of at most " + std::to_string(kMostPoints) + " points", "points", "send a list of {x, y}"), points;
  for (const json& item : *list) {
    Reader point(item, &from, "points", static_cast<int>(points.size()), fault);
    point.Only({"x", "y"});
    points.push_back({point.Number("x", -kWidestImage, kWidestImage), point.Number("y", -kWidestImage, kWidestImage)});
  }
  return points;
}

std::vector<NamedPart> ReadParts(Reader& from, std::optional<Error>& fault) {
  std::vector<NamedPart> parts;
  const json* list = from.Find("parts", false);
  if (list == nullptr) return parts;
  if (!list->is_array() || list->size() > kMostParts)
    return from.Refuse("this is not a list of at most " + std::to_string(kMostParts) + " parts", "parts", "send a list of {name, sd}"), parts;
  for (const json& item : *list) {
    Reader part(item, &from, "parts", static_cast<int>(parts.size()), fault);
    part.Only({"name", "sd"});
    std::string name = part.Text("name", kLongestLine);
    parts.push_back({std::move(name), part.Number("sd", 0.0, 1e9)});
  }
  return parts;
}

FactOrigin ReadOrigin(const json& object, const Reader& outer, std::optional<Error>& fault) {
  Reader from(object, &outer, "origin", -1, fault);
  from.Only({"image", "frame", "method", "points", "parts"});
  FactOrigin origin;
  origin.image = from.ContentHash("image", false);
  origin.frame = from.Whole("frame", -1, kMostFrames, -1);
  origin.method = from.Text("method", kLongestLine, false);
  origin.points = ReadPoints(from, fault);
  origin.parts = ReadParts(from, fault);
  return origin;
}

std::size_t AfterString(std::string_view text, std::size_t at) {  // `at` on the opening quote
  for (++at; text[at] != '"'; ++at) at += text[at] == '\\' ? 1 : 0;
  return at + 1;
}

// The bytes of one member of the outermost object of valid JSON; empty if it is not there under this plain spelling.
std::string_view RawMember(std::string_view text, std::string_view quoted_name) {
  const auto skip_space = [text](std::size_t at) { return text.find_first_not_of(" \t\r\n", at); };
  std::size_t at = skip_space(skip_space(0) + 1);
  while (at < text.size() && text[at] == '"') {
    const std::size_t name_end = AfterString(text, at);
    const bool wanted = text.substr(at, name_end - at) == quoted_name;
    const std::size_t begin = skip_space(skip_space(name_end) + 1);
    std::size_t end = begin;
    for (int depth = 0; depth > 0 || (text[end] != ',' && text[end] != '}'); ) {
      const char c = text[end];
      if (c == '{' || c == '[') ++depth;
      if (c == '}' || c == ']') --depth;
      end = c == '"' ? AfterString(text, end) : end + 1;
    }
    if (wanted) return text.substr(begin, text.find_last_not_of(" \t\r\n", end - 1) + 1 - begin);
    at = text[end] == ',' ? skip_space(end + 1) : text.size();
  }
  return {};
}

FactStated ReadFact(Reader& from, std::string_view text, std::optional<Error>& fault) {
  from.Only({"fact", "of", "value", "mark", "origin", "note"});
  FactStated stated;
  stated.key = {from.Text("fact", kLongestName), from.Text("of", kLongestName, false)};
  stated.note = from.Text("note", kLongestText, false);
  const std::string mark = from.Text("mark", kLongestName);
  if (mark == "read") stated.mark = Mark::kRead;
  else if (mark == "measured") stated.mark = Mark::kMeasured;
  else if (mark != "stated") from.Refuse("there is no mark " + Quoted(mark), "mark", "use \"stated\", \"read\" or \"measured\"");
  if (const json* origin = from.Find("origin", false); origin != nullptr && !origin->is_null()) stated.origin = ReadOrigin(*origin, from, fault);
  const json* value = from.Find("value", true);
  if (fault || value == nullptr) return stated;
  const FactRow* row = FindFact(stated.key.name);
  if (row == nullptr) {
    from.Refuse("there is no fact " + Quoted(stated.key.name), "fact", "did you mean " + Quoted(NearestFact(stated.key.name)) + "?");
  } else if (!row->per_channel && !stated.key.of.empty()) {
    from.Refuse(Quoted(stated.key.name) + " is a fact of the case, not of a channel", "of", "leave \"of\" out");
  } else if (const std::string_view raw = RawMember(text, "\"value\""); raw.empty()) {
    from.Refuse("the name of \"value\" is written with escapes", "", "write it plainly");
  } else if (auto belief = ParseBelief(*row, raw); belief) {
    stated.belief = std::move(*belief);
  } else {
    from.Refuse(Within(from.At("value"), belief.error()));
  }
  return stated;
}

ImageAdded ReadImage(Reader& from) {
  from.Only({"hash", "label", "frames", "rows", "columns", "modality"});
  return {from.ContentHash("hash"), from.Text("label", kLongestLine), from.Whole("frames", 0, kMostFrames),
          from.Whole("rows", 0, kWidestImage), from.Whole("columns", 0, kWidestImage), from.Text("modality", 16)};
}

PixelSizeSet ReadCalibration(Reader& from, std::optional<Error>& fault) {
  from.Only({"image", "mm_per_px", "sd_mm_per_px", "method", "frame", "points"});
  PixelSizeSet set;
  set.image = from.ContentHash("image");
  set.mm_per_px = from.Number("mm_per_px", 0.0, kLargestPixel_mm);
  if (!(set.mm_per_px > 0.0)) from.Refuse("a pixel has a size above 0", "mm_per_px", "calibrate again");
  set.sd_mm_per_px = from.Number("sd_mm_per_px", 0.0, kLargestPixel_mm);
  set.method = from.Text("method", kLongestLine);
  set.frame = from.Whole("frame", -1, kMostFrames, -1);
  set.points = ReadPoints(from, fault);
  return set;
}

CaseOpened ReadCase(Reader& from) {
  from.Only({"title", "room", "invented"});
  CaseOpened opened{from.Text("title", kLongestLine), from.Text("room", kLongestName, false), from.Flag("invented")};
  if (opened.title.find('\n') != std::string::npos) from.Refuse("a title is one line", "title", "write it without line breaks");
  return opened;
}

EntryData ReadData(std::string_view kind, std::string_view text, const json& object, std::optional<Error>& fault) {
  Reader from(object, "entry.data", fault);
  if (kind == "fact") return ReadFact(from, text, fault);
  if (kind == "image") return ReadImage(from);
  if (kind == "calibration") return ReadCalibration(from, fault);
  if (kind == "case") return ReadCase(from);
  if (kind == "note") {
    from.Only({"text"});
    return NoteWritten{from.Text("text", kLongestText)};
  }
  if (kind == "withdraw") {
    from.Only({"reason"});
    return Withdrawn{from.Text("reason", kLongestText)};
  }
  from.Only({"at_step", "text"});
  return Shown{from.Text("at_step", kLongestName), from.Text("text", kLongestText)};
}

// JSON with bounded size and depth and no member twice (a reader that takes the first and one that takes the last of
// two would see different entries under one hash).
Result<json> ParseStrictly(std::string_view text) {
  const auto refuse = [](std::string what, std::string to_do) { return Error{std::move(what), "entry", std::move(to_do)}; };
  if (text.size() > kLongestEntry) return refuse("the entry is longer than 64 KiB", "shorten it");
  std::vector<std::set<std::string>> names;
  bool twice = false;
  int deepest = 0;
  const auto watch = [&](int depth, json::parse_event_t event, json& parsed) {
    deepest = std::max(deepest, depth + 1);
    if (event == json::parse_event_t::object_start) names.emplace_back();
    if (event == json::parse_event_t::object_end) names.pop_back();
    if (event == json::parse_event_t::key) twice |= !names.back().insert(parsed.get<std::string>()).second;
    return true;
  };
  json parsed = json::parse(text.begin(), text.end(), watch, false);
  if (parsed.is_discarded()) return refuse("this is not JSON", "send one JSON object");
  if (deepest > kDeepestEntry + 1) return refuse("lists and objects are nested deeper than 16", "send a flatter entry");
  if (twice) return refuse("a member is given twice", "give each member once");
  return parsed;
}

Error UnknownKind(std::string_view kind) {
  return {"there is no kind of entry " + Quoted(kind), "entry.kind",
          "did you mean " + Quoted(Nearest(kind, {"case", "fact", "image", "calibration", "note", "withdraw", "shown"})) + "?"};
}

}  // namespace

int PresentVersion(std::string_view kind) {
  for (const KindRow& row : kKinds)
    if (row.name == kind) return row.version;
  return 0;
}

Result<EntryData> ParseEntryData(std::string_view kind, int version, std::string_view text) {
  const int present = PresentVersion(kind);
  if (present == 0) return UnknownKind(kind);
  if (version > present || version < OldestVersion(kind))
    return Error{"version " + std::to_string(version) + " of kind " + Quoted(kind) + " is not known here", "entry.v",
                 "write version " + std::to_string(present) + ", or use the program that wrote it"};
  std::string lifted;
  for (; version < present; ++version) {
    auto next = LiftEntryData(kind, version, text);
    if (!next) return next.error();
    lifted = std::move(*next);
    text = lifted;
  }
  const json parsed = json::parse(text.begin(), text.end(), nullptr, false);
  if (parsed.is_discarded()) return Error{"this is not JSON", "entry.data", "send one JSON object"};
  std::optional<Error> fault;
  EntryData data = ReadData(kind, text, parsed, fault);
  if (fault) return *std::move(fault);
  return data;
}

EntryData ReadEntryData(std::string_view kind, int version, std::string_view text) {
  auto data = ParseEntryData(kind, version, text);
  if (data) return std::move(*data);
  return NotUnderstood{Sentence(data.error())};
}

Result<IncomingEntry> ParseEntry(std::string_view text) {
  auto parsed = ParseStrictly(text);
  if (!parsed) return parsed.error();
  std::optional<Error> fault;
  Reader from(*parsed, "entry", fault);
  from.Only({"v", "id", "at", "written", "by", "device", "kind", "data", "amends"});
  IncomingEntry incoming;
  Entry& entry = incoming.entry;
  entry.v = from.Whole("v", 0, kWidestImage);
  entry.id = from.Text("id", kLongestName);
  entry.at = from.Time("at");
  entry.written = from.Time("written");
  entry.by = from.Text("by", kLongestName);
  entry.device = from.Text("device", kLongestName);
  entry.kind = from.Text("kind", kLongestName);
  entry.amends = from.Text("amends", kLongestName, false);
  from.Find("data", true);
  if (!fault && !IsUlid(entry.id)) from.Refuse("this is not a ULID", "id", "make one of 26 capital letters and digits");
  if (!fault && !entry.amends.empty() && !IsUlid(entry.amends)) from.Refuse("this is not a ULID", "amends", "name the entry by its id");
  if (!fault && entry.amends == entry.id) from.Refuse("an entry cannot amend itself", "amends", "name the original entry");
  if (!fault && entry.kind == "withdraw" && entry.amends.empty()) from.Refuse("a withdrawal names no entry", "amends", "name the entry that no longer counts");
  if (fault) return *std::move(fault);
  incoming.data = RawMember(text, "\"data\"");
  if (incoming.data.empty()) return Error{"the name of \"data\" is written with escapes", "entry", "write it plainly"};
  auto data = ParseEntryData(entry.kind, entry.v, incoming.data);
  if (!data) return data.error();
  entry.data = std::move(*data);
  return incoming;
}

}  // namespace fairlead
