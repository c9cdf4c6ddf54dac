// SPDX-License-Identifier: Apache-2.0
#include "front/server/pair_body.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "front/server/pair_members.h"

namespace fairlead {
namespace {

using points::Bad, points::Figure, points::Find, points::Known, points::Names, points::Numbers, points::Point,
    points::Word;

class Points {
 public:
  explicit Points(std::string_view run_member) : run_member_(run_member) {}

  // `extra` members are the caller's own.
  Result<PointsBody> Parse(std::string_view json, Names extra) {
    std::vector<std::string_view> known{"frames", "table", "marks", "paths", "occlusion", "known", "click_sd_px"};
    known.insert(known.end(), extra.begin(), extra.end());
    auto members = Known(json, known);
    if (!members.ok()) return members.error();
    if (Status good = Frames(*members); !good) return Within("frames", good.error());
    if (Status good = Table(*members); !good) return good.error();
    for (const auto& [name, take] : {std::pair{"marks", &Points::TakeMark}, std::pair{"paths", &Points::TakePath},
                                     std::pair{"known", &Points::TakeKnown}}) {
      if (Status good = Each(*members, name, take); !good) return good.error();
    }
    if (const auto* value = Find(*members, "occlusion")) {
      if (Status good = TakeOcclusion(*value); !good) return Within("occlusion", good.error());
    }
    auto sd = Figure(*members, "click_sd_px");
    if (!sd.ok()) return sd.error();
    if (*sd) body_.seen.click_sd_px = **sd;
    return std::move(body_);
  }
  Result<std::size_t> FrameNamed(const std::string& key) const {
    const auto found =
        std::find_if(body_.frames.begin(), body_.frames.end(), [&](const FrameAsked& f) { return f.key == key; });
    if (found != body_.frames.end()) return static_cast<std::size_t>(found - body_.frames.begin());
    return Bad("there is no frame of that name", "\"" + key.substr(0, 40) + "\"", "name one of the frames");
  }
  void Adopt(const PointsBody& body) { body_.frames = body.frames; }

 private:
  Status Frames(const JsonMembers& members) {
    const auto* value = Find(members, "frames");
    if (value == nullptr) return Bad("a member is missing", "", "name the frames that the points lie in");
    auto frames = MembersOf(*value);
    if (!frames.ok()) return frames.error();
    if (frames->size() > kMostFrames)
      return Bad("there are more than " + std::to_string(kMostFrames) + " frames", "", "leave some out");
    for (const auto& [key, json] : *frames) {
      if (key.empty() || key.size() > 16) return Bad("a frame's name has 1 to 16 bytes", "", "name it a or b");
      FrameAsked frame;
      frame.key = key;
      if (Status good = TakeFrame(json, frame); !good) return Within(key, good.error());
      body_.frames.push_back(std::move(frame));
    }
    return Done{};
  }

  Status TakeFrame(std::string_view json, FrameAsked& frame) {
    const std::array<std::string_view, 5> known{run_member_, "frame", "view", "shift_mm", "shift_sd_mm"};
    auto members = Known(json, known);
    if (!members.ok()) return members.error();
    auto run = Word(*members, run_member_);
    if (!run.ok()) return run.error();
    frame.run = std::move(*run);
    auto number = Figure(*members, "frame");
    if (!number.ok()) return number.error();
    const double index = number->value_or(0.0);
    if (!(index >= 0 && index <= 1e6 && index == std::floor(index)))
      return Bad("this must be a whole number from 0", "frame", "count frames from 0");
    frame.frame = static_cast<int>(index);
    if (const auto* shift = Find(*members, "shift_mm")) {
      auto xyz = Numbers(*shift, 3);
      if (!xyz.ok()) return Within("shift_mm", xyz.error());
      for (const double each : *xyz) {
        if (std::abs(each) > 500.0) return Bad("a table moves no farther than 500 mm", "shift_mm", "give millimetres");
      }
      frame.shift = Vec3{(*xyz)[0], (*xyz)[1], (*xyz)[2]};
    }
    auto sd = Figure(*members, "shift_sd_mm");
    if (!sd.ok()) return sd.error();
    if (*sd) frame.shift_sd = Length::Millimetres(**sd);
    const auto* view = Find(*members, "view");
    return view == nullptr ? Status(Done{}) : TakeView(*view, frame.view);
  }

