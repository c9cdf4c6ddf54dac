// SPDX-License-Identifier: Apache-2.0
#include "front/server/spaces_json.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "front/server/body.h"
#include "front/server/json_text.h"
#include "measure/nearest.h"

namespace fairlead {
namespace {

constexpr std::array<std::string_view, 12> kMembers = {"near",       "far",    "same_side",    "in_ring",      "eem_min_mm", "eem_max_mm",
                                                       "calcium_arc_deg", "overlap_mm", "tissue_mm", "cycles", "places", "minutes"};

// Reads members one by one; the first fault is kept.
class Members {
 public:
  explicit Members(const JsonMembers& members) : members_(members) {
    for (const auto& member : members) {
      if (std::find(kMembers.begin(), kMembers.end(), member.first) != kMembers.end()) continue;
      Fail({"there is no such member as \"" + member.first.substr(0, 40) + "\"", "", DidYouMean(member.first, kMembers)});
    }
  }
  void Fail(Error error) {
    if (!fault_) fault_ = std::move(error);
  }
  const std::optional<Error>& fault() const { return fault_; }

  std::optional<std::string> Word(std::string_view name) {
    const auto value = Slice(name);
    if (!value) return std::nullopt;
    auto text = ParseText(*value);
    if (text.ok()) return std::move(*text);
    Fail(Within(name, text.error()));
    return std::nullopt;
  }
  std::optional<double> Number(std::string_view name) {
    const auto value = Slice(name);
    if (!value) return std::nullopt;
    return NumberIn(*value, name);
  }
  std::optional<Reading<Length>> Millimetres(std::string_view name) {
    const auto value = Slice(name);
    if (!value) return std::nullopt;
    Reading<Length> reading;
    if (!value->starts_with('{')) {
      const auto number = NumberIn(*value, name);
      if (!number) return std::nullopt;
      reading.value = Length::Millimetres(*number);
      return reading;
    }
    auto inside = MembersOf(*value);
    if (!inside.ok()) {
      Fail(Within(name, inside.error()));
      return std::nullopt;
    }
    for (const auto& member : *inside) {
      const auto number = NumberIn(member.second, name);
      if (!number) return std::nullopt;
      if (member.first == "value") reading.value = Length::Millimetres(*number);
      else if (member.first == "sd") reading.sd = Length::Millimetres(*number);
      else Fail({"a reading has no such member as \"" + member.first.substr(0, 40) + "\"", std::string(name), "write {\"value\", \"sd\"}"});
    }
    return reading;
  }
  int Count(std::string_view name, int otherwise) {
    const auto number = Number(name);
    if (!number) return otherwise;
    if (std::floor(*number) == *number && *number >= 0.0 && *number <= 100.0) return static_cast<int>(*number);
    Fail({"a count is not a whole number from 0 to 100", std::string(name), "count what was tried"});
    return otherwise;
  }

