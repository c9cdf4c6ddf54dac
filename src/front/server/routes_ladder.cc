// SPDX-License-Identifier: Apache-2.0
// Which way, and when to change: of a case, or of facts and a session that are supposed.
#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <utility>

#include "casebook/derive.h"
#include "casebook/fact_json.h"
#include "front/server/answer.h"
#include "front/server/body.h"
#include "front/server/routes.h"
#include "front/server/target.h"
#include "reasoning/strategy/outlook_json.h"

namespace fairlead {
namespace {

constexpr LadderWish kPrompt{.draws = 200, .doubts = 0};
constexpr LadderWish kSlow{.draws = 200, .doubts = 60};  // each of them a solution: tenths of a second

Result<Priors> PriorsOf(App& app) {
  auto lab = app.practice.Lab();
  if (!lab.ok()) return lab.error();
  const KnowledgeText* own = FindKnowledge(**lab, "priors");
  if (own == nullptr) return PublishedPriors();
  auto priors = ParsePriors(own->text);
  if (!priors.ok()) return Within("the lab's priors", priors.error());
  return priors;
}

// Sought outside the lock of the practice: it takes tens of milliseconds.
Response AnswerFor(App& app, StandingCase standing, Session session, const LadderWish& wish) {
  auto priors = PriorsOf(app);
  if (!priors.ok()) return Refusal(priors.error());
  const auto answer = AnswerLadder({WithDerived(std::move(standing.facts)), std::move(*priors), std::move(session)}, wish);
  return answer.ok() ? Json(LadderJson(*answer, standing.seq)) : Refusal(answer.error());
}

Response NoSuchCase(const std::string& id) { return Refusal(404, Error{"there is no case \"" + id.substr(0, 40) + "\"", "", "GET /api/cases lists them"}); }

Response LadderPanel(App& app, Asked& asked) {
  const auto known = app.practice.Has(asked.given[0]);
  if (!known.ok()) return Refusal(known.error());
  if (!*known) return NoSuchCase(asked.given[0]);
  auto standing = app.practice.Standing(asked.given[0], {});
  if (!standing.ok()) return Refusal(standing.error());
  const bool doubts = std::ranges::any_of(asked.request.head.query, [](const auto& one) { return one.first == "doubts"; });
  return AnswerFor(app, std::move(*standing), {}, doubts ? kSlow : kPrompt);
}

struct LadderBody {
  std::string case_id;
  std::string_view facts = "{}", session = "{}";
  bool doubts = false;
};

// {"case", "facts", "session", "doubts"}, all optional.
Result<LadderBody> ParseLadderBody(std::string_view json) {
  auto members = MembersOf(json);
  if (!members.ok()) return members.error();
  LadderBody body;
  for (const auto& [name, value] : *members) {
    if (name == "facts") body.facts = value;
    else if (name == "session") body.session = value;
    else if (name == "doubts" && (value == "true" || value == "false")) body.doubts = value == "true";
    else if (name == "case") {
      auto id = ParseText(value);
      if (!id.ok()) return Within("case", id.error());
      body.case_id = std::move(*id);
    } else return Error{"there is no member \"" + name.substr(0, 40) + "\" here", "body", "known are case, facts, session, doubts (true or false)"};
  }
  return body;
}

Response SupposedLadder(App& app, Asked& asked) {
  auto body = ParseLadderBody(asked.request.body);
  if (!body.ok()) return Refusal(body.error());
  if (!body->case_id.empty()) {
    const auto known = app.practice.Has(body->case_id);
    if (!known.ok()) return Refusal(known.error());
    if (!*known) return NoSuchCase(body->case_id);
    RecordLook(app, asked.request.head, body->case_id);
  }
  auto patch = ParseFacts(body->facts);
  if (!patch.ok()) return Refusal(Within("facts", patch.error()));
  auto session = ParseSession(body->session);
  if (!session.ok()) return Refusal(Within("session", session.error()));
  auto standing = app.practice.Standing(body->case_id, *patch);
  if (!standing.ok()) return Refusal(standing.error());
  return AnswerFor(app, std::move(*standing), std::move(*session), body->doubts ? kSlow : kPrompt);
}

Response ShowPriors(App& app, Asked&) {
  auto priors = PriorsOf(app);
  return priors.ok() ? Json(PriorsJson(*priors)) : Refusal(priors.error());
}

constexpr std::array<Route, 3> kRoutes = {{
    {.method = "GET", .path = "/api/cases/{id}/panels/ladder", .slow = true, .answer = LadderPanel},
    {.method = "POST", .path = "/api/ladder", .body = Route::Body::kJson, .slow = true, .needs = Role::kReader, .answer = SupposedLadder},
    {.method = "GET", .path = "/api/priors", .answer = ShowPriors},
}};

}  // namespace

std::span<const Route> LadderRoutes() { return kRoutes; }

}  // namespace fairlead
