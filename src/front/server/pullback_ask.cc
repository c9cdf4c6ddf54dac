// SPDX-License-Identifier: Apache-2.0
#include "front/server/pullback_ask.h"

#include <array>
#include <cmath>
#include <utility>

#include "front/server/json_text.h"
#include "front/server/pair_members.h"
#include "front/server/spaces_json.h"

namespace fairlead {
namespace {

using points::Bad, points::Figure, points::Find, points::Known, points::Word;

constexpr std::size_t kMostMarks = 1000;

Result<double> Needed(const JsonMembers& members, std::string_view name) {
  auto value = Figure(members, name);
  if (!value.ok()) return value.error();
  if (!*value) return Bad("a member is missing", std::string(name));
  return **value;
}

Result<int> FrameIn(const JsonMembers& members) {
  auto frame = Needed(members, "frame");
  if (!frame.ok()) return frame.error();
  if (*frame < 0.0 || *frame > 1e6 || *frame != std::floor(*frame)) return Bad("a frame is a whole number, counted from 0", "frame");
  return static_cast<int>(*frame);
}

// One of two words.
Result<bool> IsSecond(const JsonMembers& members, std::string_view name, std::string_view first, std::string_view second) {
  auto word = Word(members, name);
  if (!word.ok()) return word.error();
  if (*word == first || *word == second) return *word == second;
  return Bad("this is neither \"" + std::string(first) + "\" nor \"" + std::string(second) + "\"", std::string(name));
}

struct HandPoint {
  std::string border;  // "lumen", "media" or "stent"
  int frame = 0;
  double angle_deg = 0.0, distance_mm = 0.0;
};

Result<HandPoint> CorrectionFrom(std::string_view json) {
  constexpr std::array<std::string_view, 4> kMembers = {"border", "frame", "angle_deg", "distance_mm"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  auto border = Word(*members, "border");
  if (!border.ok()) return border.error();
  if (*border != "lumen" && *border != "media" && *border != "stent") return Bad("this is none of \"lumen\", \"media\" and \"stent\"", "border");
  auto frame = FrameIn(*members);
  if (!frame.ok()) return frame.error();
  auto angle = Needed(*members, "angle_deg");
  if (!angle.ok()) return angle.error();
  auto distance = Needed(*members, "distance_mm");
  if (!distance.ok()) return distance.error();
  return HandPoint{*border, *frame, *angle, *distance};
}

Result<PlacePair> PairFrom(std::string_view json) {
  constexpr std::array<std::string_view, 3> kMembers = {"frame", "along_mm", "name"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  auto frame = FrameIn(*members);
  if (!frame.ok()) return frame.error();
  auto along = Needed(*members, "along_mm");
  if (!along.ok()) return along.error();
  PlacePair pair{*frame, *along, {}};
  if (Find(*members, "name") != nullptr) {
    auto name = Word(*members, "name");
    if (!name.ok()) return name.error();
    pair.name = *name;
  }
  return pair;
}

Result<WireClick> ClickFrom(std::string_view json) {
  constexpr std::array<std::string_view, 3> kMembers = {"wire", "frame", "angle_deg"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  auto second = IsSecond(*members, "wire", "catheter", "second");
  if (!second.ok()) return second.error();
  auto frame = FrameIn(*members);
  if (!frame.ok()) return frame.error();
  auto angle = Needed(*members, "angle_deg");
  if (!angle.ok()) return angle.error();
  return WireClick{*frame, *angle, *second};
}

template <class Mark>
Status TakeList(const JsonMembers& members, std::string_view name, Result<Mark> (*from)(std::string_view), std::vector<Mark>& into) {
  const auto* value = Find(members, name);
  if (value == nullptr) return Done{};
  auto elements = ElementsOf(*value);
  if (!elements.ok()) return Within(name, elements.error());
  if (elements->size() > kMostMarks) return Bad("there are more than 1000 marks", std::string(name), "leave some out");
  for (const auto element : *elements) {
    auto mark = from(element);
    if (!mark.ok()) return Within(name, mark.error());
    into.push_back(*mark);
  }
  return Done{};
}

Status TakeSize(const JsonMembers& members, std::string_view name, std::optional<double>& into) {
  auto value = Figure(members, name);
  if (!value.ok()) return value.error();
  if (*value && !(**value > 0.0 && **value <= 100.0)) return Bad("this is no size above 0", std::string(name));
  into = *value;
  return Done{};
}

Status TakeSpace(const JsonMembers& members, std::string_view name, std::optional<SpaceOdds>& into) {
  if (Find(members, name) == nullptr) return Done{};
  auto word = Word(members, name);
  if (!word.ok()) return word.error();
  auto odds = ParseSpace(*word);
  if (!odds.ok()) return Within(name, odds.error());
  into = *odds;
  return Done{};
}

void WritePair(JsonText& json, const PlacePair& pair) {
  json.Open('{').Member("frame", pair.frame).Member("along_mm", pair.along_mm);
  if (!pair.name.empty()) json.Member("name", pair.name);
  json.Close('}');
}

}  // namespace

Result<PullbackAsk> ParsePullbackAsk(std::string_view json, bool with_image) {
  constexpr std::array<std::string_view, 12> kMembers = {"image", "pixel_mm", "speed_mm_s", "near", "far", "corrections", "wires", "borders", "after", "pairs", "vessel", "frame"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  PullbackAsk ask;
  if (with_image) {
    auto image = Word(*members, "image");
    if (!image.ok()) return image.error();
    ask.image = *image;
  }
  if (Status taken = TakeSize(*members, "pixel_mm", ask.pixel_mm); !taken) return taken.error();
  if (Status taken = TakeSize(*members, "speed_mm_s", ask.speed_mm_s); !taken) return taken.error();
  if (Status taken = TakeSpace(*members, "near", ask.near_wire); !taken) return taken.error();
  if (Status taken = TakeSpace(*members, "far", ask.far_wire); !taken) return taken.error();
  std::vector<HandPoint> points;
  if (Status taken = TakeList(*members, "corrections", CorrectionFrom, points); !taken) return taken.error();
  for (const HandPoint& point : points) {
    if (point.border == "stent") ask.stent_points.push_back({point.frame, point.angle_deg, point.distance_mm});
    else ask.corrections.push_back({point.frame, point.angle_deg, point.distance_mm, point.border == "media"});
  }
  if (Status taken = TakeList(*members, "wires", ClickFrom, ask.clicks); !taken) return taken.error();
  if (const auto* borders = Find(*members, "borders")) {
    if (*borders != "true" && *borders != "false") return Bad("this is neither true nor false", "borders");
    ask.borders = *borders == "true";
  }
  if (Status taken = TakeList(*members, "pairs", PairFrom, ask.pairs); !taken) return taken.error();
  if (Find(*members, "vessel") != nullptr) {
    auto vessel = Word(*members, "vessel");
    if (!vessel.ok()) return vessel.error();
    ask.vessel = *vessel;
  }
  if (Find(*members, "frame") != nullptr) {
    auto frame = FrameIn(*members);
    if (!frame.ok()) return frame.error();
    ask.frame = *frame;
  }
  auto after = Figure(*members, "after");
  if (!after.ok()) return after.error();
  if (*after) {
    if (**after < 0.0 || **after > 9e15 || **after != std::floor(**after)) return Bad("this is no reading's number", "after");
    ask.after = static_cast<std::int64_t>(**after);
  }
  return ask;
}

std::string PullbackMarksJson(const PullbackAsk& marks) {
  JsonText json;
  json.Open('{').Key("pixel_mm");
  marks.pixel_mm ? json.Number(*marks.pixel_mm) : json.Null();
  json.Key("speed_mm_s");
  marks.speed_mm_s ? json.Number(*marks.speed_mm_s) : json.Null();
  json.Key("corrections").Open('[');
  for (const BorderPoint& point : marks.corrections) {
    json.Open('{').Member("border", point.media ? "media" : "lumen").Member("frame", point.frame);
    json.Member("angle_deg", point.angle_deg).Member("distance_mm", point.distance_mm).Close('}');
  }
  for (const StentPoint& point : marks.stent_points) {
    json.Open('{').Member("border", "stent").Member("frame", point.frame).Member("angle_deg", point.angle_deg).Member("distance_mm", point.distance_mm).Close('}');
  }
  json.Close(']').Key("wires").Open('[');
  for (const WireClick& click : marks.clicks) {
    json.Open('{').Member("wire", click.second ? "second" : "catheter").Member("frame", click.frame).Member("angle_deg", click.angle_deg).Close('}');
  }
  json.Close(']').Key("pairs").Open('[');
  for (const PlacePair& pair : marks.pairs) WritePair(json, pair);
  json.Close(']').Key("vessel");
  marks.vessel.empty() ? json.Null() : json.Text(marks.vessel);
  json.Close('}');
  return json.Take();
}

Result<AlignQuestion> ParsePullbackAlign(std::string_view json) {
  constexpr std::array<std::string_view, 5> kMembers = {"frames", "mm_per_frame", "vessel_mm", "pairs", "grows"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  AlignQuestion question;
  auto frames = Needed(*members, "frames");
  if (!frames.ok()) return frames.error();
  if (*frames < 1.0 || *frames > 1e5 || *frames != std::floor(*frames)) return Bad("this is no number of frames", "frames", "give 1 to 100000");
  question.frames = static_cast<int>(*frames);
  if (Status taken = TakeSize(*members, "mm_per_frame", question.mm_per_frame); !taken) return taken.error();
  auto vessel = Needed(*members, "vessel_mm");
  if (!vessel.ok()) return vessel.error();
  if (!(*vessel > 0.0 && *vessel <= 1000.0)) return Bad("this is no length of a vessel", "vessel_mm", "give millimetres above 0");
  question.vessel_mm = *vessel;
  if (Status taken = TakeList(*members, "pairs", PairFrom, question.pairs); !taken) return taken.error();
  if (const auto* grows = Find(*members, "grows")) {
    if (*grows != "true" && *grows != "false") return Bad("this is neither true nor false", "grows");
    question.grows = *grows == "true";
  }
  return question;
}

std::string PullbackAlignJson(const Alignment& alignment) {
  JsonText json;
  json.Open('{').Key("pairs").Open('[');
  for (const PlacePair& pair : alignment.pairs) WritePair(json, pair);
  json.Close(']').Key("places").Open('[');
  for (const AlignedPlace& place : alignment.places) {
    json.Open('{').Member("along_mm", std::round(place.along_mm * 1e3) / 1e3).Member("sd_mm", std::round(place.sd_mm * 1e3) / 1e3).Member("beyond", place.beyond).Close('}');
  }
  json.Close(']').Key("remarks").Open('[');
  for (const std::string& remark : alignment.remarks) json.Text(remark);
  json.Close(']').Close('}');
  return json.Take();
}

Result<PullbackMarksBody> ParsePullbackMarks(std::string_view json) {
  constexpr std::array<std::string_view, 3> kMembers = {"after", "by", "marks"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  PullbackMarksBody body;
  auto after = Needed(*members, "after");
  if (!after.ok()) return after.error();
  if (*after < 0.0 || *after > 1e9 || *after != std::floor(*after)) return Bad("this is no version of the marks", "after", "send the version that yours rest on, 0 for the first");
  body.after = static_cast<int>(*after);
  auto by = Word(*members, "by");
  if (!by.ok()) return by.error();
  body.by = *by;
  const auto* marks = Find(*members, "marks");
  if (marks == nullptr) return Bad("a member is missing", "marks");
  auto parsed = ParsePullbackAsk(*marks, false);
  if (!parsed.ok()) return Within("marks", parsed.error());
  body.marks = std::move(*parsed);
  return body;
}

}  // namespace fairlead
