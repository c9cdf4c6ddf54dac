// SPDX-License-Identifier: Apache-2.0
// What one's own attempts make of the published priors; and putting the proposal in force, which the lab does.
#include <array>
#include <utility>

#include "casebook/entry_json.h"
#include "front/server/answer.h"
#include "front/server/body.h"
#include "front/server/json_text.h"
#include "front/server/random.h"
#include "front/server/routes.h"
#include "front/server/run_ladder.h"
#include "practice/learning/learn.h"

namespace fairlead {
namespace {

struct Lesson {
  Learned learned;
  Priors in_force;
};

// Every case is read; a worker kept for slow answers does it.
Result<Lesson> LearnHere(App& app) {
  auto lab = app.practice.Lab();
  if (!lab.ok()) return lab.error();
  auto in_force = PriorsOf(**lab);
  if (!in_force.ok()) return in_force.error();
  auto lines = app.practice.journal().Cases();
  if (!lines.ok()) return lines.error();
  Observed observed;
  for (const CaseLine& line : *lines) {
    const auto state = app.practice.StateOf(line.id, std::nullopt);
    if (!state.ok()) return Within(line.id, state.error());
    Append(observed, AttemptsOf(line.id, *state));
  }
  if (const KnowledgeText* past = FindKnowledge(**lab, kPastCases)) {
    auto rows = ParseCaseRows(past->text);
    if (!rows.ok()) return Within("the lab's past cases", rows.error());
    Append(observed, AttemptsOf(*rows));
  }
  return Lesson{Learn(observed, StartOfLearning(*in_force), ToIso(Now()).substr(0, 10)), std::move(*in_force)};
}

Response ShowLearning(App& app, Asked&) {
  const auto lesson = LearnHere(app);
  return lesson.ok() ? Json(LearnedJson(lesson->learned, lesson->in_force)) : Refusal(lesson.error());
}

struct AcceptBody {
  double attempts = -1.0;  // that the proposal rested on when it was read
  std::string by, owner;
};

Result<AcceptBody> ParseAcceptBody(std::string_view json) {
  auto members = MembersOf(json);
  if (!members.ok()) return members.error();
  AcceptBody body;
  for (const auto& [name, value] : *members) {
    if (name == "attempts") {
      auto count = ParseNumber(value);
      if (!count.ok()) return Within(name, count.error());
      body.attempts = *count;
      continue;
    }
    if (name != "by" && name != "owner") return Error{"there is no member \"" + name.substr(0, 40) + "\" here", "body", "send attempts, by, owner"};
    auto text = ParseText(value);
    if (!text.ok()) return Within(name, text.error());
    (name == "by" ? body.by : body.owner) = std::move(*text);
  }
  for (const std::string* text : {&body.by, &body.owner})
    if (text->empty() || text->size() > 64) return Error{"who accepts is not said", text == &body.by ? "by" : "owner", "send initials, and the role that answers for the lab's priors"};
  return body;
}

Response AcceptLearning(App& app, Asked& asked) {
  auto body = ParseAcceptBody(asked.request.body);
  if (!body.ok()) return Refusal(body.error());
  auto lesson = LearnHere(app);
  if (!lesson.ok()) return Refusal(lesson.error());
  Learned& learned = lesson->learned;
  if (learned.attempts == 0) return Refusal(409, Error{"there are no attempts of one's own to learn from", "", "the published priors stay in force"});
  if (learned.attempts != static_cast<int>(body->attempts)) return Refusal(409, Error{"the proposal has changed since it was read", "attempts", "read it again: it rests on " + std::to_string(learned.attempts) + " attempts now"});
  learned.proposal.owner = body->owner;
  Entry entry;
  const Instant now = Now();
  entry.id = NewUlid(now, RandomTail());
  entry.at = entry.written = now;
  entry.by = body->by;
  entry.device = "page";
  entry.data = KnowledgeWritten{.name = "priors", .owner = body->owner, .version = learned.proposal.version, .text = PriorsJson(learned.proposal)};
  entry.kind = KindName(entry.data);
  const IncomingEntry incoming = MakeIncoming(std::move(entry));
  const auto receipts = app.practice.Append(std::string(kLabCase), {&incoming, 1});
  return receipts.ok() ? Json(ReceiptsJson(*receipts)) : Refusal(receipts.error());
}

constexpr std::array<Route, 2> kRoutes = {{
    {.method = "GET", .path = "/api/practice/learning", .slow = true, .answer = ShowLearning},
    {.method = "POST", .path = "/api/practice/learning", .body = Route::Body::kJson, .slow = true, .needs = Role::kAdministrator, .answer = AcceptLearning},
}};

}  // namespace

std::span<const Route> LearningRoutes() { return kRoutes; }

}  // namespace fairlead
