// SPDX-License-Identifier: Apache-2.0
#include "front/server/pullback_answer.h"

#include <fmt/core.h>

#include <algorithm>
#include <random>
#include <utility>

#include "front/server/spaces_json.h"

namespace fairlead {
namespace {

constexpr int kNear = 20;  // frames on each side of the one that is looked at: read in a fraction of a second

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
  question.stent_points = ask.stent_points;
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

std::string StudyKey(const PullbackAsk& ask, const Run& run) {
  if (ask.pixel_mm) return fmt::format("{} {:.9g}", run.hash, *ask.pixel_mm);
  return run.hash;
}

Result<PullbackAnswer> AnswerPullback(const PullbackAsk& ask, const Run& run, std::span<const std::uint8_t> frames, std::stop_token stop,
                                      std::atomic<float>* share, std::shared_ptr<const PullbackStudy>& study) {
  // Numbers of another run of the program are other numbers.
  static std::atomic<std::int64_t> last{static_cast<std::int64_t>(std::random_device{}()) << 16};
  PullbackAnswer answer;
  answer.number = ++last;
  auto scale = ScaleOf(ask, run);
  if (!scale.ok()) return scale.error();
  answer.scale = *scale;
  auto question = QuestionOf(ask, run, frames, answer.scale);
  if (!question.ok()) return question.error();
  question->share = share;
  answer.mm_per_frame = question->mm_per_frame;
  if (study == nullptr) {
    if (Status good = CheckPullbackMarks(*question); !good.ok()) return good.error();
    auto made = StudyPullback(*question, stop);
    if (!made.ok()) return made.error();
    study = std::make_shared<const PullbackStudy>(std::move(*made));
  }
  auto reading = ReadStudied(*study, *question, std::move(stop));
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

Result<PullbackAnswer> AnswerPullback(const PullbackAsk& ask, const Run& run, std::span<const std::uint8_t> frames, std::stop_token stop, std::atomic<float>* share) {
  std::shared_ptr<const PullbackStudy> study;
  return AnswerPullback(ask, run, frames, std::move(stop), share, study);
}

std::string PullbackAnswerJson(const PullbackAnswer& answer, bool borders, const PullbackAnswer* before) {
  PullbackParts parts;
  parts.number = answer.number, parts.borders = borders;
  if (before != nullptr && before->reading.sections.size() == answer.reading.sections.size() && before->scale.row_mm == answer.scale.row_mm && before->scale.column_mm == answer.scale.column_mm) {
    parts.after = before->number;
    parts.frames = FramesThatDiffer(before->reading, answer.reading);
  }
  return PullbackJson(answer.reading, answer.scale, parts, answer.two_wires ? JoiningJson(answer.question, answer.joining) : std::string());
}

FrameSpan FramesNear(const Run& run, int frame) {
  const int at = std::clamp(frame, 0, std::max(0, run.frames - 1));
  return {std::max(0, at - kNear), std::min(run.frames - 1, at + kNear)};
}

Result<std::string> PullbackNearJson(const PullbackAsk& ask, const Run& run, std::span<const std::uint8_t> frames, FrameSpan span, std::stop_token stop) {
  auto scale = ScaleOf(ask, run);
  if (!scale.ok()) return scale.error();
  auto question = QuestionOf(ask, run, frames, *scale);
  if (!question.ok()) return question.error();
  question->stack.frames = span.last - span.first + 1;
  question->frame_ms = 0.0;  // the heart is not looked for in so few
  auto reading = ReadPullback(*question, std::move(stop));
  if (!reading.ok()) return reading.error();
  for (PullbackSection& section : reading->sections) {
    section.frame += span.first;
    if (section.z_mm && question->mm_per_frame) section.z_mm = *question->mm_per_frame * section.frame;
  }
  return PullbackSectionsJson(*reading, span, run.frames);
}

}  // namespace fairlead
