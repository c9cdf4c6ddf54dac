// SPDX-License-Identifier: Apache-2.0
// Contrast and motion over the frames of a run, and the frame that it suggests to measure on.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <stop_token>

#include "front/server/answer.h"
#include "front/server/dark_frame.h"
#include "front/server/json_text.h"
#include "front/server/routes.h"
#include "imaging/trace/moments.h"

namespace fairlead {
namespace {

constexpr int kAtOnce = 16;                                 // frames asked of the store
constexpr std::size_t kMostPixels = std::size_t{160} << 20;  // of a run: about 600 frames of 512 x 512, some ten seconds

double Thousandth(double v) { return std::round(v * 1000.0) / 1000.0; }

Result<RunMoments> MomentsOf(App& app, const Run& run, const std::stop_token& gone) {
  const std::size_t bytes = FrameBytes(run);
  MomentFinder finder;
  for (int first = 0; first < run.frames; first += kAtOnce) {
    if (gone.stop_requested()) return Error{"nobody waits for the answer", "", "ask again"};
    const int last = std::min(run.frames - 1, first + kAtOnce - 1);
    auto view = app.practice.images().Frames(run.hash, first, last);
    if (!view.ok()) return view.error();
    for (int k = first; k <= last; ++k) {
      const DarkFrame dark(run, view->bytes.subspan(bytes * static_cast<std::size_t>(k - first), bytes));
      finder.Add(AbsorptionOf(dark.grey(), InsideOf(run)));
    }
  }
  return finder.Find(run.r_wave_frames);
}

Response ShowMoments(App& app, Asked& asked) {
  auto image = app.practice.ImageOf(asked.given[0]);
  if (!image.ok()) return Refusal(image.error().fault == Fault::kOutside ? 503 : 404, image.error());
  const Run& run = (*image)->run;
  if (Status good = CheckMeasurable(run, 0); !good) return Refusal(good.error());
  if (static_cast<std::size_t>(run.rows) * static_cast<std::size_t>(run.columns) * static_cast<std::size_t>(run.frames) > kMostPixels) {
    return Refusal(Error{"this run is too long to compare its frames", "", "choose the frame by eye"});
  }
  auto found = MomentsOf(app, run, asked.request.gone);
  if (!found.ok()) return Refusal(found.error().fault == Fault::kOutside ? 503 : 422, found.error());
  JsonText json;
  json.Open('{').Key("contrast").Open('[');
  for (const FrameMoment& moment : found->frames) json.Number(Thousandth(moment.contrast));
  json.Close(']').Key("motion_px").Open('[');
  for (const FrameMoment& moment : found->frames) json.Number(Thousandth(moment.motion_px));
  json.Close(']').Key("of_beat").Open('[');
  for (const FrameMoment& moment : found->frames) moment.of_beat ? json.Number(Thousandth(*moment.of_beat)) : json.Null();
  json.Close(']').Key("r_waves").Open('[');
  for (const int frame : run.r_wave_frames) json.Whole(frame);
  json.Close(']').Key("suggested");
  found->suggested ? json.Whole(*found->suggested) : json.Null();
  json.Member("because", found->because).Close('}');
  Response response = Json(json.Take());
  response.headers = {{"Cache-Control", "private, max-age=3600"}};  // stored frames never change
  return response;
}

constexpr std::array<Route, 1> kRoutes = {{
    {.method = "GET", .path = "/api/images/{hash}/moments", .answer = ShowMoments},
}};

}  // namespace

std::span<const Route> MomentRoutes() { return kRoutes; }

}  // namespace fairlead
