// SPDX-License-Identifier: Apache-2.0
// An ultrasound pullback read: borders, wires, spaces, and what follows for two wires that will not meet.
#include <array>

#include "front/server/answer.h"
#include "front/server/pullback_ask.h"
#include "front/server/routes.h"

namespace fairlead {
namespace {

Response Read(App& app, Asked& asked) {
  auto ask = ParsePullbackAsk(asked.request.body, true);
  if (!ask.ok()) return Refusal(ask.error());
  auto image = app.practice.ImageOf(ask->image);
  if (!image.ok()) return Refusal(image.error().fault == Fault::kOutside ? 503 : 404, image.error());
  const Run& run = (*image)->run;
  auto frames = app.practice.images().Frames(run.hash, 0, run.frames - 1);
  if (!frames.ok()) return Refusal(frames.error().fault == Fault::kOutside ? 503 : 404, frames.error());
  auto answer = AnswerPullback(*ask, run, frames->bytes, asked.request.gone);
  if (!answer.ok()) return Refusal(answer.error());
  return Json(PullbackAnswerJson(*answer, ask->borders));
}

constexpr std::array<Route, 1> kRoutes = {{
    {.method = "POST", .path = "/api/pullback", .body = Route::Body::kJson, .slow = true, .needs = Role::kReader, .answer = Read},
}};

}  // namespace

std::span<const Route> PullbackRoutes() { return kRoutes; }

}  // namespace fairlead
