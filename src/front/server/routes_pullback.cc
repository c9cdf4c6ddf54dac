// SPDX-License-Identifier: Apache-2.0
// An ultrasound pullback read: borders, wires, spaces, and what follows for two wires that will not meet.
#include <fmt/core.h>

#include <array>
#include <charconv>

#include "front/server/answer.h"
#include "front/server/json_text.h"
#include "front/server/pullback_answer.h"
#include "front/server/pullbacks.h"
#include "front/server/random.h"
#include "front/server/routes.h"
#include "imaging/pullback/by_hand.h"
#include "imaging/pullback/cut.h"

namespace fairlead {
namespace {

constexpr int kMostRays = 64;  // frames of one request: a megabyte

Response NoImage(const Error& error) { return Refusal(error.fault == Fault::kOutside ? 503 : 404, error); }

// A request that was given up is no fault of its asker: not 400, and no word of what was stopped.
Response RefusalOf(const Asked& asked, const Error& error) {
  if (asked.request.gone.stop_requested()) return Refusal(Error{"nobody waits for the answer", "", "ask again", Fault::kOutside});
  return Refusal(error);
}

// Tells the watch that a reading has begun, and that it has ended, however it ends.
class Watched {
 public:
  Watched(Pullbacks& pullbacks, std::string image) : pullbacks_(pullbacks), image_(std::move(image)), share_(pullbacks.Begin(image_)) {}
  Watched(const Watched&) = delete;
  Watched& operator=(const Watched&) = delete;
  ~Watched() { pullbacks_.End(image_, share_); }
  std::atomic<float>* share() { return share_.get(); }

