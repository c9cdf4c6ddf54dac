// SPDX-License-Identifier: Apache-2.0
#include "practice/learning/observed.h"

#include <algorithm>
#include <charconv>
#include <optional>

#include "casebook/derive.h"
#include "casebook/run/run_state.h"
#include "reasoning/score/score.h"

namespace fairlead {
namespace {

constexpr int kUnknown = -1;  // difficulty

int DifficultyOf(const State& state) {
  const ScoreResult j_cto = Evaluate(*FindScore("j-cto"), WithDerived(StandingFacts(state)));
  if (!j_cto.totals || j_cto.totals->empty()) return kUnknown;
  std::array<double, kDifficulties> odds{};
  for (const auto& [total, p] : *j_cto.totals) odds[static_cast<std::size_t>(std::clamp(total, 0.0, 3.0))] += p;
  return static_cast<int>(std::ranges::max_element(odds) - odds.begin());
}

// Minutes from now over which leaving was said to make no odds: the sentence that the board keeps (its words are those of
// reasoning/strategy's FlatSentence).
struct SaidFlat {
  Instant at;
  double from = 0.0, to = 0.0;
};

std::optional<double> NumberAfter(std::string_view text, std::string_view words) {
  const auto place = text.find(words);
  if (place == std::string_view::npos) return std::nullopt;
  const std::string_view rest = text.substr(place + words.size());
  double number = 0.0;
  const auto [end, fault] = std::from_chars(rest.data(), rest.data() + rest.size(), number);
  return fault == std::errc() ? std::optional(number) : std::nullopt;
}

std::optional<SaidFlat> SaidBy(const Entry& entry) {
  const auto* shown = std::get_if<Shown>(&entry.data);
  if (shown == nullptr || (shown->at_step != "start" && shown->at_step != "switch" && shown->at_step != "phase")) return std::nullopt;
  const std::string_view text = shown->text;
  const auto begin = text.find("which way: leaving ");
  if (begin == std::string_view::npos) return std::nullopt;
  const std::string_view line = text.substr(begin, text.find('\n', begin) - begin);
  if (const auto more = NumberAfter(line, "and for ")) return SaidFlat{entry.at, 0.0, *more};
  const auto from = NumberAfter(line, "from "), to = NumberAfter(line, " to ");
  return from && to ? std::optional(SaidFlat{entry.at, *from, *to}) : std::nullopt;
}

ShownThen ShownAtStop(const State& state, const RunAttempt& attempt) {
  std::optional<SaidFlat> last;
  for (const Entry& entry : state.entries) {
    if (entry.at < attempt.start || entry.at >= *attempt.end) continue;
    if (const auto said = SaidBy(entry); said && (!last || said->at <= entry.at)) last = said;
  }
  if (!last) return ShownThen::kNothing;
  const double stopped = (*attempt.end - last->at).minutes();
  return stopped < last->from ? ShownThen::kBefore : stopped <= last->to + 1.0 ? ShownThen::kWithin : ShownThen::kAfter;
}

ObservedAttempt ObservedOf(const State& state, const RunState& run, const RunAttempt& attempt) {
  ObservedAttempt seen;
  seen.strategy = IsRetrograde(attempt.strategy) ? "RW/RDR" : std::string(StrategyWord(attempt.strategy));
  seen.minutes = std::max(kLeastMinutes, WorkedMinutes(run, attempt.start, *attempt.end));
  seen.ending = attempt.ended == AttemptEnd::kCrossed ? Ending::kCrossed : attempt.reason == "complication" ? Ending::kComplication : Ending::kStopped;
  seen.planned = attempt.reason == "planned" || attempt.reason == "limit";
  if (seen.ending == Ending::kStopped) seen.shown = ShownAtStop(state, attempt);
  return seen;
}

// The runs of every visit, each as it stood when the next began.
std::vector<RunState> VisitsOf(const State& state) {
  std::vector<RunState> visits;
  RunState run;
  for (const EntryIndex index : state.run) {
    const std::size_t sessions = run.sessions.size();
    RunState next = run;
    Apply(next, state.entries[index]);
    if (sessions > 0 && next.sessions.size() > sessions) visits.push_back(run);
    run = std::move(next);
  }
  visits.push_back(std::move(run));
  return visits;
}

// Retrograde wiring that turned into dissection is one attempt of the priors' one retrograde rung.
void Join(std::vector<ObservedAttempt>& attempts, ObservedAttempt next) {
  if (!attempts.empty() && attempts.back().strategy == next.strategy && attempts.back().ending == Ending::kStopped) {
    next.minutes += attempts.back().minutes;
    attempts.pop_back();
  }
  next.position = static_cast<int>(attempts.size()) + 1;
  attempts.push_back(std::move(next));
}

void Keep(Observed& all, std::vector<ObservedAttempt> attempts, int difficulty, const std::string& case_id, bool invented) {
  if (difficulty == kUnknown) {
    all.no_difficulty += static_cast<int>(attempts.size());
    return;
  }
  for (ObservedAttempt& one : attempts) {
    one.case_id = case_id;
    one.difficulty = static_cast<std::size_t>(difficulty);
    one.invented = invented;
    all.attempts.push_back(std::move(one));
  }
}

}  // namespace

Observed AttemptsOf(const std::string& case_id, const State& state) {
  Observed all;
  if (state.run.empty()) return all;
  const int difficulty = DifficultyOf(state);
  const CaseOpened* opened = CaseInfo(state);
  for (const RunState& run : VisitsOf(state)) {
    std::vector<ObservedAttempt> attempts;
    for (const RunAttempt& attempt : run.attempts) {
      if (!attempt.end) ++all.open;
      else Join(attempts, ObservedOf(state, run, attempt));
    }
    Keep(all, std::move(attempts), difficulty, case_id, opened != nullptr && opened->invented);
  }
  Append(all, StepsOf(state, opened != nullptr && opened->invented));
  return all;
}

Observed AttemptsOf(const std::vector<CaseRow>& rows) {
  Observed all;
  for (const CaseRow& row : rows) {
    std::vector<ObservedAttempt> attempts;
    for (const Try& one : row.tries) {
      ObservedAttempt seen;
      seen.strategy = one.strategy == "RW" || one.strategy == "RDR" ? "RW/RDR" : one.strategy;
      seen.minutes = std::max(kLeastMinutes, one.minutes);
      seen.ending = one.crossed ? Ending::kCrossed : Ending::kStopped;
      seen.harm_told = false;
      Join(attempts, std::move(seen));
    }
    Keep(all, std::move(attempts), row.j_cto ? std::clamp(*row.j_cto, 0, 3) : kUnknown, row.id, row.invented);
  }
  return all;
}

void Append(Observed& all, Observed more) {
  all.no_difficulty += more.no_difficulty;
  all.open += more.open;
  for (ObservedAttempt& one : more.attempts) all.attempts.push_back(std::move(one));
  for (TriedStep& one : more.steps) all.steps.push_back(std::move(one));
  all.steps_open += more.steps_open;
}

}  // namespace fairlead
