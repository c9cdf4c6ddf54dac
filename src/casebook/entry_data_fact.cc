// SPDX-License-Identifier: Apache-2.0
// Kind "fact".
#include <array>
#include <cmath>

#include <nlohmann/json.hpp>

#include "casebook/entry_data.h"
#include "casebook/fact_json.h"

namespace fairlead {
namespace {
using nlohmann::json;

constexpr std::size_t kMostPoints = 2000;
constexpr std::size_t kMostParts = 50;
constexpr int kMostFrames = 100000;

PixelPoint ReadPoint(const json& item, MemberReader& from, const char* list, int index) {
  MemberReader point(item, from, list, index);
  point.Only({"x", "y"});
  return {point.Number("x", -kWidestImage, kWidestImage), point.Number("y", -kWidestImage, kWidestImage)};
}

// [[{x, y}]]
std::vector<std::vector<PixelPoint>> ReadStrokes(MemberReader& from) {
  std::vector<std::vector<PixelPoint>> strokes;
  const json* list = from.List("strokes", kMostPoints, "lists of {x, y}");
  if (list == nullptr) return strokes;
  for (const json& stroke : *list) {
    if (!stroke.is_array() || stroke.size() > kMostPoints) {
      from.Refuse("a stroke is not a list of at most " + std::to_string(kMostPoints) + " points", "strokes", "send lists of {x, y}");
      return strokes;
    }
    strokes.emplace_back();
    for (const json& item : stroke) strokes.back().push_back(ReadPoint(item, from, "strokes", static_cast<int>(strokes.size()) - 1));
  }
  return strokes;
}

constexpr std::size_t kMostViews = 8, kMostMarks = 200;
constexpr double kFarthestTable = 500.0;  // mm, as where it is measured

std::vector<NamedPlaces> ReadMarks(MemberReader& from) {
  std::vector<NamedPlaces> marks;
  const json* list = from.List("marks", kMostMarks, "{name, points}");
  if (list == nullptr) return marks;
  for (const json& item : *list) {
    MemberReader mark(item, from, "marks", static_cast<int>(marks.size()));
    mark.Only({"name", "points"});
    std::string name = mark.Text("name", kLongestName);
    marks.push_back({std::move(name), ReadPoints(mark)});
  }
  return marks;
}

std::vector<double> ReadShift(MemberReader& from) {
  const json* list = from.List("shift_mm", 3, "millimetres: x, y, z");
  if (list == nullptr || list->empty()) return {};
  std::vector<double> shift;
  for (const json& item : *list)
    if (item.is_number() && std::abs(item.get<double>()) <= kFarthestTable) shift.push_back(item.get<double>());
  if (shift.size() != 3 || list->size() != 3) from.Refuse("a shift is three numbers of at most 500 mm", "shift_mm", "send x, y, z in millimetres");
  return shift;
}

// [{image, frame, method, table, shift_mm, marks}]
std::vector<ViewOrigin> ReadViews(MemberReader& from) {
  static constexpr std::array<std::string_view, 3> kTable{"still", "unknown", "moved"};
  std::vector<ViewOrigin> views;
  const json* list = from.List("views", kMostViews, "{image, frame, marks}");
  if (list == nullptr) return views;
  for (const json& item : *list) {
    MemberReader view(item, from, "views", static_cast<int>(views.size()));
    view.Only({"image", "frame", "method", "table", "shift_mm", "marks"});
    ViewOrigin origin;
    origin.image = view.ContentHash("image");
    origin.frame = view.Whole("frame", 0, kMostFrames);
    origin.method = view.Text("method", kLongestLine, false);
    if (const json* table = view.Find("table", false); table != nullptr && *table != json(std::string())) origin.table = view.Word("table", kTable);
    origin.shift_mm = ReadShift(view);
    origin.marks = ReadMarks(view);
    views.push_back(std::move(origin));
  }
  return views;
}

FactOrigin ReadOrigin(const json& object, const MemberReader& outer) {
  MemberReader from(object, outer, "origin");
  from.Only({"image", "frame", "method", "points", "parts", "strokes", "views"});
  FactOrigin origin;
  origin.image = from.ContentHash("image", false);
  origin.frame = from.Whole("frame", -1, kMostFrames, -1);
  origin.method = from.Text("method", kLongestLine, false);
  origin.points = ReadPoints(from);
  origin.parts = ReadParts(from);
  origin.strokes = ReadStrokes(from);
  origin.views = ReadViews(from);
  return origin;
}

void ReadValue(FactStated& stated, MemberReader& from, std::string_view text) {
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
}

}  // namespace

std::vector<PixelPoint> ReadPoints(MemberReader& from) {
  std::vector<PixelPoint> points;
  const json* list = from.List("points", kMostPoints, "{x, y}");
  if (list == nullptr) return points;
  for (const json& item : *list) {
    points.push_back(ReadPoint(item, from, "points", static_cast<int>(points.size())));
  }
  return points;
}

std::vector<NamedPart> ReadParts(MemberReader& from) {
  std::vector<NamedPart> parts;
  const json* list = from.List("parts", kMostParts, "{name, sd}");
  if (list == nullptr) return parts;
  for (const json& item : *list) {
    MemberReader part(item, from, "parts", static_cast<int>(parts.size()));
    part.Only({"name", "sd"});
    std::string name = part.Text("name", kLongestLine);
    parts.push_back({std::move(name), part.Number("sd", 0.0, 1e9)});
  }
  return parts;
}

EntryData ReadFact(MemberReader& from, std::string_view text) {
  from.Only({"fact", "of", "value", "mark", "origin", "note"});
  FactStated stated;
  stated.key = {from.Text("fact", kLongestName), from.Text("of", kLongestName, false)};
  stated.note = from.Text("note", kLongestText, false);
  const std::string mark = from.Text("mark", kLongestName);
  if (mark == "read") stated.mark = Mark::kRead;
  else if (mark == "measured") stated.mark = Mark::kMeasured;
  else if (mark != "stated") from.Refuse("there is no mark " + Quoted(mark), "mark", "use \"stated\", \"read\" or \"measured\"");
  if (const json* origin = from.Find("origin", false); origin != nullptr && !origin->is_null()) stated.origin = ReadOrigin(*origin, from);
  if (from.Find("value", true) != nullptr && !from.Faulted()) ReadValue(stated, from, text);
  return stated;
}

}  // namespace fairlead
