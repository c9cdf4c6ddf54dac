// SPDX-License-Identifier: Apache-2.0
// Two views of one case: measured together, and the line on which a point of one must lie in the other.
#include <array>
#include <functional>

#include "front/server/answer.h"
#include "front/server/known_runs.h"
#include "front/server/pair_body.h"
#include "front/server/routes.h"

namespace fairlead {
namespace {

Response Measure(App& app, Asked& asked) {
  auto body = ParsePairPoints(asked.request.body, "image");
  if (!body.ok()) return Refusal(body.error());
  KnownRuns runs(app.practice);
  auto seen = SeenWithRuns(std::move(*body), std::ref(runs));
  if (!seen.ok()) return Refusal(seen.error());
  const auto found = MeasurePair(*seen);
  return found.ok() ? Json(PairJson(*found, *seen)) : Refusal(found.error());
}

Response Guide(App& app, Asked& asked) {
  auto body = ParsePairGuide(asked.request.body, "image");
  if (!body.ok()) return Refusal(body.error());
  KnownRuns runs(app.practice);
  auto seen = SeenWithRuns(std::move(body->points), std::ref(runs));
  if (!seen.ok()) return Refusal(seen.error());
  const auto guide = GuideLineOf(*seen, body->frame, body->at, body->other);
  return guide.ok() ? Json(GuideJson(*guide)) : Refusal(guide.error());
}

constexpr std::array<Route, 2> kRoutes = {{
    {.method = "POST", .path = "/api/pair/measure", .body = Route::Body::kJson, .slow = true, .needs = Role::kReader, .answer = Measure},
    {.method = "POST", .path = "/api/pair/guide", .body = Route::Body::kJson, .needs = Role::kReader, .answer = Guide},
}};

}  // namespace

std::span<const Route> PairRoutes() {
  return kRoutes;
}

}  // namespace fairlead
