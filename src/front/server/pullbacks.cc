// SPDX-License-Identifier: Apache-2.0
#include "front/server/pullbacks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "front/server/json_text.h"
#include "front/server/pair_members.h"
#include "front/server/spaces_json.h"

namespace fairlead {
namespace {

using points::Bad, points::Figure, points::Find, points::Known, points::Word;

constexpr std::size_t kKept = 4;  // some megabytes each
constexpr std::size_t kStudied = 150'000'000;  // bytes of rays; 3,000 frames are 98 MB

Status TakeMark(const JsonMembers& members, std::string_view name, std::optional<SpaceOdds>& into) {
  if (Find(members, name) == nullptr) return Done{};
  auto word = Word(members, name);
  if (!word.ok()) return word.error();
  auto odds = ParseSpace(*word);
  if (!odds.ok()) return Within(name, odds.error());
  into = *odds;
  return Done{};
}

Status TakeCount(const JsonMembers& members, std::string_view name, double most, std::optional<int>& into) {
  auto value = Figure(members, name);
  if (!value.ok()) return value.error();
  if (!*value) return Done{};
  if (**value < 0.0 || **value > most || **value != std::floor(**value)) return Bad("this is no whole number of 0 or more", std::string(name));
  into = static_cast<int>(**value);
  return Done{};
}

double Thousandths(double value) { return std::round(value * 1e3) / 1e3; }

void WriteLength(JsonText& json, std::string_view name, const std::optional<Reading<Length>>& length) {
  json.Key(name);
  if (!length) {
    json.Null();
    return;
  }
  json.Open('{').Member("value", Thousandths(length->value.millimetres())).Key("sd");
  length->sd ? json.Number(Thousandths(length->sd->millimetres())) : json.Null();
  json.Close('}');
}

}  // namespace

std::shared_ptr<Pullbacks> MakePullbacks() { return std::make_shared<Pullbacks>(); }

std::shared_ptr<std::atomic<float>> Pullbacks::Begin(const std::string& image) {
  auto share = std::make_shared<std::atomic<float>>(0.0f);
  const std::lock_guard lock(guard_);
  going_[image] = share;
  return share;
}

void Pullbacks::End(const std::string& image, const std::shared_ptr<std::atomic<float>>& share) {
  const std::lock_guard lock(guard_);
  const auto found = going_.find(image);
  if (found != going_.end() && found->second == share) going_.erase(found);
}

std::optional<float> Pullbacks::Share(const std::string& image) {
  const std::lock_guard lock(guard_);
  const auto found = going_.find(image);
  if (found == going_.end()) return std::nullopt;
  return found->second->load();
}

void Pullbacks::Keep(const std::string& image, std::shared_ptr<const PullbackAnswer> answer) {
  const std::lock_guard lock(guard_);
  std::erase_if(kept_, [&](const auto& each) { return each.first == image; });
  kept_.emplace_front(image, std::move(answer));
  if (kept_.size() > kKept) kept_.pop_back();
}

std::shared_ptr<const PullbackAnswer> Pullbacks::Find(const std::string& image) {
  const std::lock_guard lock(guard_);
  const auto found = std::ranges::find_if(kept_, [&](const auto& each) { return each.first == image; });
  return found == kept_.end() ? nullptr : found->second;
}

void Pullbacks::KeepStudy(const std::string& key, std::shared_ptr<const PullbackStudy> study) {
  const std::lock_guard lock(guard_);
  std::erase_if(studies_, [&](const auto& each) { return each.first == key; });
  studies_.emplace_front(key, std::move(study));
  std::size_t bytes = 0, keep = 0;
  for (const auto& [name, each] : studies_) {
    bytes += each->polar.grey.size();
    if (keep > 0 && bytes > kStudied) break;
    ++keep;
  }
  studies_.resize(keep);
}

std::shared_ptr<const PullbackStudy> Pullbacks::FindStudy(const std::string& key) {
  const std::lock_guard lock(guard_);
  const auto found = std::ranges::find_if(studies_, [&](const auto& each) { return each.first == key; });
  return found == studies_.end() ? nullptr : found->second;
}

Result<PullbackJoiningAsk> ParsePullbackJoining(std::string_view json) {
  constexpr std::array<std::string_view, 10> kMembers = {"image", "frame", "near", "far", "cycles", "places", "minutes", "eem_min_mm", "eem_max_mm", "calcium_arc_deg"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  PullbackJoiningAsk ask;
  auto image = Word(*members, "image");
  if (!image.ok()) return image.error();
  ask.image = *image;
  if (Status taken = TakeCount(*members, "frame", 1e6, ask.frame); !taken) return taken.error();
  if (Status taken = TakeMark(*members, "near", ask.marks.near_wire); !taken) return taken.error();
  if (Status taken = TakeMark(*members, "far", ask.marks.far_wire); !taken) return taken.error();
  std::optional<int> cycles, places;
  if (Status taken = TakeCount(*members, "cycles", 100, cycles); !taken) return taken.error();
  if (Status taken = TakeCount(*members, "places", 100, places); !taken) return taken.error();
  ask.cycles = cycles.value_or(0), ask.places = places.value_or(1);
  auto minutes = Figure(*members, "minutes");
  if (!minutes.ok()) return minutes.error();
  ask.minutes = *minutes;
  for (const auto& [name, into] : {std::pair{"eem_min_mm", &ask.eem_min_mm}, std::pair{"eem_max_mm", &ask.eem_max_mm}, std::pair{"calcium_arc_deg", &ask.calcium_arc_deg}}) {
    auto value = Figure(members.value(), name);
    if (!value.ok()) return value.error();
    *into = *value;
  }
  if (ask.eem_min_mm.has_value() != ask.eem_max_mm.has_value()) return Bad("only one of the vessel's two diameters is given", "eem_min_mm, eem_max_mm", "give both");
  return ask;
}

Result<PullbackHandAsk> ParsePullbackHand(std::string_view json) {
  constexpr std::array<std::string_view, 4> kMembers = {"image", "kind", "points", "pixel_mm"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  PullbackHandAsk ask;
  auto image = Word(*members, "image");
  if (!image.ok()) return image.error();
  ask.image = *image;
  auto kind = Word(*members, "kind");
  if (!kind.ok()) return kind.error();
  bool known = false;
  for (const HandKind each : {HandKind::kDistance, HandKind::kArea, HandKind::kAngle}) {
    if (*kind == HandKindName(each)) ask.kind = each, known = true;
  }
  if (!known) return Bad("this is none of distance, area and angle", "kind");
  const auto* list = points::Find(*members, "points");
  if (list == nullptr) return Bad("a member is missing", "points");
  auto elements = ElementsOf(*list);
  if (!elements.ok()) return Within("points", elements.error());
  for (const auto element : *elements) {
    constexpr std::array<std::string_view, 2> kPlace = {"x", "y"};
    auto place = Known(element, kPlace);
    if (!place.ok()) return Within("points", place.error());
    const auto x = Figure(*place, "x"), y = Figure(*place, "y");
    if (!x.ok() || !y.ok() || !*x || !*y) return Bad("a point lacks its column or row", "points", "write {\"x\": 12, \"y\": 34}");
    ask.points.push_back({**x, **y});
  }
  auto pixel = Figure(*members, "pixel_mm");
  if (!pixel.ok()) return pixel.error();
  ask.pixel_mm = *pixel;
  return ask;
}

std::string PullbackHandJson(const ByHand& made, std::string_view pixel_from) {
  JsonText json;
  json.Open('{').Member("kind", HandKindName(made.kind)).Member("value", Thousandths(made.value)).Member("sd", Thousandths(made.sd)).Member("unit", HandUnit(made.kind));
  json.Key("parts").Open('[').Open('{').Member("name", "where the points were set").Member("sd", Thousandths(made.click_sd)).Close('}');
  if (made.size_sd > 0.0) json.Open('{').Member("name", "the catheter's own size error").Member("sd", Thousandths(made.size_sd)).Close('}');
  json.Close(']').Member("method", "by hand on ultrasound; size of a pixel: " + std::string(pixel_from)).Close('}');
  return json.Take();
}

Result<std::string> PullbackJoiningJson(const PullbackJoiningAsk& ask, const PullbackAnswer& answer) {
  const int frame = ask.frame.value_or(answer.frame);
  if (frame >= static_cast<int>(answer.reading.sections.size())) {
    return Bad("the pullback has " + std::to_string(answer.reading.sections.size()) + " frames", "frame", "choose one of them, counted from 0");
  }
  JoiningQuestion question = JoiningAt(answer.reading, frame, answer.mm_per_frame, ask.marks);
  question.balloon_cycles = ask.cycles, question.places = ask.places;
  if (ask.minutes) question.minutes = Duration::Minutes(*ask.minutes);
  if (ask.eem_min_mm && ask.eem_max_mm) {
    VesselSize vessel;
    vessel.eem_min.value = Length::Millimetres(*ask.eem_min_mm), vessel.eem_max.value = Length::Millimetres(*ask.eem_max_mm);
    if (ask.calcium_arc_deg) vessel.calcium_arc = Angle::Degrees(*ask.calcium_arc_deg);
    question.vessel = vessel;
  }
  const auto joining = HowToJoin(question);
  if (!joining.ok()) return joining.error();
  JsonText json;
  json.Open('{').Member("frame", frame).Key("vessel");
  if (question.vessel) {
    json.Open('{');
    WriteLength(json, "eem_min_mm", question.vessel->eem_min);
    WriteLength(json, "eem_max_mm", question.vessel->eem_max);
    json.Key("calcium_arc_deg");
    question.vessel->calcium_arc ? json.Number(question.vessel->calcium_arc->degrees()) : json.Null();
    json.Close('}');
  } else {
    json.Null();
  }
  WriteLength(json, "tissue_mm", question.tissue);
  WriteLength(json, "thin_part_mm", question.thin_part ? std::optional(Reading<Length>{*question.thin_part, {}, {}, {}}) : std::nullopt);
  json.Key("thin_frames");
  if (answer.reading.thinnest) {  // of the whole pullback, whichever frame is asked about
    const FrameSpan thin = ThinPart(answer.reading, *answer.reading.thinnest);
    json.Open('{').Member("first", thin.first).Member("last", thin.last).Close('}');
  } else {
    json.Null();
  }
  json.Key("joining").Raw(JoiningJson(question, *joining)).Close('}');
  return json.Take();
}

}  // namespace fairlead
