// SPDX-License-Identifier: Apache-2.0
#include "front/server/pair_note.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <utility>
#include <vector>

#include "front/server/json_text.h"

namespace fairlead {
namespace {

constexpr std::size_t kMostParts = 200, kMostPlaces = 500;
constexpr double kWidest = 1e5;  // pixels, and millimetres of a shift

using Place = std::pair<double, double>;
struct Clicks {
  std::string name;
  std::vector<Place> a, b;
};
struct FrameOfNote {
  std::string image;
  int frame = 0;
  std::vector<double> shift;  // none, or x, y, z in mm
};

bool Take(std::string_view& text, std::string_view word) {
  if (!text.starts_with(word)) return false;
  text.remove_prefix(word.size());
  return true;
}
std::string_view Until(std::string_view& text, std::string_view stop) {
  const std::size_t at = std::min(text.find(stop), text.size());
  const std::string_view piece = text.substr(0, at);
  text.remove_prefix(std::min(text.size(), at + stop.size()));
  return piece;
}
template <typename T>
std::optional<T> Figure(std::string_view text) {
  T value{};
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (text.empty() || fault != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return std::abs(static_cast<double>(value)) <= kWidest ? std::optional(value) : std::nullopt;
}

// "A HASH frame 36 shift 1,0,-2 mm"
std::optional<FrameOfNote> FrameIn(std::string_view text, std::string_view side) {
  if (!Take(text, side) || !Take(text, " ")) return std::nullopt;
  FrameOfNote found;
  found.image = Until(text, " ");
  if (found.image.size() != 64 || found.image.find_first_not_of("0123456789abcdef") != std::string::npos || !Take(text, "frame ")) return std::nullopt;
  const auto frame = Figure<int>(Until(text, " "));
  if (!frame || *frame < 1) return std::nullopt;
  found.frame = *frame - 1;
  if (text.empty()) return found;
  if (!Take(text, "shift ")) return std::nullopt;
  const std::string_view shift = Until(text, " ");
  std::string_view rest = shift;
  while (!rest.empty()) {
    const auto each = Figure<double>(Until(rest, ","));
    if (!each) return std::nullopt;
    found.shift.push_back(*each);
  }
  if (found.shift.size() != 3 || shift.ends_with(',') || text != "mm") return std::nullopt;
  return found;
}

// "near cap A 61.9,259.6 B 144.1,260.7": words in small letters and digits, then places by side.
std::optional<Clicks> ClicksIn(std::string_view text) {
  Clicks found;
  std::vector<Place>* into = nullptr;
  std::size_t places = 0;
  while (!text.empty()) {
    const std::string_view word = Until(text, " ");
    if (word == "A") into = &found.a;
    else if (word == "B") into = &found.b;
    else if (into == nullptr) {
      if (word.empty() || word.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789") != std::string_view::npos) return std::nullopt;
      if (!found.name.empty()) found.name += ' ';
      found.name += word;
    } else {
      std::string_view rest = word;
      const auto column = Figure<double>(Until(rest, ",")), row = Figure<double>(rest);
      if (!column || !row || ++places > kMostPlaces) return std::nullopt;
      into->emplace_back(*column, *row);
    }
  }
  if (found.name.empty() || (found.a.empty() && found.b.empty())) return std::nullopt;
  return found;
}

void WriteFrame(JsonText& json, const FrameOfNote& frame) {
  json.Open('{').Member("image", frame.image).Key("frame").Whole(frame.frame);
  if (!frame.shift.empty()) {
    json.Key("shift_mm").Open('[');
    for (const double each : frame.shift) json.Number(each);
    json.Close(']');
  }
  json.Close('}');
}
void WritePlace(JsonText& json, const Place& place) { json.Open('[').Number(place.first).Number(place.second).Close(']'); }
// A point of each side, or a course.
void WriteSides(JsonText& json, const Clicks& clicks, bool course) {
  json.Open('{');
  for (const auto& [side, places] : {std::pair{"a", &clicks.a}, std::pair{"b", &clicks.b}}) {
    if (places->empty()) continue;
    json.Key(side);
    if (!course) {
      WritePlace(json, places->front());
      continue;
    }
    json.Open('[');
    for (const Place& place : *places) WritePlace(json, place);
    json.Close(']');
  }
  json.Close('}');
}

const Clicks* Named(const std::vector<Clicks>& all, std::string_view name) {
  const auto found = std::ranges::find(all, name, &Clicks::name);
  return found == all.end() ? nullptr : &*found;
}

void WriteOcclusion(JsonText& json, const std::vector<Clicks>& all) {
  const Clicks *near = Named(all, "near cap"), *far = Named(all, "far cap");
  if (near == nullptr || far == nullptr) return;
  json.Key("occlusion").Open('{').Key("near_cap");
  WriteSides(json, *near, false);
  json.Key("far_cap");
  WriteSides(json, *far, false);
  for (const auto& [name, member] : {std::pair{"vessel before", "before"}, std::pair{"inside", "course"}, std::pair{"vessel after", "after"}}) {
    if (const Clicks* line = Named(all, name)) {
      json.Key(member);
      WriteSides(json, *line, true);
    }
  }
  json.Close('}');
}

std::string PointsJson(const FrameOfNote& a, const FrameOfNote& b, std::string_view table, const std::vector<Clicks>& all) {
  JsonText json;
  json.Open('{').Key("frames").Open('{').Key("a");
  WriteFrame(json, a);
  json.Key("b");
  WriteFrame(json, b);
  json.Close('}').Member("table", table).Key("marks").Open('[');
  for (const Clicks& clicks : all) {
    if (!clicks.name.starts_with("point ")) continue;
    json.Open('{').Member("name", clicks.name).Key("at");
    WriteSides(json, clicks, false);
    json.Close('}');
  }
  json.Close(']').Key("paths").Open('[');
  for (const auto& [name, kind] : {std::pair{"vessel", "vessel"}, std::pair{"channel", "collateral"}}) {
    if (const Clicks* line = Named(all, name)) {
      json.Open('{').Member("name", name).Member("kind", kind).Key("at");
      WriteSides(json, *line, true);
      json.Close('}');
    }
  }
  json.Close(']');
  WriteOcclusion(json, all);
  return json.Close('}').Take();
}

}  // namespace

std::optional<std::string> PointsOfNote(std::string_view note) {
  constexpr std::string_view kBetween = " | ";
  if (!Take(note, "Two views") || !Take(note, kBetween)) return std::nullopt;
  const auto a = FrameIn(Until(note, kBetween), "A"), b = FrameIn(Until(note, kBetween), "B");
  const std::string_view table = Until(note, kBetween);
  if (!a || !b || (table != "table still" && table != "table unknown")) return std::nullopt;
  std::vector<Clicks> all;
  while (!note.empty()) {
    auto clicks = ClicksIn(Until(note, kBetween));
    if (!clicks || all.size() == kMostParts) return std::nullopt;
    all.push_back(std::move(*clicks));
  }
  return PointsJson(*a, *b, table.substr(6), all);
}

std::optional<std::string> PointsOfFact(const FactStated& fact) {
  const std::vector<ViewOrigin>& views = fact.origin.views;
  // The second of two views measured together says how the table stood; pictures of caps in one view do not.
  if (views.size() != 2 || views[1].table.empty()) return views.empty() ? PointsOfNote(fact.note) : std::nullopt;
  std::vector<Clicks> all;
  for (const ViewOrigin& view : views) {
    for (const NamedPlaces& mark : view.marks) {
      if (mark.points.empty()) continue;
      auto known = std::ranges::find(all, mark.name, &Clicks::name);
      if (known == all.end()) known = all.insert(all.end(), {mark.name, {}, {}});
      for (const PixelPoint& point : mark.points) (&view == views.data() ? known->a : known->b).emplace_back(point.x, point.y);
    }
  }
  return PointsJson({views[0].image, views[0].frame, views[0].shift_mm}, {views[1].image, views[1].frame, views[1].shift_mm}, views[1].table == "still" ? "still" : "unknown", all);
}

}  // namespace fairlead