 private:
  Pullbacks& pullbacks_;
  std::string image_;
  std::shared_ptr<std::atomic<float>> share_;
};

Response Read(App& app, Asked& asked) {
  auto ask = ParsePullbackAsk(asked.request.body, true);
  if (!ask.ok()) return Refusal(ask.error());
  auto image = app.practice.ImageOf(ask->image);
  if (!image.ok()) return NoImage(image.error());
  const Run& run = (*image)->run;
  Watched watched(*app.pullbacks, run.hash);
  const std::string key = StudyKey(*ask, run);
  std::shared_ptr<const PullbackStudy> study = app.pullbacks->FindStudy(key);
  const bool fresh = study == nullptr;
  FramesView frames;
  if (fresh) {
    auto all = app.practice.images().Frames(run.hash, 0, run.frames - 1);
    if (!all.ok()) return NoImage(all.error());
    frames = std::move(*all);
  }
  auto answer = AnswerPullback(*ask, run, frames.bytes, asked.request.gone, watched.share(), study);
  if (!answer.ok()) return RefusalOf(asked, answer.error());
  if (fresh) app.pullbacks->KeepStudy(key, study);
  const auto before = app.pullbacks->Find(run.hash);
  const auto kept = std::make_shared<const PullbackAnswer>(std::move(*answer));
  app.pullbacks->Keep(run.hash, kept);
  return Json(PullbackAnswerJson(*kept, ask->borders, before != nullptr && ask->after == before->number ? before.get() : nullptr));
}

Response ReadNear(App& app, Asked& asked) {
  auto ask = ParsePullbackAsk(asked.request.body, true);
  if (!ask.ok()) return Refusal(ask.error());
  auto image = app.practice.ImageOf(ask->image);
  if (!image.ok()) return NoImage(image.error());
  const Run& run = (*image)->run;
  if (run.kind != RunKind::kUltrasound) return Refusal(Error{"this is no ultrasound: " + KindText(run.kind), "Modality", "give an ultrasound pullback"});
  // A person's points belong to the whole reading, which counts frames otherwise.
  ask->corrections.clear(), ask->stent_points.clear(), ask->clicks.clear();
  const FrameSpan span = FramesNear(run, ask->frame.value_or(run.frames / 2));
  auto frames = app.practice.images().Frames(run.hash, span.first, span.last);
  if (!frames.ok()) return NoImage(frames.error());
  auto answer = PullbackNearJson(*ask, run, frames->bytes, span, asked.request.gone);
  return answer.ok() ? Json(std::move(*answer)) : RefusalOf(asked, answer.error());
}

Response MarksAnswer(const KeptMarks& marks) {
  JsonText json;
  json.Open('{').Member("version", marks.version).Key("recorded");
  marks.version > 0 ? json.Text(ToIso(marks.recorded)) : json.Null();
  json.Member("by", marks.by).Member("device", marks.device).Key("marks").Raw(marks.version > 0 ? marks.text : PullbackMarksJson({})).Close('}');
  return Json(json.Take());
}

Response ShowMarks(App& app, Asked& asked) {
  auto image = app.practice.ImageOf(asked.given[0]);
  if (!image.ok()) return NoImage(image.error());
  const auto marks = app.practice.marks().Latest((*image)->run.hash);
  return marks.ok() ? MarksAnswer(*marks) : Refusal(marks.error());
}

Response SetMarks(App& app, Asked& asked) {
  const auto body = ParsePullbackMarks(asked.request.body);
  if (!body.ok()) return Refusal(body.error());
  auto image = app.practice.ImageOf(asked.given[0]);
  if (!image.ok()) return NoImage(image.error());
  const Run& run = (*image)->run;
  if (run.kind != RunKind::kUltrasound) return Refusal(Error{"this is no ultrasound", "Modality", "choose an ultrasound pullback"});
  PullbackQuestion question;
  question.stack.frames = run.frames, question.corrections = body->marks.corrections, question.clicks = body->marks.clicks, question.stent_points = body->marks.stent_points;
  if (Status good = CheckPullbackMarks(question); !good.ok()) return Refusal(good.error());
  KeptMarks marks;
  marks.recorded = Now(), marks.by = body->by, marks.device = asked.request.head.local ? "command line" : "page", marks.text = PullbackMarksJson(body->marks);
  const auto kept = app.practice.marks().Add(run.hash, body->after, marks);
  if (!kept.ok()) return Outdated(kept.error()) ? Refusal(409, kept.error()) : Refusal(kept.error());
  app.events.TellMarks(run.hash, kept->version);
  return MarksAnswer(*kept);
}

Response Join(App& app, Asked& asked) {
  const auto ask = ParsePullbackJoining(asked.request.body);
  if (!ask.ok()) return Refusal(ask.error());
  const auto kept = app.pullbacks->Find(ask->image);
  if (kept == nullptr) return Refusal(409, Error{"this pullback has not been read since the program started", "image", "read it first (POST /api/pullback)"});
  const auto answer = PullbackJoiningJson(*ask, *kept);
  return answer.ok() ? Json(*answer) : Refusal(answer.error());
}

Response Align(App&, Asked& asked) {
  const auto question = ParsePullbackAlign(asked.request.body);
  if (!question.ok()) return Refusal(question.error());
  const auto alignment = AlignPullback(*question);
  return alignment.ok() ? Json(PullbackAlignJson(*alignment)) : Refusal(alignment.error());
}

Response MeasureHand(App& app, Asked& asked) {
  const auto ask = ParsePullbackHand(asked.request.body);
  if (!ask.ok()) return Refusal(ask.error());
  auto image = app.practice.ImageOf(ask->image);
  if (!image.ok()) return NoImage(image.error());
  const auto& scale = (*image)->run.ultrasound;
  Length column, row;
  if (ask->pixel_mm) column = row = Length::Millimetres(*ask->pixel_mm);
  else if (scale) column = scale->spacing.column, row = scale->spacing.row;
  const auto made = MeasureByHand(ask->kind, ask->points, column, row);
  if (!made.ok()) return Refusal(made.error());
  return Json(PullbackHandJson(*made, ask->pixel_mm ? std::string_view("typed") : std::string_view(scale->from)));
}

Response ShowShare(App& app, Asked& asked) {
  const auto share = app.pullbacks->Share(asked.given[0]);
  JsonText json;
  json.Open('{').Key("share");
  share ? json.Number(static_cast<double>(*share)) : json.Null();
  return Json(json.Close('}').Take());
}

bool ReadNumber(std::string_view text, int& number) {
  const auto read = std::from_chars(text.data(), text.data() + text.size(), number);
  return read.ec == std::errc() && read.ptr == text.data() + text.size() && number >= 0;
}

Response ShowRays(App& app, Asked& asked) {
  const std::string_view range = asked.given[1];
  const std::size_t dash = range.find('-');
  int first = 0, last = 0;
  if (dash == std::string_view::npos || !ReadNumber(range.substr(0, dash), first) || !ReadNumber(range.substr(dash + 1), last)) {
    return Refusal(Error{"the frames are not given as FIRST-LAST", "", "count from 0, first and last included"});
  }
  if (last - first >= kMostRays) return Refusal(Error{"more than 64 frames are asked for at once", "", "ask for fewer"});
  auto image = app.practice.ImageOf(asked.given[0]);
  if (!image.ok()) return NoImage(image.error());
  const Run& run = (*image)->run;
  if (run.kind != RunKind::kUltrasound || run.bits != 8) return Refusal(Error{"this is no ultrasound of 8 bits", "Modality", "choose an ultrasound pullback"});
  auto frames = app.practice.images().Frames(run.hash, 0, run.frames - 1);
  if (!frames.ok()) return NoImage(frames.error());
  PullbackScale scale;
  if (run.ultrasound) scale.row_mm = run.ultrasound->spacing.row.millimetres(), scale.column_mm = run.ultrasound->spacing.column.millimetres();
  auto rays = RaysForCuts(StackOf(run, frames->bytes, &scale), first, last, asked.request.gone);
  if (!rays.ok()) return RefusalOf(asked, rays.error());
  const auto kept = std::make_shared<const CutRays>(std::move(*rays));
  Response response;
  response.type = "application/octet-stream";
  response.headers = {{"Cache-Control", "private, max-age=31536000, immutable"},
                      {"X-Fairlead-Rays", fmt::format("{} {} {:.6g}", kAngles, kept->depth, kept->step_px)}};
  response.bytes = kept->grey;
  response.keep = kept;
  return response;
}

constexpr std::array<Route, 9> kRoutes = {{
    {.method = "POST", .path = "/api/pullback", .body = Route::Body::kJson, .slow = true, .needs = Role::kReader, .answer = Read},
    {.method = "POST", .path = "/api/pullback/near", .body = Route::Body::kJson, .slow = true, .needs = Role::kReader, .answer = ReadNear},
    {.method = "POST", .path = "/api/pullback/joining", .body = Route::Body::kJson, .needs = Role::kReader, .answer = Join},
    {.method = "POST", .path = "/api/pullback/align", .body = Route::Body::kJson, .needs = Role::kReader, .answer = Align},
    {.method = "POST", .path = "/api/pullback/measure", .body = Route::Body::kJson, .needs = Role::kReader, .answer = MeasureHand},
    {.method = "GET", .path = "/api/pullback/{hash}/share", .answer = ShowShare},
    {.method = "GET", .path = "/api/pullback/{hash}/marks", .answer = ShowMarks},
    {.method = "POST", .path = "/api/pullback/{hash}/marks", .body = Route::Body::kJson, .answer = SetMarks},
    {.method = "GET", .path = "/api/images/{hash}/rays/{range}", .answer = ShowRays},
}};

}  // namespace

std::span<const Route> PullbackRoutes() { return kRoutes; }

}  // namespace fairlead
