// SPDX-License-Identifier: Apache-2.0
#include "front/server/body.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <nlohmann/json.hpp>
#include <span>

#include "casebook/json_depth.h"
#include "front/server/body_parts.h"

namespace fairlead {
namespace {

using Json = nlohmann::json;
constexpr int kDeepest = 32;  // chosen

// Walks over JSON that is known to be well formed.
class Walk {
 public:
  explicit Walk(std::string_view text) : text_(text) { Blank(); }

  bool At(char c) const { return at_ < text_.size() && text_[at_] == c; }
  void Step() {
    ++at_;
    Blank();
  }
  std::string_view Value() {
    const std::size_t start = at_;
    if (At('"')) {
      String();
    } else if (At('{') || At('[')) {
      Nested();
    } else {
      while (at_ < text_.size() && std::string_view(",]} \t\r\n").find(text_[at_]) == std::string_view::npos) ++at_;
    }
    const std::string_view value = text_.substr(start, at_ - start);
    Blank();
    return value;
  }

 private:
  void Blank() {
    while (at_ < text_.size() && std::string_view(" \t\r\n").find(text_[at_]) != std::string_view::npos) ++at_;
  }
  void String() {
    for (++at_; !At('"'); ++at_) {
      if (At('\\')) ++at_;
    }
    ++at_;
  }
  void Nested() {
    int depth = 0;
    do {
      if (At('"')) {
        String();
        continue;
      }
      if (At('{') || At('[')) ++depth;
      if (At('}') || At(']')) --depth;
      ++at_;
    } while (depth > 0);
  }
  std::string_view text_;
  std::size_t at_ = 0;
};

std::string TextOf(std::string_view json) { return Json::parse(json).get<std::string>(); }

}  // namespace

Result<JsonMembers> MembersOf(std::string_view object) {
  if (NestsDeeper(object, kDeepest)) return Bad("the JSON is nested deeper than 32", "", "take out what encloses the rest");
  if (!Json::accept(object)) return Bad("this is not JSON", "", "check commas, quotes and brackets");
  Walk walk(object);
  if (!walk.At('{')) return Bad("a JSON object is expected here", "", "put the members in braces: {\"name\": value}");
  JsonMembers members;
  walk.Step();
  while (!walk.At('}')) {
    std::string name = TextOf(walk.Value());
    walk.Step();  // ':'
    if (Find(members, name) != nullptr) return Bad("this member is given twice", "\"" + name.substr(0, 64) + "\"", "give it once");
    members.emplace_back(std::move(name), walk.Value());
    if (walk.At(',')) walk.Step();
  }
  return members;
}

Result<std::vector<std::string_view>> ElementsOf(std::string_view list) {
  if (NestsDeeper(list, kDeepest)) return Bad("the JSON is nested deeper than 32", "", "take out what encloses the rest");
  if (!Json::accept(list)) return Bad("this is not JSON", "", "check commas, quotes and brackets");
  Walk walk(list);
  if (!walk.At('[')) return Bad("a JSON list is expected here", "", "put the items in brackets: [item, item]");
  std::vector<std::string_view> elements;
  walk.Step();
  while (!walk.At(']')) {
    elements.push_back(walk.Value());
    if (walk.At(',')) walk.Step();
  }
  return elements;
}

Result<std::string> ParseText(std::string_view json) {
  const Json value = Json::parse(json, nullptr, false);
  if (!value.is_string()) return Bad("a text in quotes is expected here", "", "put it in double quotes");
  return value.get<std::string>();
}

Result<double> ParseNumber(std::string_view json) {
  const Json value = Json::parse(json, nullptr, false);
  if (!value.is_number() || !std::isfinite(value.get<double>())) return Bad("a number is expected here", "", "give digits without quotes");
  return value.get<double>();
}

Error ParseErrorAnswer(int status, std::string_view json) {
  const Fault fault = status >= 500 ? Fault::kOutside : Fault::kInput;
  const Json answer = Json::parse(json, nullptr, false);
  if (!answer.is_object() || !answer.contains("error") || !answer["error"].is_object()) {
    return {"the running program refused with status " + std::to_string(status), "", "", fault};
  }
  const auto part = [&](const char* name) {
    const Json& error = answer["error"];
    return error.contains(name) && error[name].is_string() ? error[name].get<std::string>() : std::string();
  };
  return {part("what"), part("where"), part("to_do"), fault};
}

Result<NewCaseBody> ParseNewCase(std::string_view json) {
  static constexpr std::array<std::string_view, 2> kMembers = {"title", "room"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  auto title = Word(*members, "title", true);
  if (!title.ok()) return title.error();
  auto room = Word(*members, "room", false);
  if (!room.ok()) return room.error();
  if (title->find_first_not_of(' ') == std::string::npos) {
    return Bad("a case needs a title", "title", "describe the occlusion, without a name");
  }
  return NewCaseBody{std::move(*title), std::move(*room)};
}

Result<LogInBody> ParseLogIn(std::string_view json) {
  static constexpr std::array<std::string_view, 2> kMembers = {"name", "password"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  auto name = Word(*members, "name", true);
  if (!name.ok()) return name.error();
  auto password = Word(*members, "password", true);
  if (!password.ok()) return password.error();
  return LogInBody{std::move(*name), std::move(*password)};
}

Result<std::vector<std::string_view>> ParseEntriesBody(std::string_view json) {
  static constexpr std::array<std::string_view, 1> kMembers = {"entries"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  const auto* list = Find(*members, "entries");
  if (list == nullptr) return Bad("a member is missing", "entries", "give a list of entries");
  auto entries = ElementsOf(*list);
  if (!entries.ok()) return Within("entries", entries.error());
  if (entries->empty()) return Bad("there is no entry to write", "entries", "give at least one");
  if (entries->size() > 1000) return Bad("there are more than 1000 entries", "entries", "send less at a time");
  return entries;
}

Result<AssessBody> ParseAssess(std::string_view json) {
  static constexpr std::array<std::string_view, 2> kMembers = {"case", "facts"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  auto case_id = Word(*members, "case", false);
  if (!case_id.ok()) return case_id.error();
  const auto* facts = Find(*members, "facts");
  return AssessBody{std::move(*case_id), facts == nullptr ? std::string_view("{}") : *facts};
}

Result<PixelSizeBody> ParsePixelSize(std::string_view json) {
  static constexpr std::array<std::string_view, 5> kMembers = {"image", "frame", "points", "french", "how"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  auto image = Word(*members, "image", true);
  if (!image.ok()) return image.error();
  PixelSizeBody body;
  body.image = std::move(*image);
  if (members->size() == 1) {
    body.by_geometry = true;
    return body;
  }
  auto frame = Place(*members, "frame");
  if (!frame.ok()) return frame.error();
  auto points = Points(*members);
  if (!points.ok()) return points.error();
  if (points->size() != 2) return Bad("a catheter takes two points", "points", "click twice");
  auto french = Figure(*members, "french");
  if (!french.ok()) return french.error();
  auto how = Word(*members, "how", true);
  if (!how.ok()) return how.error();
  if (*how != "across" && *how != "along") return Bad("this must be \"across\" or \"along\"", "how");
  body.frame = *frame;
  body.a = (*points)[0];
  body.b = (*points)[1];
  body.french = *french;
  body.along = *how == "along";
  return body;
}

Result<LengthBody> ParseLength(std::string_view json) {
  static constexpr std::array<std::string_view, 4> kMembers = {"image", "frame", "points", "pixel_size"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  auto image = Word(*members, "image", true);
  if (!image.ok()) return image.error();
  auto frame = Place(*members, "frame");
  if (!frame.ok()) return frame.error();
  auto points = Points(*members);
  if (!points.ok()) return points.error();
  auto pixel_size = GivenPixelSize(*members);
  if (!pixel_size.ok()) return pixel_size.error();
  return LengthBody{std::move(*image), *frame, std::move(*points), std::move(*pixel_size)};
}

}  // namespace fairlead
