// SPDX-License-Identifier: Apache-2.0
// The lab's knowledge and its journal.
#include <array>

#include "front/server/answer.h"
#include "front/server/routes.h"

namespace fairlead {
namespace {

Response ShowLab(App& app, Asked& asked) {
  const RequestHead& head = asked.request.head;
  std::optional<Instant> known;
  if (const std::string_view time = QueryValue(head, "known"); !time.empty()) {
    auto at = ParseIso(time);
    if (!at.ok()) return Refusal(Within("known", at.error()));
    known = *at;
  }
  auto json = app.practice.LabJson(QueryValue(head, "name"), known);
  return json.ok() ? Json(std::move(*json)) : Refusal(json.error());
}

Response WriteEntries(App& app, Asked& asked) { return AppendEntries(app, std::string(kLabCase), asked.request.body); }

constexpr std::array<Route, 2> kRoutes = {{
    {.method = "GET", .path = "/api/lab", .answer = ShowLab},
    {.method = "POST", .path = "/api/lab/entries", .body = Route::Body::kJson, .needs = Role::kAdministrator, .answer = WriteEntries},
}};

}  // namespace

std::span<const Route> LabRoutes() { return kRoutes; }

}  // namespace fairlead
