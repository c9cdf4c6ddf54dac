// SPDX-License-Identifier: Apache-2.0
#include "practice/registry/visit.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "casebook/derive.h"
#include "measure/source.h"
#include "practice/registry/plan_row.h"
#include "practice/registry/visit_parts.h"
#include "reasoning/budget/patient.h"

namespace fairlead {
namespace {

constexpr double kOpenResidual = 30;  // percent, strictly below
[[maybe_unused]] constexpr SourceId kOpenSource = "cto-arc-2021"_source;
constexpr double kDictatedMinutes = 24 * 60;  // facts dictated after a visit are still its own: chosen
constexpr double kInHospitalDays = 7;  // how long the stay was is not recorded: practice, no source

bool SomebodyLooked(const RunState& run, Instant from) {
  if (const auto tick = run.ticks.find({"close", "complications"}); tick != run.ticks.end() && tick->second.value.state == "done") return true;
  return std::any_of(run.follow_ups.begin(), run.follow_ups.end(), [&](const At<RunEvent>& each) {
    return !(each.at < from) && WordOf(each.value, RunField::kOutcome) == "well";
  });
}

// When somebody first stood for the report between two moments: an entry of what was shown at the step "signed".
constexpr Instant kNever{std::numeric_limits<std::int64_t>::max()};
std::optional<Instant> SignedBetween(const State& state, Instant from, Instant until) {
  for (std::size_t i = 0; i < state.entries.size(); ++i) {
    const Entry& entry = state.entries[i];
    const auto* shown = std::get_if<Shown>(&entry.data);
    if (shown == nullptr || shown->at_step != "signed" || state.status[i] != EntryStatus::kCounts) continue;
    if (!(entry.at < from) && entry.at < until) return entry.at;
  }
  return std::nullopt;
}

void SayMissing(LabVisit& visit) {
  const CaseRow& row = visit.row;
  const std::pair<const char*, bool> members[] = {
      {"by", row.by.empty()},       {"vessel", row.vessel.empty()},   {"j_cto", !row.j_cto},         {"success", !row.success},
      {"complication", !row.complication}, {"contrast_ml", !row.contrast_ml}, {"air_kerma_gy", !row.air_kerma_gy}, {"fluoro_min", !visit.fluoro_min},
      {"egfr", !visit.egfr},        {"attempts", visit.attempts.empty()}};
  for (const auto& [name, lacks] : members) {
    if (lacks) visit.missing.emplace_back(name);
  }
}

void SayRemarks(LabVisit& visit, const RunState& run) {
  const bool said = visit.result == "success";
  if (visit.row.success && !visit.result.empty() && said != *visit.row.success && visit.residual_pct && visit.flow) {
    visit.remarks.push_back("the result was said to be \"" + visit.result + "\", flow and residual say otherwise; they count");
  }
  if (!run.sessions.back().end) visit.remarks.push_back("the end of the run was not logged: it ends here when its report was signed");
  if (run.contrast_fell) visit.remarks.push_back("a stated contrast total was below the one before");
  if (run.air_kerma.fell) visit.remarks.push_back("the console's air kerma went back without a new examination being named");
}

// `state` holds the facts as they stood for this visit, `run` the run at its end and what was said after it.
LabVisit VisitOf(const std::string& case_id, const State& state, const RunState& run, std::optional<Instant> signed_at) {
  const RunSession& session = run.sessions.back();
  const Facts facts = WithDerived(StandingFacts(state));
  LabVisit visit;
  visit.case_id = case_id;
  visit.number = static_cast<int>(run.sessions.size());
  visit.ended = session.end.value_or(signed_at.value_or(session.start));
  visit.signed_at = signed_at;
  CaseRow& row = visit.row;
  row.id = visit.number == 1 ? case_id : case_id + "/" + std::to_string(visit.number);
  row.began = session.access.value_or(session.start);
  if (!state.case_opened.empty()) {
    const Entry& opened = state.entries[state.case_opened.back()];
    row.by = opened.by == "fairlead" ? std::string() : opened.by;  // a case that the program opened names nobody
    if (const CaseOpened* info = CaseInfo(state)) row.invented = info->invented;
  }
  TakeFacts(row, facts);
  row.success = TechnicalSuccess(run);
  row.complication = MajorComplication(run);
  row.minutes = (visit.ended - row.began).minutes();
  if (!run.contrast.empty()) row.contrast_ml = run.contrast.back().value;
  if (!run.air_kerma.sums.empty()) row.air_kerma_gy = run.air_kerma.sums.back().value;
  if (!run.kerma_area.sums.empty()) visit.kerma_area_gycm2 = run.kerma_area.sums.back().value;
  if (!run.fluoro.sums.empty()) visit.fluoro_min = run.fluoro.sums.back().value;
  if (run.result) visit.result = WordOf(run.result->value, RunField::kOutcome);
  if (run.residual) visit.residual_pct = run.residual->value;
  if (const auto flow = run.flows.find(""); flow != run.flows.end()) visit.flow = flow->second.value;
  visit.egfr = PatientOf(state, facts, run).egfr;
  if (visit.egfr && !row.facts.contains("egfr")) row.facts["egfr"] = *visit.egfr;
  const std::vector<BreakSpan> breaks = BreaksOf(state, session.start, visit.ended);
  visit.attempts = AttemptsOf(run, row.began, breaks);
  for (std::size_t i = 0; i < visit.attempts.size(); ++i) {
    VisitAttempt& made = visit.attempts[i];
    const RunAttempt& as_run = run.attempts[i];
    if (as_run.end && made.ended != "crossed") made.ladder = LadderNext(state, as_run.start, *as_run.end);
    row.tries.push_back({made.strategy, made.minutes, made.ended == "crossed", made.reason, made.stalled_min, made.ladder});
  }
  visit.devices = DevicesOf(run, row.began);
  if (!visit.devices.empty()) {
    for (const std::string_view kind : kCountedKit) row.kit[std::string(kind)] = 0;
    for (const VisitDevice& each : visit.devices) {
      if (const auto counted = row.kit.find(each.kind); counted != row.kit.end()) ++counted->second;
    }
  }
  visit.troubles = TroublesOf(run, row.began);
  visit.longest_act_gap_min = LongestActGap(run, visit.ended);
  SayMissing(visit);
  SayRemarks(visit, run);
  return visit;
}

}  // namespace

bool VisitClosed(const RunState& run) { return Over(run); }

std::optional<bool> TechnicalSuccess(const RunState& run) {
  const auto flow = run.flows.find("");
  if (run.residual && flow != run.flows.end()) return run.residual->value < kOpenResidual && flow->second.value >= 3;
  if (!run.result) return std::nullopt;
  return WordOf(run.result->value, RunField::kOutcome) == "success";
}

std::optional<bool> MajorComplication(const RunState& run) {
  constexpr std::array<std::string_view, 4> kLate = {"death", "mi", "stroke", "repeat"};
  if (!run.drains.empty()) return true;
  const bool during = std::any_of(run.troubles.begin(), run.troubles.end(), [](const Trouble& each) { return each.kind == "tamponade" || each.kind == "stroke"; });
  if (during) return true;
  const Instant from = run.sessions.empty() ? Instant{} : run.sessions.back().start;
  const bool late = std::any_of(run.follow_ups.begin(), run.follow_ups.end(), [&](const At<RunEvent>& each) {
    return !(each.at < from) && NumberOf(each.value, RunField::kDays).value_or(0) <= kInHospitalDays &&
           std::find(kLate.begin(), kLate.end(), WordOf(each.value, RunField::kOutcome)) != kLate.end();
  });
  if (late) return true;
  if (SomebodyLooked(run, from)) return false;
  return std::nullopt;
}

CaseVisits VisitsOf(const std::string& case_id, const State& state) {
  CaseVisits found;
  RunState run;
  std::vector<RunState> closed;      // each at the last moment before the next visit opened
  for (const EntryIndex index : state.run) {
    std::optional<RunState> before;
    if (VisitClosed(run)) before = run;
    Apply(run, state.entries[index]);
    if (before && run.sessions.size() > before->sessions.size()) closed.push_back(std::move(*before));
  }
  const bool open = !run.sessions.empty() && !VisitClosed(run);
  if (VisitClosed(run) || (open && SignedBetween(state, run.sessions.back().start, kNever))) closed.push_back(std::move(run));
  if (closed.empty()) return found;
  if (state.not_understood > 0) {
    found.withheld = "an entry of this journal is not understood by this version of the program";
    return found;
  }
  for (std::size_t i = 0; i < closed.size(); ++i) {
    const Instant next = i + 1 == closed.size() ? kNever : closed[i + 1].sessions.back().start;
    const auto signed_at = SignedBetween(state, closed[i].sessions.back().start, next);
    if (i + 1 == closed.size()) {
      found.visits.push_back(VisitOf(case_id, state, closed[i], signed_at));
    } else {  // facts as they stood a day after it: what was found out for the next visit does not reach back
      const Instant dictated = closed[i].sessions.back().end.value_or(closed[i].sessions.back().start) + Duration::Minutes(kDictatedMinutes);
      const State then = Fold(state.entries, AsItWas{std::min(dictated, Instant{closed[i + 1].sessions.back().start.ms - 1})});
      found.visits.push_back(VisitOf(case_id, then, closed[i], signed_at));
    }
    found.visits.back().seq = state.seq;
  }
  return found;
}

}  // namespace fairlead
