// SPDX-License-Identifier: Apache-2.0
#include "front/server/pullback_ask.h"

#include <array>
#include <cmath>
#include <utility>

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

Result<BorderPoint> CorrectionFrom(std::string_view json) {
  constexpr std::array<std::string_view, 4> kMembers = {"border", "frame", "angle_deg", "distance_mm"};
  auto members = Known(json, kMembers);
  if (!members.ok()) return members.error();
  auto media = IsSecond(*members, "border", "lumen", "media");
  if (!media.ok()) return media.error();
  auto frame = FrameIn(*members);
  if (!frame.ok()) return frame.error();
  auto angle = Needed(*members, "angle_deg");
  if (!angle.ok()) return angle.error();
  auto distance = Needed(*members, "distance_mm");
  if (!distance.ok()) return distance.error();
  return BorderPoint{*frame, *angle, *distance, *media};
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

Result<PullbackScale> ScaleOf(const PullbackAsk& ask, const Run& run) {
  PullbackScale scale;
  if (ask.pixel_mm) {
    scale.row_mm = scale.column_mm = *ask.pixel_mm;
    scale.pixel_from = "typed";
  } else if (run.ultrasound) {
    scale.row_mm = run.ultrasound->spacing.row.millimetres();
    scale.column_mm = run.ultrasound->spacing.column.millimetres();
    scale.pixel_from = run.ultrasound->from;
  } else {
    return Error{"the file does not say how large a pixel is", "ultrasound region", "give it (--pixel 0.02mm, \"pixel_mm\"); nothing is assumed"};
  }
  scale.speed_from = "not known";
  if (ask.speed_mm_s) {
    scale.speed_mm_s = ask.speed_mm_s;
    scale.speed_from = "typed";
  } else if (run.pullback_mm_s > 0.0) {
    scale.speed_mm_s = run.pullback_mm_s;
    scale.speed_from = "the file's pullback rate";
  }
  return scale;
}

Result<PullbackQuestion> QuestionOf(const PullbackAsk& ask, const Run& run, std::span<const std::uint8_t> frames, const PullbackScale& scale) {
  if (run.kind != RunKind::kUltrasound) return Error{"this is no ultrasound: " + KindText(run.kind), "Modality", "give an ultrasound pullback"};
  if (run.bits != 8) return Error{"ultrasound of 16 bits is not read", "Bits Allocated", "export it with 8 bits"};
  PullbackQuestion question;
  question.stack = StackOf(run, frames, &scale);
  const bool timed = run.frames > 1 && run.frame_ms.size() == static_cast<std::size_t>(run.frames) && run.frame_ms.back() > 0.0;
  if (scale.speed_mm_s && timed) question.mm_per_frame = *scale.speed_mm_s * run.frame_ms.back() / 1000.0 / (run.frames - 1);
  if (timed) question.frame_ms = run.frame_ms.back() / (run.frames - 1);
  question.corrections = ask.corrections;
  question.clicks = ask.clicks;
  return question;
}

}  // namespace

PictureStack StackOf(const Run& run, std::span<const std::uint8_t> frames, const PullbackScale* scale) {
  PictureStack stack;
  stack.bytes = frames;
  stack.rows = run.rows, stack.columns = run.columns, stack.frames = run.frames, stack.samples = run.samples;
  if (scale != nullptr) stack.row_spacing = Length::Millimetres(scale->row_mm), stack.column_spacing = Length::Millimetres(scale->column_mm);
  const Shutter region = run.ultrasound ? run.ultrasound->region : Shutter{0, run.columns - 1, 0, run.rows - 1};
  stack.centre_x = 0.5 * (region.left + region.right), stack.centre_y = 0.5 * (region.top + region.bottom);
  return stack;
}

Result<PullbackAsk> ParsePullbackAsk(std::string_view json, bool with_image) {
  constexpr std::array<std::string_view, 8> kMembers = {"image", "pixel_mm", "speed_mm_s", "near", "far", "corrections", "wires", "borders"};
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
  if (Status taken = TakeList(*members, "corrections", CorrectionFrom, ask.corrections); !taken) return taken.error();
  if (Status taken = TakeList(*members, "wires", ClickFrom, ask.clicks); !taken) return taken.error();
  if (const auto* borders = Find(*members, "borders")) {
    if (*borders != "true" && *borders != "false") return Bad("this is neither true nor false", "borders");
    ask.borders = *borders == "true";
  }
  return ask;
}

Result<PullbackAnswer> AnswerPullback(const PullbackAsk& ask, const Run& run, std::span<const std::uint8_t> frames, std::stop_token stop,
                                      std::atomic<float>* share) {
  PullbackAnswer answer;
  auto scale = ScaleOf(ask, run);
  if (!scale.ok()) return scale.error();
  answer.scale = *scale;
  auto question = QuestionOf(ask, run, frames, answer.scale);
  if (!question.ok()) return question.error();
  question->share = share;
  answer.mm_per_frame = question->mm_per_frame;
  auto reading = ReadPullback(*question, std::move(stop));
  if (!reading.ok()) return reading.error();
  answer.reading = std::move(*reading);
  answer.frame = FrameOfInterest(answer.reading);
  answer.question = JoiningAt(answer.reading, answer.frame, question->mm_per_frame, {ask.near_wire, ask.far_wire});
  auto joining = HowToJoin(answer.question);
  if (!joining.ok()) return joining.error();
  answer.joining = std::move(*joining);
  answer.two_wires = !answer.reading.wires.second.frames.empty() || ask.far_wire.has_value();
  return answer;
}

std::string PullbackAnswerJson(const PullbackAnswer& answer, bool borders) {
  return PullbackJson(answer.reading, answer.scale, borders, answer.two_wires ? JoiningJson(answer.question, answer.joining) : std::string());
}

}  // namespace fairlead
