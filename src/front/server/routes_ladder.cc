// SPDX-License-Identifier: Apache-2.0
// Which way, and when to change: of a case, or of facts and a session that are supposed.
#include <algorithm>
#include <array>
#include <stop_token>
#include <string>
#include <string_view>
#include <utility>

#include "casebook/derive.h"
#include "casebook/fact_json.h"
#include "front/server/answer.h"
#include "front/server/body.h"
#include "front/server/random.h"
#include "front/server/routes.h"
#include "front/server/run_ladder.h"
#include "front/server/run_parts.h"
#include "front/server/run_shown.h"
#include "front/server/target.h"
#include "reasoning/strategy/outlook_json.h"

namespace fairlead {
namespace {

constexpr LadderWish kPrompt{.draws = kDrawsOnScreen, .doubts = 0};
constexpr LadderWish kSlow{.draws = kDrawsOnScreen, .doubts = 60};  // each of them a solution: tenths of a second

constexpr double kAgain_min = 2.0;  // while an attempt runs, the two ways on are weighed again; the timetable stands

Response Answer(LadderInput input, const LadderWish& wish, std::int64_t seq, Instant now, const std::stop_token& gone) {
  const bool runs = input.session.run.attempt.has_value();
  const auto answer = AnswerLadder(std::move(input), wish, gone);
  if (!answer.ok()) return Refusal(answer.error());
  return Json(LadderJson(*answer, seq, {.now = ToIso(now), .holds_until = runs ? ToIso(now + Duration::Minutes(kAgain_min)) : ""}));
}

// What the run says of a case's session; sought outside the lock of the practice, for it takes tens of milliseconds.
struct Standing {
  Facts facts;
  std::int64_t seq = 0;
  Session session;
};
Result<Standing> StandingOf(const State& state, const Knowledge& lab, const Priors& priors, Instant now) {
  const auto limits = LimitsOf(lab);
  if (!limits.ok()) return limits.error();
  const RunState run = RunOf(state, now);
  Standing standing{StandingFacts(state), state.entries.empty() ? 0 : state.entries.back().seq, {}};
  standing.session = LadderSessionOf(run, PatientOf(state, WithDerived(standing.facts), run), *limits, priors, now);
  return standing;
}

Response NoSuchCase(const std::string& id) { return Refusal(404, Error{"there is no case \"" + id.substr(0, 40) + "\"", "", "GET /api/cases lists them"}); }

Response LadderPanel(App& app, Asked& asked) {
  const RequestHead& head = asked.request.head;
  const auto known = app.practice.Has(asked.given[0]);
  if (!known.ok()) return Refusal(known.error());
  if (!*known) return NoSuchCase(asked.given[0]);
  Instant now = Now();
  std::optional<CasePicture::Past> past;
  const auto named = [&](std::string_view name) { return std::ranges::any_of(head.query, [&](const auto& one) { return one.first == name; }); };
  if (const std::string_view time = QueryValue(head, "at"); !time.empty()) {
    auto at = ParseIso(time);
    if (!at.ok()) return Refusal(Within("at", at.error()));
    now = *at;
    past = CasePicture::Past{*at, named("known")};
  }
  auto state = app.practice.StateOf(asked.given[0], past);
  if (!state.ok()) return Refusal(state.error());
  auto lab = app.practice.Lab(past && past->known ? std::optional(past->at) : std::nullopt);
  if (!lab.ok()) return Refusal(lab.error());
  auto priors = PriorsOf(**lab);
  if (!priors.ok()) return Refusal(priors.error());
  auto standing = StandingOf(*state, **lab, *priors, now);
  if (!standing.ok()) return Refusal(standing.error());
  return Answer({WithDerived(standing->facts), std::move(*priors), std::move(standing->session)}, named("doubts") ? kSlow : kPrompt, standing->seq, now, asked.request.gone);
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
  auto lab = app.practice.Lab();
  if (!lab.ok()) return Refusal(lab.error());
  auto priors = PriorsOf(**lab);
  if (!priors.ok()) return Refusal(priors.error());
  const Instant now = Now();
  if (!body->case_id.empty()) {
    auto state = app.practice.StateOf(body->case_id, std::nullopt);
    if (!state.ok()) return Refusal(state.error());
    auto run = StandingOf(*state, **lab, *priors, now);
    if (!run.ok()) return Refusal(run.error());
    *session = Supposed(std::move(run->session), *session);
  }
  return Answer({WithDerived(standing->facts), std::move(*priors), std::move(*session)}, body->doubts ? kSlow : kPrompt, standing->seq, now, asked.request.gone);
}

Response ShowPriors(App& app, Asked&) {
  auto lab = app.practice.Lab();
  if (!lab.ok()) return Refusal(lab.error());
  auto priors = PriorsOf(**lab);
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
