// SPDX-License-Identifier: Apache-2.0
#include "reasoning/caution/caution.h"

#include <algorithm>
#include <cstddef>
#include <map>

#include "casebook/derive.h"
#include "reasoning/score/score.h"

namespace fairlead {
namespace {

constexpr double kQuiet_min = 10.0;  // a rule that spoke is not announced again within it
constexpr double kLate_min = 5.0;    // typed so long after it happened: late; chosen
constexpr double kOldPressure_min = 15.0;

// Facts as they stood at an instant: of each the last that had been stated by then.
Facts FactsAt(const State& state, Instant at) {
  Facts facts;
  for (const auto& [key, fact] : state.facts) {
    for (auto index = fact.standing.rbegin(); index != fact.standing.rend(); ++index) {
      const Entry& entry = state.entries[*index];
      if (entry.at > at) continue;
      if (const auto* stated = std::get_if<FactStated>(&entry.data)) facts.emplace(key, stated->belief);
      break;
    }
  }
  return WithDerived(facts);
}

// The expected total, where nothing is missing.
std::optional<double> JCtoOf(const Facts& facts) {
  const ScoreResult j_cto = Evaluate(*FindScore("j-cto"), facts);
  if (!j_cto.totals) return std::nullopt;
  double expected = 0.0;
  for (const auto& [total, p] : *j_cto.totals) expected += p * total;
  return expected;
}

// Facts and what follows from them, made anew only where a fact was stated since.
class KnownThen {
 public:
  explicit KnownThen(const State& state) : state_(&state) {
    for (const auto& [key, fact] : state.facts)
      for (const EntryIndex index : fact.standing) stated_.push_back(state.entries[index].at);
    std::ranges::sort(stated_);
  }
  RunPatient PatientAt(Instant at, const RunState& run) {
    const auto stated = std::ranges::upper_bound(stated_, at) - stated_.begin();
    if (stated != made_) {
      made_ = stated;
      facts_ = FactsAt(*state_, at);
      j_cto_ = JCtoOf(facts_);
    }
    RunPatient patient = PatientOf(*state_, facts_, run);
    patient.j_cto = j_cto_;
    return patient;
  }

 private:
  const State* state_;
  std::vector<Instant> stated_;
  std::ptrdiff_t made_ = -1;  // of so many statements
  Facts facts_;
  std::optional<double> j_cto_;
};

std::vector<Instant> Instants(const State& state, Instant now) {
  std::vector<Instant> instants;
  for (const EntryIndex index : state.run)
    if (state.entries[index].at <= now) instants.push_back(state.entries[index].at);
  const std::optional<Instant> first = instants.empty() ? std::nullopt : std::optional(instants.front());
  for (const auto& [key, fact] : state.facts)
    for (const EntryIndex index : fact.standing)
      if (first && state.entries[index].at > *first && state.entries[index].at <= now) instants.push_back(state.entries[index].at);
  std::ranges::sort(instants);
  instants.erase(std::unique(instants.begin(), instants.end()), instants.end());
  return instants;
}

bool IsLate(const State& state, const std::vector<std::string>& because) {
  return std::ranges::any_of(because, [&](const std::string& id) {
    const auto place = state.places.find(id);
    if (place == state.places.end()) return false;
    const Entry& entry = state.entries[place->second];
    return (entry.written - entry.at).minutes() > kLate_min;
  });
}

class Watch {
 public:
  Watch(const State& state, std::span<const Relevelled> changes) : state_(&state), changes_(changes) {}

  // The intervals of one segment joined to those before it.
  void Take(const Rule& rule, const RunMoment& moment, bool last) {
    const Relevelled* change = ChangeOf(rule.id);
    if (change != nullptr && change->off) return;
    const Verdict verdict = rule.check(moment);
    if (last && !verdict.lacks.empty()) Lacks(verdict.lacks, rule.id);
    Caution* open = Open(rule);
    bool held = false;
    for (std::size_t i = 0; i < verdict.firings.size(); ++i) {
      const Firing& firing = verdict.firings[i];
      const Instant begin = std::max(firing.from, moment.from);
      std::optional<Instant> end = firing.until;
      if (i + 1 < verdict.firings.size()) end = end ? std::min(*end, verdict.firings[i + 1].from) : verdict.firings[i + 1].from;
      if (last) Wakes(begin, end, moment.until);
      if (end && *end <= begin) continue;
      // The end of a segment belongs to the next one; of the last one, the moment asked for belongs to it.
      if (last ? begin > moment.until : begin >= moment.until) continue;
      open = Continue(rule, firing, change, begin, open);
      held = true;
      if (end && *end <= moment.until) {
        open->end = *end;
        open = nullptr;
        held = false;
      }
    }
    if (!held && open != nullptr && !open->end) open->end = std::max(open->begin, moment.from);
  }

