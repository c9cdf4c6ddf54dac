// SPDX-License-Identifier: Apache-2.0
// Runs: taking them in, showing them, measuring on them.
#include <algorithm>
#include <array>
#include <charconv>

#include "front/server/answer.h"
#include "front/server/body.h"
#include "front/server/dark_frame.h"
#include "front/server/json_text.h"
#include "front/server/routes.h"

namespace fairlead {
namespace {

constexpr int kMostFrames = 16;  // of one request

// A file on its way into the store.
class UploadSink : public BodySink {
 public:
  explicit UploadSink(std::unique_ptr<Upload> upload) : upload_(std::move(upload)) {}
  std::optional<Response> Add(std::span<const std::uint8_t> bytes) override {
    auto added = upload_->Add(bytes);
    if (added.ok()) return std::nullopt;
    return Refusal(added.error().fault == Fault::kOutside ? 503 : 413, added.error());
  }
  Upload& upload() { return *upload_; }

 private:
  std::unique_ptr<Upload> upload_;
};

Response NoImage(const Error& error) { return Refusal(error.fault == Fault::kOutside ? 503 : 404, error); }

void WriteEntry(JsonText& json, const Receipt& entry) {
  json.Key("entry").Open('{').Member("id", entry.id).Member("seq", entry.seq).Close('}');
}

// A file that holds no run may be a dose report: whoever drops it need not say which. If it is neither, `no_run` is said.
Response TakeDose(App& app, Asked& asked, Upload& upload, const Error& no_run) {
  auto imported = upload.FinishDose(asked.request.gone);
  if (!imported.ok()) return Refusal(no_run.fault == Fault::kOutside ? 503 : 422, no_run);
  const RequestHead& head = asked.request.head;
  auto entry = app.practice.AddDose(std::string(QueryValue(head, "case")), *imported, QueryValue(head, "earlier") == "1", head.local ? "command line" : "page");
  if (!entry.ok()) return Refusal(entry.error());
  JsonText json;
  json.Open('{').Member("hash", imported->hash).Member("again", entry->again).Key("image").Null();
  json.Key("dose").Open('{').Member("events", imported->report.events.size()).Close('}');
  WriteEntry(json, *entry);
  json.Close('}');
  return Json(json.Take());
}

Response TakeImage(App& app, Asked& asked) {
  auto* sink = dynamic_cast<UploadSink*>(asked.request.sink.get());
  if (sink == nullptr) return Refusal(Error{"the request carries no file", "", "send the file's bytes as the body"});
  auto imported = sink->upload().Finish(asked.request.gone, {});
  if (!imported.ok()) return TakeDose(app, asked, sink->upload(), imported.error());
  const bool again = imported->again;
  const auto image = app.practice.Remember(std::move(imported->run));
  const std::string case_id(QueryValue(asked.request.head, "case"));
  auto entry = app.practice.AddImage(case_id, image->run, asked.request.head.local ? "command line" : "page");
  if (!entry.ok()) return Refusal(entry.error());
  JsonText json;
  json.Open('{').Member("hash", image->run.hash).Member("again", again).Key("image").Raw(image->json);
  WriteEntry(json, *entry);
  json.Close('}');
  return Json(json.Take());
}

Response ShowImage(App& app, Asked& asked) {
  auto image = app.practice.ImageOf(asked.given[0]);
  return image.ok() ? Json((*image)->json) : NoImage(image.error());
}

// "12-27"; nothing if it is not two whole numbers.
std::optional<std::pair<int, int>> ParseRange(std::string_view text) {
  int first = -1;
  int last = -1;
  const char* end = text.data() + text.size();
  const auto head = std::from_chars(text.data(), end, first);
  if (head.ec != std::errc() || head.ptr == end || *head.ptr != '-') return std::nullopt;
  const auto tail = std::from_chars(head.ptr + 1, end, last);
  if (tail.ec != std::errc() || tail.ptr != end || first < 0 || last < first) return std::nullopt;
  return std::pair{first, last};
}

Response ShowFrames(App& app, Asked& asked) {
  const auto range = ParseRange(asked.given[1]);
  if (!range) return Refusal(Error{"the frames are not given as FIRST-LAST", "", "count from 0, first and last included"});
  if (range->second - range->first >= kMostFrames) {
    return Refusal(Error{"more than 16 frames are asked for at once", "", "ask for fewer"});
  }
  auto image = app.practice.ImageOf(asked.given[0]);
  if (!image.ok()) return NoImage(image.error());
  if (range->second >= (*image)->run.frames) {
    return Refusal(404, Error{"the run has " + std::to_string((*image)->run.frames) + " frames", "", "ask for those"});
  }
  auto frames = app.practice.images().Frames(asked.given[0], range->first, range->second);
  if (!frames.ok()) return NoImage(frames.error());
  Response response;
  response.type = "application/octet-stream";
  response.headers = {{"Cache-Control", "private, max-age=31536000, immutable"}};
  response.bytes = frames->bytes;
  response.keep = std::move(frames->keep);
  return response;
}

void WriteParts(JsonText& json, const std::vector<UncertaintyPart<Length>>& parts) {
  json.Key("parts").Open('[');
  for (const auto& part : parts) json.Open('{').Member("name", part.name).Member("sd", part.sd.millimetres()).Close('}');
  json.Close(']');
}

void WriteWarnings(JsonText& json, const std::vector<std::string>& warnings) {
  json.Key("warnings").Open('[');
  for (const std::string& warning : warnings) json.Text(warning);
  json.Close(']');
}

Response PixelSizeAnswer(const PixelSize& pixel) {
  JsonText json;
  json.Open('{').Member("mm_per_px", pixel.per_pixel.millimetres()).Member("sd_mm_per_px", pixel.sd.millimetres());
  WriteParts(json, pixel.parts);
  json.Member("method", pixel.method);
  WriteWarnings(json, pixel.warnings);
  json.Close('}');
  return Json(json.Take());
}

// A frame and the bytes that it looks at.
struct ReadingFrame {
  FramesView view;
  DarkFrame dark;
};

Result<ReadingFrame> ReadFrame(App& app, const Run& run, int index) {
  if (Status good = CheckMeasurable(run, index); !good) return good.error();
  auto view = app.practice.images().Frames(run.hash, index, index);
  if (!view.ok()) return view.error();
  DarkFrame dark(run, view->bytes);
  return ReadingFrame{std::move(*view), std::move(dark)};
}

Result<PixelSize> SizeByCatheter(App& app, const Run& run, const PixelSizeBody& asked) {
  const Length catheter = Length::French(asked.french);
  if (!asked.along) return PixelSizeAcross(asked.a, asked.b, catheter);
  auto frame = ReadFrame(app, run, asked.frame);
  if (!frame.ok()) return frame.error();
  return PixelSizeAlong(frame->dark.grey(), asked.a, asked.b, catheter);
}

Response MeasurePixelSize(App& app, Asked& asked) {
  auto body = ParsePixelSize(asked.request.body);
  if (!body.ok()) return Refusal(body.error());
  auto image = app.practice.ImageOf(body->image);
  if (!image.ok()) return NoImage(image.error());
  const Run& run = (*image)->run;
  if (body->by_geometry) {
    auto pixel = PixelSizeByGeometry(run);
    return pixel.ok() ? PixelSizeAnswer(*pixel) : Refusal(pixel.error());
  }
  auto pixel = SizeByCatheter(app, run, *body);
  if (!pixel.ok()) return Refusal(pixel.error());
  if (const auto geometry = PixelSizeByGeometry(run); geometry.ok()) CompareSizes(*pixel, *geometry);
  return PixelSizeAnswer(*pixel);
}

Response MeasureLine(App& app, Asked& asked) {
  auto body = ParseLength(asked.request.body);
  if (!body.ok()) return Refusal(body.error());
  auto image = app.practice.ImageOf(body->image);
  if (!image.ok()) return NoImage(image.error());
  const Run& run = (*image)->run;
  if (body->frame >= run.frames) {
    return Refusal(Error{"the run has " + std::to_string(run.frames) + " frames", "frame", "choose one"});
  }
  for (const PixelPoint& point : body->points) {
    if (point.x < -0.5 || point.y < -0.5 || point.x > run.columns - 0.5 || point.y > run.rows - 0.5) {
      return Refusal(Error{"a point lies outside the picture", "points", "click inside the picture"});
    }
  }
  auto length = MeasureLength(body->points, body->pixel_size);
  if (!length.ok()) return Refusal(length.error());
  JsonText json;
  json.Open('{').Key("length_mm").Open('{').Member("value", length->reading.value.millimetres()).Key("sd");
  length->reading.sd ? json.Number(length->reading.sd->millimetres()) : json.Null();
  json.Close('}');
  WriteParts(json, length->reading.parts);
  json.Member("method", length->reading.origin.method);
  WriteWarnings(json, length->warnings);
  json.Close('}');
  return Json(json.Take());
}

constexpr std::array<Route, 5> kRoutes = {{
    {.method = "POST", .path = "/api/images", .body = Route::Body::kFile, .needs = Role::kOperator, .answer = TakeImage},
    {.method = "GET", .path = "/api/images/{hash}", .answer = ShowImage},
    {.method = "GET", .path = "/api/images/{hash}/frames/{range}", .answer = ShowFrames},
    {.method = "POST", .path = "/api/measure/pixel-size", .body = Route::Body::kJson, .needs = Role::kReader, .answer = MeasurePixelSize},
    {.method = "POST", .path = "/api/measure/length", .body = Route::Body::kJson, .needs = Role::kReader, .answer = MeasureLine},
}};

}  // namespace

std::unique_ptr<BodySink> TakeUpload(App& app, const RequestHead& head, Response& refusal) {
  auto has = app.practice.Has(std::string(QueryValue(head, "case")));
  if (!has.ok() || !*has) {
    refusal = has.ok() ? Refusal(404, Error{"there is no such case", "", "name the case that the run joins: ?case=ID"})
                       : Refusal(has.error());
    return nullptr;
  }
  auto upload = app.practice.images().Begin();
  if (upload.ok()) return std::make_unique<UploadSink>(std::move(*upload));
  refusal = Refusal(upload.error());
  return nullptr;
}

std::span<const Route> ImageRoutes() { return kRoutes; }

}  // namespace fairlead
