// SPDX-License-Identifier: Apache-2.0
// Two wires that will not meet: the question as typed, without a case.
#include <array>

#include "front/server/answer.h"
#include "front/server/routes.h"
#include "front/server/spaces_json.h"

namespace fairlead {
namespace {

Response Spaces(App&, Asked& asked) {
  auto question = ParseJoining(asked.request.body);
  if (!question.ok()) return Refusal(question.error());
  auto answer = HowToJoin(*question);
  if (!answer.ok()) return Refusal(answer.error());
  return Json(JoiningJson(*question, *answer));
}

constexpr std::array<Route, 1> kRoutes = {{
    {.method = "POST", .path = "/api/spaces", .body = Route::Body::kJson, .needs = Role::kReader, .answer = Spaces},
}};

}  // namespace

std::span<const Route> SpacesRoutes() { return kRoutes; }

}  // namespace fairlead