  static Status TakeView(std::string_view json, ViewStated& view) {
    static constexpr std::array<std::string_view, 5> kMembers{"primary_deg", "secondary_deg", "sid_mm", "sod_mm",
                                                              "spacing_mm"};
    auto members = Known(json, kMembers);
    if (!members.ok()) return Within("view", members.error());
    for (const auto name : {kMembers[0], kMembers[1], kMembers[2], kMembers[3]}) {
      auto value = Figure(*members, name);
      if (!value.ok()) return Within("view", value.error());
      if (!*value) continue;
      if (name == "primary_deg") view.primary = Angle::Degrees(**value);
      if (name == "secondary_deg") view.secondary = Angle::Degrees(**value);
      if (name == "sid_mm") view.source_to_detector = Length::Millimetres(**value);
      if (name == "sod_mm") view.source_to_isocentre = Length::Millimetres(**value);
    }
    if (const auto* spacing = Find(*members, "spacing_mm")) {
      auto pair = Numbers(*spacing, 2);
      if (!pair.ok()) return Within("view: spacing_mm", pair.error());
      view.spacing = PixelSpacing{Length::Millimetres((*pair)[0]), Length::Millimetres((*pair)[1])};
    }
    return Done{};
  }

  Status Table(const JsonMembers& members) {
    if (Find(members, "table") == nullptr) return Done{};
    auto word = Word(members, "table");
    if (!word.ok()) return word.error();
    if (*word != "still" && *word != "unknown")
      return Bad("this must be \"still\" or \"unknown\"", "table",
                 "give shift_mm in a frame where the table's place is known");
    body_.table_still = *word == "still";
    return Done{};
  }

  Status Each(const JsonMembers& members, const std::string& name, Status (Points::*take)(std::string_view)) {
    const auto* value = Find(members, name);
    if (value == nullptr) return Done{};
    auto elements = ElementsOf(*value);
    if (!elements.ok()) return Within(name, elements.error());
    if (elements->size() > kMostMarks)
      return Bad("there are more than " + std::to_string(kMostMarks), name, "leave some out");
    for (std::size_t i = 0; i < elements->size(); ++i) {
      if (Status good = (this->*take)((*elements)[i]); !good)
        return Within(name + "[" + std::to_string(i) + "]", good.error());
    }
    return Done{};
  }

  Result<std::vector<Click>> Clicks(std::string_view json) const {
    auto members = MembersOf(json);
    if (!members.ok()) return members.error();
    std::vector<Click> clicks;
    for (const auto& [key, value] : *members) {
      auto frame = FrameNamed(key);
      if (!frame.ok()) return frame.error();
      auto at = Point(value);
      if (!at.ok()) return Within(key, at.error());
      clicks.push_back({*frame, *at});
    }
    return clicks;
  }

  Result<std::vector<SeenLine>> Lines(std::string_view json) const {
    auto members = MembersOf(json);
    if (!members.ok()) return members.error();
    std::vector<SeenLine> lines;
    for (const auto& [key, value] : *members) {
      auto frame = FrameNamed(key);
      if (!frame.ok()) return frame.error();
      auto elements = ElementsOf(value);
      if (!elements.ok()) return Within(key, elements.error());
      SeenLine line{*frame, {}};
      for (std::size_t i = 0; i < std::min(elements->size(), kMostLinePoints + 1); ++i) {
        auto at = Point((*elements)[i]);
        if (!at.ok()) return Within(key + "[" + std::to_string(i) + "]", at.error());
        line.points.push_back(*at);
      }
      if (!line.points.empty()) lines.push_back(std::move(line));
    }
    return lines;
  }

  Status TakeMark(std::string_view json) {
    static constexpr std::array<std::string_view, 2> kMembers{"name", "at"};
    auto members = Known(json, kMembers);
    if (!members.ok()) return members.error();
    auto name = Word(*members, "name");
    if (!name.ok()) return name.error();
    const auto* at = Find(*members, "at");
    auto clicks = at == nullptr
                      ? Result<std::vector<Click>>(Bad("a member is missing", "at", "say where each frame shows it"))
                      : Clicks(*at);
    if (!clicks.ok()) return Within("at", clicks.error());
    body_.seen.marks.push_back({std::move(*name), std::move(*clicks)});
    return Done{};
  }

