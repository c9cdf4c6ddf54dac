// SPDX-License-Identifier: Apache-2.0
// Safety rules over the run, as one declarative table. A caution is an interval on the time line: each rule gives the
// instant at which its condition begins, so that nothing polls, and a replay, a server that slept and a second machine
// give the same list. Words are for a recorder to read aloud: never an order.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/fold.h"
#include "casebook/run/run_state.h"
#include "measure/source.h"
#include "reasoning/budget/budget.h"
#include "reasoning/budget/limits.h"
#include "reasoning/budget/patient.h"

namespace fairlead {

enum class Severity : std::uint8_t { kInfo, kCaution, kStop };  // stop: stop and think
std::string_view SeverityWord(Severity severity);               // "info", "caution", "stop and think"

// The state after everything that happened up to `from`, which lasts until `until`.
struct RunMoment {
  const RunState& run;
  const RunPatient& patient;
  const RunLimits& limits;
  Instant from, until;
};

// A rule's condition holds from `from` on (or from the moment's start, if that is later), until `until` if given.
struct Firing {
  Instant from;
  std::optional<Instant> until;
  int step = 0;  // of a rule with levels: a further one speaks again
  Severity severity = Severity::kCaution;
  std::string text;
  std::vector<std::string> because;  // ids of entries
};

struct Verdict {
  std::vector<Firing> firings;  // ascending in `from`; the later takes the place of the earlier
  std::string lacks;            // what the rule cannot see for want of: "weight"; empty if it can
};

struct Rule {
  std::string_view id;        // "S-03"
  std::string_view watches;   // one line: the condition
  std::string_view at_most_eight_words;  // for the wall
  std::string_view evidence;  // G guideline, C consensus, T trial, R registry, S single centre, P practice, derived
  SourceId source;
  std::string_view clears;
  Severity severity;
  bool can_be_accepted;       // S-34 to S-39 go on speaking
  Verdict (*check)(const RunMoment& moment);
};

// By id, S-01 to S-56.
std::span<const Rule> Rules();
const Rule* FindRule(std::string_view id);

// How the lab changed a rule; from its text "rules", with owner and version in the drawer.
struct Relevelled {
  std::string rule;
  bool off = false;
  std::optional<Severity> severity;
  std::string why;
};
// {"S-25": {"off": true, "why": "..."}, "S-16": {"severity": "caution", "why": "..."}}
Result<std::vector<Relevelled>> RelevelledFromJson(std::string_view json);

struct Caution {
  const Rule* rule = nullptr;
  Severity severity{};
  int step = 0;
  Instant begin;
  std::optional<Instant> end;        // none: it holds at the moment asked for
  std::string text;
  std::vector<std::string> because;
  bool again = false;                // it spoke less than ten minutes ago: not announced anew
  bool late = false;                 // an entry typed late brought it
  std::optional<At<std::string>> accepted;  // why, when; only while it holds
};

struct NotWatched {
  std::string lacks;                 // "kidney function"
  std::vector<std::string_view> rules;
  std::optional<Instant> since;      // of a reading that has grown old
};

struct Cautions {
  std::vector<Caution> intervals;    // all of the session, by begin
  std::vector<NotWatched> not_watched;
  std::optional<Instant> holds_until;  // the first instant at which, with no entry, a caution begins or ends
};

// As they stand at `now`, from everything that happened up to then.
Cautions CautionsOf(const State& state, const RunLimits& limits, std::span<const Relevelled> changes, Instant now);

// Those that hold at the end, gravest first, the newest of equals first.
std::vector<const Caution*> Holding(const Cautions& cautions);

}  // namespace fairlead
