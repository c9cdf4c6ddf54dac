// SPDX-License-Identifier: Apache-2.0
// The skin of a case, and from where its segment is seen best.
#include <array>

#include "front/server/answer.h"
#include "front/server/case_dose.h"
#include "front/server/case_views.h"
#include "front/server/routes.h"

namespace fairlead {
namespace {

Response NoCase() { return Refusal(404, Error{"there is no such case", "", "choose one from the list of cases"}); }

Response SkinPanel(App& app, Asked& asked) {
  const auto known = app.practice.Has(asked.given[0]);
  if (!known.ok()) return Refusal(known.error());
  if (!*known) return NoCase();
  const auto dose = DoseOfCase(app.practice, asked.given[0]);
  return dose.ok() ? Json(SkinPanelJson(*dose)) : Refusal(dose.error());
}

// ?vessel=LAD&from=0.2&to=0.35&limit=25&primary=60&secondary=45&now=LAO45/CRA25 and the weights.
Response ViewsPanel(App& app, Asked& asked) {
  const auto known = app.practice.Has(asked.given[0]);
  if (!known.ok()) return Refusal(known.error());
  if (!*known) return NoCase();
  const auto panel = ViewsOfCase(app.practice, asked.given[0], asked.request.head.query);
  return panel.ok() ? Json(*panel) : Refusal(panel.error());
}

// The body is a file of docs/methods-views.md: a segment that was measured or drawn. Nothing is written.
Response ViewsOfTree(App& app, Asked& asked) {
  const auto known = app.practice.Has(asked.given[0]);
  if (!known.ok()) return Refusal(known.error());
  if (!*known) return NoCase();
  const auto panel = ViewsOfCase(app.practice, asked.given[0], asked.request.head.query, asked.request.body);
  return panel.ok() ? Json(*panel) : Refusal(panel.error());
}

constexpr std::array<Route, 3> kRoutes = {{
    {.method = "GET", .path = "/api/cases/{id}/panels/skin", .slow = true, .answer = SkinPanel},
    {.method = "GET", .path = "/api/cases/{id}/panels/views", .slow = true, .answer = ViewsPanel},
    {.method = "POST", .path = "/api/cases/{id}/panels/views", .body = Route::Body::kJson, .slow = true, .needs = Role::kReader, .answer = ViewsOfTree},
}};

}  // namespace

std::span<const Route> DoseRoutes() { return kRoutes; }

}  // namespace fairlead
