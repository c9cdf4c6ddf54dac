// SPDX-License-Identifier: Apache-2.0
#include "front/server/routes.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <optional>

#include "front/server/answer.h"
#include "front/server/case_dose.h"
#include "front/server/random.h"
#include "front/server/target.h"
#include "front/server/routes_parcel.h"

namespace fairlead {
namespace {

constexpr std::uint64_t kLargestJson = 1024 * 1024;
constexpr std::uint64_t kLargestAtDoor = 16 * 1024;  // of somebody who has not come in
constexpr std::uint64_t kLargestTable = std::uint64_t{32} << 20;

struct Match {
  const Route* route = nullptr;
  std::vector<std::string> given;
  bool path_known = false;  // with another method
};

std::optional<std::vector<std::string>> Fits(std::string_view pattern, const std::vector<std::string_view>& pieces) {
  const auto wanted = Pieces(pattern);
  if (wanted.size() != pieces.size()) return std::nullopt;
  std::vector<std::string> given;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    if (wanted[i].starts_with('{') && !pieces[i].empty()) given.emplace_back(pieces[i]);
    else if (wanted[i] != pieces[i]) return std::nullopt;
  }
  return given;
}

Match FindRoute(const RequestHead& head) {
  Match match;
  const auto pieces = Pieces(head.path);
  for (const auto routes : AllRoutes()) {
    for (const Route& route : routes) {
      auto given = Fits(route.path, pieces);
      if (!given) continue;
      match.path_known = true;
      if (route.method != head.method || (route.local && !head.local)) continue;
      match.route = &route;
      match.given = std::move(*given);
      return match;
    }
  }
  return match;
}

Admission Refused(int status, std::string what, std::string to_do) {
  return {.refused = Refusal(status, Error{std::move(what), "", std::move(to_do)})};
}

// The page and its files are asked for without a cookie; they hold no data.
Admission AdmitFile(const RequestHead& head) {
  if (head.method != "GET") return Refused(405, "this path is only read", "use GET");
  if (head.has_body) return Refused(400, "this request takes no body", "send none");
  return {};
}

Role NeededFor(const Route& route) {
  return route.needs.value_or(route.method == "GET" ? Role::kReader : Role::kRecorder);
}

// A ULID or the hash of a file.
bool IsId(std::string_view piece) {
  const auto ours = [&](char c) {
    return (c >= '0' && c <= '9') || (piece.size() == 26 ? c >= 'A' && c <= 'Z' : c >= 'a' && c <= 'f');
  };
  return (piece.size() == 26 || piece.size() == 64) && std::all_of(piece.begin(), piece.end(), ours);
}

// The path as a record may hold it: pieces of our own paths and ids. Anything else was typed by somebody, and may be a name.
std::string PathOnRecord(const RequestHead& head) {
  const auto pieces = Pieces(head.path);
  std::string text;
  for (const auto routes : AllRoutes()) {
    for (const Route& route : routes) {
      if (!Fits(route.path, pieces)) continue;
      const auto wanted = Pieces(route.path);
      for (std::size_t i = 0; i < wanted.size(); ++i) {
        text += '/';
        text += IsId(pieces[i]) ? pieces[i] : wanted[i];
      }
      return text;
    }
  }
  return "elsewhere";
}

// What refuses whoever holds no cookie of ours, or may not do this.
std::optional<Admission> AdmitVisitor(App& app, const RequestHead& head, const Route* route) {
  if (head.local || (route != nullptr && route->open)) return std::nullopt;
  const auto visitor = app.guard.Who(head);
  if (!visitor && app.guard.asks_for_passwords()) {
    return Refused(401, "nobody has come in from this browser, or the session has ended", "give a name and a password");
  }
  if (!visitor) return Refused(403, "this browser was not let in", "open the page from the address that the program printed");
  if (route == nullptr || visitor->role >= NeededFor(*route)) return std::nullopt;
  app.access.Write(Now(), visitor->name, head.from, "refused", PathOnRecord(head));
  return Refused(403, fmt::format("this needs the role {}, yours is {}", RoleName(NeededFor(*route)), RoleName(visitor->role)),
                 "ask the administrator");
}

Admission Admit(App& app, const RequestHead& head) {
  if (auto foreign = app.guard.Foreign(head)) {
    return Refused(403, *foreign, "open the page from the address that the program printed");
  }
  const bool api = head.path.starts_with("/api/") || head.path == "/healthz";
  if (!api) return AdmitFile(head);
  const Match match = FindRoute(head);
  if (auto refused = AdmitVisitor(app, head, match.route)) return std::move(*refused);
  if (match.route == nullptr) {
    return match.path_known ? Refused(405, "this path does not take " + head.method.substr(0, 16), "see docs/wire.md")
                            : Refused(404, "there is no such path", "see docs/wire.md");
  }
  switch (match.route->body) {
    case Route::Body::kNone:
      if (head.has_body) return Refused(400, "this request takes no body", "send none");
      return {.slow = match.route->slow};
    case Route::Body::kJson:
      if (!head.content_type.starts_with("application/json")) {
        return Refused(400, "the body must be sent as application/json", "set Content-Type");
      }
      return {.body_limit = match.route->open ? kLargestAtDoor : kLargestJson, .slow = match.route->slow};
    case Route::Body::kTable:
      if (!head.content_type.starts_with("text/")) return Refused(400, "the list must be sent as text/csv", "set Content-Type");
      return {.body_limit = kLargestTable, .slow = true};
    case Route::Body::kFile:
      return {.body_limit = app.largest_file, .streamed = true, .slow = true};
  }
  return {};
}

// "/?start=TOKEN" lets a browser in, once.
Response Start(App& app, const RequestHead& head) {
  Response response;
  response.type = "text/html; charset=utf-8";
  response.headers = {{"Cache-Control", "no-store"}};
  if (auto cookie = app.guard.Redeem(QueryValue(head, "start"))) {
    response.headers.emplace_back("Set-Cookie", *cookie);
  } else if (!app.guard.Who(head)) {
    response.status = 403;
    response.text =
        "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>Fairlead</title><h1>This address has been "
        "used</h1><p>Each printed address lets one browser in, once. Type <code>fairlead address</code> where the "
        "program runs for a new one.</p></html>";
    return response;
  }
  response.status = 303;
  response.headers.emplace_back("Location", "/");
  return response;
}

Response AnswerFile(App& app, const RequestHead& head) {
  if (head.path == "/" && !QueryValue(head, "start").empty()) return Start(app, head);
  auto file = app.page.Find(head);
  return file ? std::move(*file) : Refusal(404, Error{"there is no such page", "", "open /"});
}

// Where passwords are asked for: who looked at which case or image, once a session, and who wrote.
void RecordAccess(App& app, const Asked& asked, const Route& route, int status) {
  const RequestHead& head = asked.request.head;
  if (!app.guard.asks_for_passwords() || head.local || route.open) return;
  const auto visitor = app.guard.Who(head);
  if (!visitor) return;
  if (route.method != "GET" && asked.keeps && NeededFor(route) >= Role::kRecorder) {
    app.access.Write(Now(), visitor->name, head.from, status < 400 ? "write" : "write-refused", PathOnRecord(head));
  } else if (route.method == "GET" && !asked.given.empty() && status < 400) {
    RecordLook(app, head, asked.given[0]);
  }
}

void LogRefusal(App& app, const RequestHead& head, int status) {
  app.log.Write(fmt::format("{} {} -> {}", head.method == "GET" ? "GET" : "POST", PathOnRecord(head), status));
}

void AnswerRequest(App& app, Request request, const std::shared_ptr<Reply>& reply) {
  const bool api = request.head.path.starts_with("/api/") || request.head.path == "/healthz";
  if (!api) return reply->Send(AnswerFile(app, request.head));
  Match match = FindRoute(request.head);
  if (match.route == nullptr) return reply->Send(Refusal(404, Error{"there is no such path", "", "see docs/wire.md"}));
  Asked asked{std::move(request), std::move(match.given)};
  if (match.route->stream != nullptr) return match.route->stream(app, asked, reply);
  Response response = match.route->answer(app, asked);
  RecordAccess(app, asked, *match.route, response.status);
  if (response.status >= 400) LogRefusal(app, asked.request.head, response.status);
  reply->Send(std::move(response));
}

}  // namespace