  Status TakePath(std::string_view json) {
    static constexpr std::array<std::string_view, 3> kMembers{"name", "kind", "at"};
    auto members = Known(json, kMembers);
    if (!members.ok()) return members.error();
    auto name = Word(*members, "name");
    if (!name.ok()) return name.error();
    SeenPath path{std::move(*name), PathKind::kVessel, {}};
    if (Find(*members, "kind") != nullptr) {
      auto kind = Word(*members, "kind");
      if (!kind.ok()) return kind.error();
      if (*kind != "vessel" && *kind != "collateral") return Bad("this must be \"vessel\" or \"collateral\"", "kind");
      path.kind = *kind == "vessel" ? PathKind::kVessel : PathKind::kCollateral;
    }
    const auto* at = Find(*members, "at");
    auto lines = at == nullptr
                     ? Result<std::vector<SeenLine>>(Bad("a member is missing", "at", "give its points in each frame"))
                     : Lines(*at);
    if (!lines.ok()) return Within("at", lines.error());
    path.lines = std::move(*lines);
    body_.seen.paths.push_back(std::move(path));
    return Done{};
  }

  Status TakeKnown(std::string_view json) {
    static constexpr std::array<std::string_view, 4> kMembers{"from", "to", "length_mm", "sd_mm"};
    auto members = Known(json, kMembers);
    if (!members.ok()) return members.error();
    auto from = Word(*members, "from"), to = Word(*members, "to");
    if (!from.ok()) return from.error();
    if (!to.ok()) return to.error();
    auto length = Figure(*members, "length_mm"), sd = Figure(*members, "sd_mm");
    if (!length.ok() || !*length)
      return Bad("a known distance needs its length", "length_mm", "give it in millimetres");
    if (!sd.ok()) return sd.error();
    body_.seen.known.push_back(
        {std::move(*from), std::move(*to), Length::Millimetres(**length), Length::Millimetres(sd->value_or(0.2))});
    return Done{};
  }

  Status TakeOcclusion(std::string_view json) {
    static constexpr std::array<std::string_view, 5> kMembers{"near_cap", "far_cap", "before", "course", "after"};
    auto members = Known(json, kMembers);
    if (!members.ok()) return members.error();
    SeenOcclusion seen;
    for (const auto& [name, mark] : {std::pair{"near_cap", &seen.near_cap}, std::pair{"far_cap", &seen.far_cap}}) {
      mark->name = std::string_view(name) == "near_cap" ? "near cap" : "far cap";
      const auto* value = Find(*members, name);
      if (value == nullptr) continue;
      auto clicks = Clicks(*value);
      if (!clicks.ok()) return Within(name, clicks.error());
      mark->clicks = std::move(*clicks);
    }
    for (const auto& [name, lines] :
         {std::pair{"before", &seen.before}, std::pair{"course", &seen.course}, std::pair{"after", &seen.after}}) {
      const auto* value = Find(*members, name);
      if (value == nullptr) continue;
      auto found = Lines(*value);
      if (!found.ok()) return Within(name, found.error());
      *lines = std::move(*found);
    }
    body_.seen.occlusion = std::move(seen);
    return Done{};
  }

  std::string_view run_member_;
  PointsBody body_;
};

}  // namespace

Result<PointsBody> ParsePairPoints(std::string_view json, std::string_view run_member) {
  return Points(run_member).Parse(json, {});
}

Result<GuideBody> ParsePairGuide(std::string_view json, std::string_view run_member) {
  static constexpr std::array<std::string_view, 3> kExtra{"from", "to", "point"};
  auto body = Points(run_member).Parse(json, kExtra);
  if (!body.ok()) return body.error();
  GuideBody guide{std::move(*body), 0, 0, {}};
  Points names(run_member);
  names.Adopt(guide.points);
  const auto members = MembersOf(json);
  for (const auto& [name, frame] : {std::pair{"from", &guide.frame}, std::pair{"to", &guide.other}}) {
    auto word = Word(*members, name);
    if (!word.ok()) return word.error();
    auto index = names.FrameNamed(*word);
    if (!index.ok()) return Within(name, index.error());
    *frame = *index;
  }
  const auto* point = Find(*members, "point");
  auto at = point == nullptr ? Result<ImagePoint>(Bad("a member is missing", "", "give [column, row]")) : Point(*point);
  if (!at.ok()) return Within("point", at.error());
  guide.at = *at;
  return guide;
}

}  // namespace fairlead
