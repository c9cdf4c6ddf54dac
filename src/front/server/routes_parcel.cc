// SPDX-License-Identifier: Apache-2.0
// A whole case out as one file, and in again.
#include <array>

#include "front/server/answer.h"
#include "front/server/deid_case.h"
#include "front/server/parcel_json.h"
#include "front/server/practice_carry.h"
#include "front/server/random.h"
#include "front/server/routes_parcel.h"

namespace fairlead {
namespace {

std::filesystem::path Incoming(App& app) { return DataOf(app.practice) / "images" / "incoming"; }

class ParcelSink : public BodySink {
 public:
  explicit ParcelSink(TemporaryFile file) : file_(std::move(file)) {}
  std::optional<Response> Add(std::span<const std::uint8_t> bytes) override {
    auto written = file_.Write(bytes);
    if (written.ok()) return std::nullopt;
    return Refusal(503, written.error());
  }
  TemporaryFile& file() { return file_; }

 private:
  TemporaryFile file_;
};

std::optional<Response> NoSuchParcel(App& app, const Asked& asked) {
  auto has = app.practice.Has(asked.given[0]);
  if (!has.ok()) return Refusal(has.error());
  if (*has) return std::nullopt;
  return Refusal(404, Error{"there is no such case", "", "choose one from the list of cases"});
}

Response PackedAnswer(App& app, const ParcelContents& contents, const std::string& name) {
  auto archive = TemporaryFile::Make(Incoming(app));
  if (!archive.ok()) return Refusal(archive.error());
  auto packed = PackArchive(contents, *archive);
  if (!packed.ok()) return Refusal(packed.error());
  auto mapped = MappedFile::Map(archive->fd());
  if (!mapped.ok()) return Refusal(mapped.error());
  Response response;
  response.type = "application/x-tar";
  response.headers = {{"Content-Disposition", "attachment; filename=\"" + name + "\""}, {"Cache-Control", "no-store"}};
  response.bytes = (*mapped)->bytes();
  response.keep = std::move(*mapped);  // the file's name goes with `archive`; its bytes stay as long as this
  return response;
}

Response GiveCase(App& app, Asked& asked) {
  if (auto none = NoSuchParcel(app, asked)) return std::move(*none);
  auto contents = Gather(app.practice, asked.given[0], app.version);
  return contents.ok() ? PackedAnswer(app, *contents, "case-" + asked.given[0] + ".tar") : Refusal(contents.error());
}

// Its name says nothing of the case either.
Response GiveDeidentified(App& app, Asked& asked) {
  if (auto none = NoSuchParcel(app, asked)) return std::move(*none);
  auto state = app.practice.StateOf(asked.given[0], std::nullopt);
  if (!state.ok()) return Refusal(state.error());
  DeidSettings settings;
  const RequestHead& head = asked.request.head;
  if (const auto project = QueryValue(head, "project"); !project.empty()) settings.project = project;
  settings.keep_teaching = QueryValue(head, "teaching") == "1";
  for (const auto& [name, value] : head.query) {
    if (name == "mask" && settings.mask.size() < 64) settings.mask.push_back(value);
    if (name == "keep" && settings.keep_words.size() < 256) settings.keep_words.push_back(value);
  }
  auto leaving = DeidentifyCase(state->entries, app.practice.images(), DataOf(app.practice), settings, app.version);
  return leaving.ok() ? PackedAnswer(app, leaving->contents, "case-deidentified.tar") : Refusal(leaving.error());
}

Response ShowWhereToLook(App& app, Asked& asked) {
  if (auto none = NoSuchParcel(app, asked)) return std::move(*none);
  auto state = app.practice.StateOf(asked.given[0], std::nullopt);
  if (!state.ok()) return Refusal(state.error());
  return Json(LookJson(state->entries, app.practice.images()));
}

Response TakeCaseIn(App& app, Asked& asked) {
  auto* sink = dynamic_cast<ParcelSink*>(asked.request.sink.get());
  if (sink == nullptr) return Refusal(Error{"the request carries no file", "", "send the file's bytes as the body"});
  auto mapped = MappedFile::Map(sink->file().fd());
  if (!mapped.ok()) return Refusal(Error{"the file is empty", "", "choose a file that was exported"});
  const auto bytes = (*mapped)->bytes();
  auto source = OpenArchive(*mapped, bytes);
  if (!source.ok()) return Refusal(422, source.error());
  const auto carry_in = [&app](const std::vector<const CarriedChain*>& chains, bool only_look) { return Carry(app.practice, chains, only_look); };
  auto taken = TakeParcel(**source, carry_in, DataOf(app.practice), Now());
  if (!taken.ok()) return Refusal(taken.error().fault == Fault::kOutside ? 503 : 422, taken.error());
  return Json(TakenJson(*taken));
}

constexpr std::array<Route, 4> kRoutes = {{
    {.method = "GET", .path = "/api/cases/{id}/case.tar", .slow = true, .needs = Role::kOperator, .answer = GiveCase},
    {.method = "GET", .path = "/api/cases/{id}/deidentified.tar", .slow = true, .needs = Role::kOperator, .answer = GiveDeidentified},
    {.method = "GET", .path = "/api/cases/{id}/look", .slow = true, .needs = Role::kOperator, .answer = ShowWhereToLook},
    {.method = "POST", .path = "/api/cases/import", .body = Route::Body::kFile, .needs = Role::kOperator, .answer = TakeCaseIn},
}};

}  // namespace

std::unique_ptr<BodySink> TakeParcelUpload(App& app, Response& refusal) {
  auto file = TemporaryFile::Make(Incoming(app));
  if (file.ok()) return std::make_unique<ParcelSink>(std::move(*file));
  refusal = Refusal(file.error());
  return nullptr;
}

std::span<const Route> ParcelRoutes() { return kRoutes; }

}  // namespace fairlead
