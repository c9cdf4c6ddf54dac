// SPDX-License-Identifier: Apache-2.0
// What is the same for every case.
#include <array>

#include "casebook/schema.h"
#include "front/server/answer.h"
#include "front/server/json_text.h"
#include "front/server/routes.h"
#include "reasoning/assess/assess_json.h"

namespace fairlead {
namespace {

Response Health(App&, Asked&) {
  Response response;
  response.type = "text/plain; charset=utf-8";
  response.headers = {{"Cache-Control", "no-store"}};
  response.text = "ok";
  return response;
}

// Whoever has to give a password first does not learn which version is asking.
Response Version(App& app, Asked& asked) {
  const bool tell = !app.guard.asks_for_passwords() || app.guard.Who(asked.request.head).has_value();
  JsonText json;
  json.Open('{').Member("name", "fairlead").Member("version", tell ? app.version : "");
  json.Member("schema", tell ? SchemaHash() : "").Close('}');
  return Json(json.Take());
}

Response Schema(App&, Asked&) { return Json(AnswersSchema()); }
Response FactRows(App&, Asked&) { return Json(DictionaryJson()); }
Response ScoreRows(App&, Asked&) { return Json(ScoreDefinitionsJson()); }
Response SourceRows(App&, Asked&) { return Json(SourcesJson()); }

Response NewAddress(App& app, Asked&) {
  JsonText json;
  json.Open('{').Member("address", app.address()).Close('}');
  return Json(json.Take());
}

constexpr std::array<Route, 7> kRoutes = {{
    {.method = "GET", .path = "/healthz", .open = true, .answer = Health},
    {.method = "GET", .path = "/api/version", .open = true, .answer = Version},
    {.method = "GET", .path = "/api/schema", .answer = Schema},
    {.method = "GET", .path = "/api/facts", .answer = FactRows},
    {.method = "GET", .path = "/api/scores", .answer = ScoreRows},
    {.method = "GET", .path = "/api/sources", .answer = SourceRows},
    {.method = "POST", .path = "/api/address", .local = true, .answer = NewAddress},
}};

}  // namespace

std::span<const Route> ReferenceRoutes() { return kRoutes; }

}  // namespace fairlead
