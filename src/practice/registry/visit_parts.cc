// SPDX-License-Identifier: Apache-2.0
#include "practice/registry/visit_parts.h"

#include <algorithm>

namespace fairlead {
namespace {

double MinutesFrom(Instant began, Instant at) { return (at - began).minutes(); }

std::string_view EndWord(AttemptEnd ended) {
  switch (ended) {
    case AttemptEnd::kCrossed: return "crossed";
    case AttemptEnd::kSwitched: return "switched";
    case AttemptEnd::kStopped: return "stopped";
    case AttemptEnd::kOpen: return "open";
  }
  return "open";
}

double Overlap(const std::vector<BreakSpan>& breaks, Instant from, Instant to) {
  double minutes = 0;
  for (const BreakSpan& span : breaks) {
    const Instant start = std::max(span.start, from), end = std::min(span.end, to);
    if (start < end) minutes += (end - start).minutes();
  }
  return minutes;
}

// The last total said by `at`; 0 before the first. Nothing if none was ever said.
std::optional<double> TotalBy(const std::vector<At<double>>& totals, Instant at) {
  if (totals.empty()) return std::nullopt;
  double last = 0;
  for (const At<double>& total : totals) {
    if (at < total.at) break;
    last = total.value;
  }
  return last;
}

std::optional<double> UsedBetween(const std::vector<At<double>>& totals, Instant from, Instant to) {
  const auto start = TotalBy(totals, from), end = TotalBy(totals, to);
  if (!start || !end) return std::nullopt;
  return std::max(0.0, *end - *start);
}

// Number of the attempt at work at a moment, 0 between attempts.
int AttemptAt(const RunState& run, Instant at) {
  for (std::size_t i = run.attempts.size(); i-- > 0;) {
    const RunAttempt& made = run.attempts[i];
    if (!(at < made.start) && (!made.end || !(*made.end < at))) return static_cast<int>(i) + 1;
  }
  return 0;
}

// What is put in for good, or used for a moment: balloons, stents, covered stents.
VisitDevice FromEvent(const RunState& run, std::string kind, std::string what, const At<RunEvent>& used, Instant began) {
  VisitDevice device;
  device.kind = std::move(kind);
  device.what = std::move(what);
  device.side = SideName(used.value.side);
  device.kit = WordOf(used.value, RunField::kKit);
  device.diameter_mm = NumberOf(used.value, RunField::kDiameter);
  device.length_mm = NumberOf(used.value, RunField::kLength);
  device.in_min = MinutesFrom(began, used.at);
  device.attempt = AttemptAt(run, used.at);
  return device;
}

}  // namespace

std::vector<BreakSpan> BreaksOf(const State& state, Instant from, Instant to) {
  std::vector<BreakSpan> breaks;
  std::optional<Instant> open, next;  // the next entry after it began
  for (const EntryIndex index : state.run) {
    const Entry& entry = state.entries[index];
    if (entry.at < from || to < entry.at) continue;
    if (open && !next) next = entry.at;
    const auto* event = std::get_if<RunEvent>(&entry.data);
    if (event == nullptr || event->verb != Verb::kBreak) continue;
    const bool over = WordOf(*event, RunField::kState) == "over";
    if (open) breaks.push_back({*open, over ? entry.at : *next});
    open.reset(), next.reset();
    if (!over) open = entry.at;
  }
  if (open && next) breaks.push_back({*open, *next});
  return breaks;
}

std::vector<VisitAttempt> AttemptsOf(const RunState& run, Instant began, const std::vector<BreakSpan>& breaks) {
  std::vector<VisitAttempt> attempts;
  for (const RunAttempt& made : run.attempts) {
    VisitAttempt attempt;
    const Instant end = made.end.value_or(made.start);
    attempt.number = static_cast<int>(attempts.size()) + 1;
    attempt.strategy = StrategyWord(made.strategy);
    attempt.channel_kind = made.channel_kind;
    attempt.begun_min = MinutesFrom(began, made.start);
    attempt.break_minutes = Overlap(breaks, made.start, end);
    attempt.minutes = std::max(0.0, (end - made.start).minutes() - attempt.break_minutes);
    if (made.ended == AttemptEnd::kSwitched || made.ended == AttemptEnd::kStopped) {
      attempt.stalled_min = std::max(0.0, (end - made.last_progress).minutes() - Overlap(breaks, made.last_progress, end));
    }
    attempt.ended = EndWord(made.ended);
    attempt.reason = made.reason;
    attempt.contrast_ml = UsedBetween(run.contrast, made.start, end);
    attempt.air_kerma_gy = UsedBetween(run.air_kerma.sums, made.start, end);
    attempts.push_back(std::move(attempt));
  }
  return attempts;
}

std::string LadderNext(const State& state, Instant from, Instant until) {
  constexpr std::string_view kLine = "which way: change now [";  // as the journal keeps what was shown; then "ADR 25, RDR 40]: …" or "stop]: …"
  std::string next;
  for (std::size_t i = 0; i < state.entries.size(); ++i) {
    const Entry& entry = state.entries[i];
    const auto* shown = std::get_if<Shown>(&entry.data);
    if (shown == nullptr || state.status[i] != EntryStatus::kCounts || entry.at < from || !(entry.at < until)) continue;
    const std::size_t at = shown->text.find(kLine);
    if (at == std::string::npos) continue;
    const std::size_t start = at + kLine.size();
    const std::string word = shown->text.substr(start, shown->text.find_first_of(" ,]\n", start) - start);
    if (word.size() <= 20) next = word;
  }
  return next;
}

std::vector<VisitDevice> DevicesOf(const RunState& run, Instant began) {
  std::vector<VisitDevice> devices;
  for (const RunDevice& used : run.devices) {
    VisitDevice device;
    device.kind = DeviceWord(used.kind);
    device.side = SideName(used.side);
    device.what = !used.wire_class.empty() ? used.wire_class : used.lumens;
    device.kit = used.kit;
    device.size_f = used.size_f, device.diameter_mm = used.diameter_mm, device.tip_g = used.tip_g;
    if (used.length_cm) device.length_mm = 10 * *used.length_cm;
    device.in_min = MinutesFrom(began, used.since);
    if (used.out) device.out_min = MinutesFrom(began, *used.out);
    device.attempt = AttemptAt(run, used.since);
    devices.push_back(std::move(device));
  }
  for (const At<BalloonUse>& used : run.balloons) devices.push_back(FromEvent(run, "balloon", used.value.cutting ? "cutting" : "", {used.value.event, used.at, used.entry}, began));
  for (const At<RunEvent>& used : run.stents) devices.push_back(FromEvent(run, "stent", "", used, began));
  for (const At<RunEvent>& used : run.covered_stents) devices.push_back(FromEvent(run, "stent", "covered", used, began));
  for (const At<RunEvent>& used : run.plugs) devices.push_back(FromEvent(run, "coil", "", used, began));
  std::stable_sort(devices.begin(), devices.end(), [](const VisitDevice& a, const VisitDevice& b) { return a.in_min < b.in_min; });
  return devices;
}

std::vector<VisitTrouble> TroublesOf(const RunState& run, Instant began) {
  std::vector<VisitTrouble> troubles;
  for (const Trouble& each : run.troubles) {
    VisitTrouble trouble{each.kind, each.grade, each.site, each.cause, {}, MinutesFrom(began, each.at), {}};
    if (each.active) trouble.strategy = StrategyWord(*each.active);
    if (each.over) trouble.minutes = (*each.over - each.at).minutes();
    troubles.push_back(std::move(trouble));
  }
  return troubles;
}

std::optional<double> LongestActGap(const RunState& run, Instant ended) {
  if (run.heparin.empty() && run.acts.empty()) return std::nullopt;
  std::vector<Instant> moments;
  for (const auto& act : run.acts) moments.push_back(act.at);
  if (!run.heparin.empty()) moments.push_back(run.heparin.front().at);
  moments.push_back(ended);
  std::sort(moments.begin(), moments.end());
  double longest = 0;
  for (std::size_t i = 1; i < moments.size() && !(ended < moments[i]); ++i) longest = std::max(longest, (moments[i] - moments[i - 1]).minutes());
  return longest;
}

}  // namespace fairlead
