// SPDX-License-Identifier: Apache-2.0
// Coming in with a name and a password, going out, and who one is.
#include <array>

#include "front/server/answer.h"
#include "front/server/body.h"
#include "front/server/json_text.h"
#include "front/server/random.h"
#include "front/server/routes.h"

namespace fairlead {
namespace {

Response Me(App& app, Asked& asked) {
  const auto visitor = app.guard.Who(asked.request.head);
  JsonText json;
  json.Open('{').Member("asks_for_passwords", app.guard.asks_for_passwords()).Key("person");
  if (!visitor) json.Null();
  else json.Open('{').Member("name", visitor->name).Member("role", std::string(RoleName(visitor->role))).Close('}');
  return Json(json.Close('}').Take());
}

// One sentence for a wrong name and a wrong password, after the same time.
Response LogIn(App& app, Asked& asked) {
  const RequestHead& head = asked.request.head;
  if (!app.guard.asks_for_passwords()) {
    return Refusal(404, Error{"this server asks for no passwords", "", "open the page from the address that the program printed"});
  }
  auto body = ParseLogIn(asked.request.body);
  if (!body.ok()) return Refusal(body.error());
  const Instant now = Now();
  const auto person = app.guard.Find(body->name);
  // A name that nobody has may be a password typed in the wrong place: it is not written down.
  const std::string who = person ? person->name : "unknown";
  if (const auto wait = app.attempts.Begin(body->name, head.from, now)) {
    app.access.Write(now, who, head.from, "login-waits", "");
    Response response = Refusal(429, Error{"too many attempts failed", "", "wait " + std::to_string(*wait) + " s"});
    response.headers.emplace_back("Retry-After", std::to_string(*wait));
    return response;
  }
  if (!PasswordHolds(person ? &*person : nullptr, body->password)) {
    app.access.Write(now, who, head.from, "login-refused", "");
    return Refusal(401, Error{"the name or the password is wrong", "", "try again; fairlead people reset gives a new password"});
  }
  app.attempts.Succeeded(body->name, head.from);
  app.access.Write(now, person->name, head.from, "login", RoleName(person->role));
  JsonText json;
  json.Open('{').Key("person").Open('{').Member("name", person->name);
  json.Member("role", std::string(RoleName(person->role))).Close('}').Close('}');
  Response response = Json(json.Take());
  response.headers = {{"Set-Cookie", app.guard.LetIn(*person, head)}, {"Cache-Control", "no-store"}};
  return response;
}

Response LogOut(App& app, Asked& asked) {
  const RequestHead& head = asked.request.head;
  const auto visitor = app.guard.Who(head);
  if (visitor) app.access.Write(Now(), visitor->name, head.from, "logout", "");
  Response response = Json("{}");
  response.headers = {{"Set-Cookie", app.guard.SendOut(head)}, {"Clear-Site-Data", "\"cache\""}};
  return response;
}

constexpr std::array<Route, 3> kRoutes = {{
    {.method = "GET", .path = "/api/me", .open = true, .answer = Me},
    {.method = "POST", .path = "/api/login", .body = Route::Body::kJson, .open = true, .slow = true, .answer = LogIn},
    {.method = "POST", .path = "/api/logout", .body = Route::Body::kJson, .needs = Role::kReader, .answer = LogOut},
}};

}  // namespace

std::span<const Route> PeopleRoutes() { return kRoutes; }

}  // namespace fairlead