 private:
  std::optional<std::string_view> Slice(std::string_view name) const {
    for (const auto& member : members_) {
      if (member.first == name && member.second != "null") return member.second;
    }
    return std::nullopt;
  }
  std::optional<double> NumberIn(std::string_view value, std::string_view name) {
    auto number = ParseNumber(value);
    if (number.ok()) return *number;
    Fail(Within(name, number.error()));
    return std::nullopt;
  }
  const JsonMembers& members_;
  std::optional<Error> fault_;
};

SpaceOdds OddsOf(Members& members, std::string_view name) {
  const auto word = members.Word(name);
  if (!word) return {};
  auto odds = ParseSpace(*word);
  if (odds.ok()) return *odds;
  members.Fail(Within(name, odds.error()));
  return {};
}

Sign SignOf(Members& members, std::string_view name) {
  const auto word = members.Word(name);
  if (!word) return Sign::kUnknown;
  auto sign = ParseSign(*word);
  if (sign.ok()) return *sign;
  members.Fail(Within(name, sign.error()));
  return Sign::kUnknown;
}

void TakeVessel(Members& members, JoiningQuestion& question) {
  const auto least = members.Millimetres("eem_min_mm");
  const auto most = members.Millimetres("eem_max_mm");
  const auto arc = members.Number("calcium_arc_deg");
  if (!least && !most) return;
  if (!least || !most) {
    members.Fail({"only one of the vessel's two sizes is given", least ? "eem_max_mm" : "eem_min_mm", "give the smallest and the largest"});
    return;
  }
  question.vessel = VesselSize{*least, *most, {}};
  if (arc) question.vessel->calcium_arc = Angle::Degrees(*arc);
}

void WriteOdds(JsonText& json, std::string_view name, const SpaceOdds& odds, const std::string& text) {
  const double rest = std::max(0.0, 1.0 - odds.lumen - odds.plaque - odds.outside);
  json.Key(name).Open('{').Member("space", text).Member("by_reader", odds.by_reader);
  json.Key("odds").Open('{').Member("lumen", odds.lumen).Member("plaque", odds.plaque).Member("outside", odds.outside);
  json.Member("unknown", rest < 1e-9 ? 0.0 : rest).Close('}').Close('}');
}

void WriteLines(JsonText& json, std::string_view name, const std::vector<std::string>& lines) {
  json.Key(name).Open('[');
  for (const std::string& line : lines) json.Text(line);
  json.Close(']');
}

void WriteSizes(JsonText& json, const std::vector<BalloonSize>& sizes) {
  json.Key("sizes_the_rule_allows").Open('[');
  for (const BalloonSize& size : sizes) {
    json.Open('{').Member("what", size.what).Member("largest_mm", size.largest.millimetres());
    if (size.smallest) json.Member("smallest_mm", size.smallest->millimetres());
    json.Close('}');
  }
  json.Close(']');
}

}  // namespace

void TakeSigns(JoiningQuestion& question, Sign same_side, Sign inside_ring) {
  const FarWire found = FarWireFrom(SideOf(question.near_wire), same_side, inside_ring);
  question.signs_disagree = found.contradiction;
  question.far_wire = {};
  const double inside = question.near_wire.lumen + question.near_wire.plaque;
  const double sure = std::max(inside, question.near_wire.outside);
  if (found.side == Side::kInside) question.far_wire.plaque = sure;
  if (found.side == Side::kOutside) question.far_wire.outside = sure;
  question.far_wire.by_reader = question.near_wire.by_reader;
}

Result<JoiningQuestion> ParseJoining(std::string_view body) {
  auto slices = MembersOf(body);
  if (!slices.ok()) return slices.error();
  Members members(*slices);
  JoiningQuestion question;
  question.near_wire = OddsOf(members, "near");
  question.far_wire = OddsOf(members, "far");
  const Sign same_side = SignOf(members, "same_side");
  const Sign inside_ring = SignOf(members, "in_ring");
  if (!members.Word("far") && members.Word("same_side") && members.Word("in_ring")) TakeSigns(question, same_side, inside_ring);
  TakeVessel(members, question);
  if (const auto overlap = members.Number("overlap_mm")) question.overlap = Length::Millimetres(*overlap);
  question.tissue = members.Millimetres("tissue_mm");
  question.balloon_cycles = members.Count("cycles", 0);
  question.places = members.Count("places", 1);
  if (const auto minutes = members.Number("minutes")) question.minutes = Duration::Minutes(*minutes);
  if (members.fault()) return *members.fault();
  return question;
}

std::string JoiningJson(const JoiningQuestion& question, const JoiningAnswer& answer) {
  JsonText json;
  json.Open('{').Member("title", answer.title).Member("meaning", answer.meaning);
  WriteOdds(json, "near", question.near_wire, answer.near_space);
  WriteOdds(json, "far", question.far_wire, answer.far_space);
  WriteLines(json, "manoeuvres", answer.manoeuvres);
  json.Member("avoid", answer.avoid);
  WriteSizes(json, answer.balloon.sizes);
  std::vector<std::string> cautions = answer.balloon.cautions;
  cautions.insert(cautions.end(), answer.cautions.begin(), answer.cautions.end());
  WriteLines(json, "cautions", cautions);
  WriteLines(json, "look_first", answer.look_first);
  WriteLines(json, "before_a_wire_is_brought_out", answer.before_out);
  json.Key("sources").Open('[');
  for (const SourceId& source : answer.sources) json.Text(source.id);
  json.Close(']').Member("note", std::string_view(kStanding)).Close('}');
  return json.Take();
}

}  // namespace fairlead