  Cautions Finish(const RunState& run, Instant now) {
    Cautions cautions;
    for (Caution& caution : intervals_) {
      const auto accepted = run.accepted.find(Small(caution.rule->id));
      if (!caution.end && accepted != run.accepted.end() && accepted->second.at >= caution.begin && caution.rule->can_be_accepted) caution.accepted = accepted->second;
      caution.late = IsLate(*state_, caution.because);
    }
    std::ranges::stable_sort(intervals_, {}, &Caution::begin);
    cautions.intervals = std::move(intervals_);
    for (auto& [lacks, rules] : lacking_) cautions.not_watched.push_back({lacks, std::move(rules), std::nullopt});
    OldPressure(run, now, cautions);
    cautions.holds_until = wakes_;
    return cautions;
  }

 private:
  static std::string Small(std::string_view id) {
    std::string small(id);
    for (char& c : small) c = c == 'S' ? 's' : c;
    return small;
  }
  const Relevelled* ChangeOf(std::string_view id) const {
    const auto found = std::ranges::find_if(changes_, [id](const Relevelled& change) { return change.rule == id; });
    return found == changes_.end() ? nullptr : &*found;
  }
  Caution* Open(const Rule& rule) {
    for (auto caution = intervals_.rbegin(); caution != intervals_.rend(); ++caution)
      if (caution->rule == &rule) return caution->end ? nullptr : &*caution;
    return nullptr;
  }
  Caution* Continue(const Rule& rule, const Firing& firing, const Relevelled* change, Instant begin, Caution* open) {
    const Severity severity = change != nullptr && change->severity ? *change->severity : firing.severity;
    const bool worse = open != nullptr && (firing.step > open->step || severity > open->severity);
    if (open != nullptr && !worse) {  // one that has become less grave goes on, as grave as it is now
      open->severity = severity;
      open->step = firing.step;
      open->text = firing.text;
      open->because = firing.because;
      return open;
    }
    bool again = false;
    for (const Caution& before : intervals_)
      again = again || (before.rule == &rule && before.step >= firing.step && (begin - before.begin).minutes() < kQuiet_min);
    if (open != nullptr) open->end = begin;
    intervals_.push_back({&rule, severity, firing.step, begin, std::nullopt, firing.text, firing.because, again, false, std::nullopt});
    return &intervals_.back();
  }
  void Lacks(const std::string& what, std::string_view rule) { lacking_[what].push_back(rule); }
  void Wakes(Instant begin, std::optional<Instant> end, Instant now) {
    for (const std::optional<Instant> at : {std::optional(begin), end})
      if (at && *at > now && (!wakes_ || *at < *wakes_)) wakes_ = at;
  }
  void OldPressure(const RunState& run, Instant now, Cautions& cautions) {
    if (!GearInCoronary(run) || Over(run)) return;
    std::optional<Instant> since;
    if (!run.pressures.empty()) since = run.pressures.back().at;
    const Instant old = (since ? *since : run.sessions.back().start) + Duration::Minutes(kOldPressure_min);
    if (now >= old) cautions.not_watched.push_back({"a blood pressure of the last 15 min", {"S-34", "S-36", "S-40"}, since});
    else if (!wakes_ || old < *wakes_) wakes_ = old;
  }

  const State* state_;
  std::span<const Relevelled> changes_;
  std::vector<Caution> intervals_;
  std::map<std::string, std::vector<std::string_view>> lacking_;
  std::optional<Instant> wakes_;
};

}  // namespace

std::string_view SeverityWord(Severity severity) {
  switch (severity) {
    case Severity::kInfo: return "info";
    case Severity::kCaution: return "caution";
    case Severity::kStop: return "stop and think";
  }
  return "";
}

Cautions CautionsOf(const State& state, const RunLimits& limits, std::span<const Relevelled> changes, Instant now) {
  const std::vector<Instant> instants = Instants(state, now);
  Watch watch(state, changes);
  KnownThen known(state);
  RunState run;
  std::size_t next = 0;
  std::size_t sessions = 0;
  for (std::size_t i = 0; i < instants.size(); ++i) {
    for (; next < state.run.size() && state.entries[state.run[next]].at <= instants[i]; ++next) Apply(run, state.entries[state.run[next]]);
    if (run.sessions.size() > sessions) {  // what an earlier visit said is past
      sessions = run.sessions.size();
      watch = Watch(state, changes);
    }
    if (run.sessions.empty()) continue;
    const RunPatient patient = known.PatientAt(instants[i], run);
    const bool last = i + 1 == instants.size();
    const RunMoment moment{run, patient, limits, instants[i], last ? now : instants[i + 1]};
    for (const Rule& rule : Rules()) watch.Take(rule, moment, last);
  }
  return watch.Finish(run, now);
}

std::vector<const Caution*> Holding(const Cautions& cautions) {
  std::vector<const Caution*> holding;
  for (const Caution& caution : cautions.intervals)
    if (!caution.end) holding.push_back(&caution);
  std::ranges::stable_sort(holding, [](const Caution* a, const Caution* b) {
    if (a->accepted.has_value() != b->accepted.has_value()) return !a->accepted.has_value();
    return a->severity != b->severity ? a->severity > b->severity : a->begin > b->begin;
  });
  return holding;
}

}  // namespace fairlead