std::vector<std::span<const Route>> AllRoutes() {
  return {CaseRoutes(), GapRoutes(), DoseRoutes(), FhirRoutes(), ImageRoutes(), KitRoutes(), LabRoutes(), LadderRoutes(), MomentRoutes(), LearningRoutes(), PairRoutes(), ParcelRoutes(), PeopleRoutes(), PracticeRoutes(), PullbackRoutes(), ReportRoutes(), RunRoutes(), SpacesRoutes(), TraceRoutes(), ReferenceRoutes()};
}

void RecordLook(App& app, const RequestHead& head, std::string_view id) {
  if (!app.guard.asks_for_passwords() || head.local || !IsId(id)) return;
  const auto visitor = app.guard.Who(head);
  if (visitor && app.guard.FirstLook(head, id)) app.access.Write(Now(), visitor->name, head.from, "read", id);
}

Service MakeService(App& app) {
  static constexpr std::string_view kParcelPath = "/api/cases/import";
  Service service;
  service.admit = [&app](const RequestHead& head) { return Admit(app, head); };
  service.sink = [&app](const RequestHead& head, Response& refusal) {
    return head.path == kParcelPath ? TakeParcelUpload(app, refusal) : TakeUpload(app, head, refusal);
  };
  service.answer = [&app](Request request, const std::shared_ptr<Reply>& reply) {
    AnswerRequest(app, std::move(request), reply);
  };
  service.refuse = [&app](int status, std::string what, std::string to_do) {
    app.log.Write(fmt::format("refused -> {}", status));
    return Refusal(status, Error{std::move(what), "", std::move(to_do)});
  };
  service.tick = [&app] { app.events.Beat(); };
  return service;
}

NamedText SecurityHeaders(bool secure) {
  NamedText headers = {{"Content-Security-Policy",
           "default-src 'self'; worker-src 'self' blob:; img-src 'self' blob:; "
           "object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"},
          {"X-Content-Type-Options", "nosniff"},
          {"Cross-Origin-Opener-Policy", "same-origin"},
          {"Cross-Origin-Embedder-Policy", "require-corp"},
          {"Cross-Origin-Resource-Policy", "same-origin"},
          {"Permissions-Policy", "camera=(self), microphone=(), geolocation=()"},
          {"Referrer-Policy", "no-referrer"}};
  if (secure) headers.emplace_back("Strict-Transport-Security", "max-age=31536000");  // RFC 6797
  return headers;
}

}  // namespace fairlead
