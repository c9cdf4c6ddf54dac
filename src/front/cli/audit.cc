// SPDX-License-Identifier: Apache-2.0
// audit: the practice's own figures, from the journals and the lab's past cases, or from a file of rows.
#include "practice/audit/audit.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "front/cli/commands.h"
#include "front/cli/past_rows.h"
#include "front/cli/terminal.h"
#include "front/server/past_book.h"
#include "front/server/registry_kept.h"

namespace fairlead {
namespace {

// A day is its first moment in UTC.
Result<std::optional<Instant>> TimeOf(const std::string& option, const std::string& text) {
  if (text.empty()) return std::optional<Instant>();
  auto at = ParseIso(text.size() == 10 ? text + "T00:00:00Z" : text);
  if (!at.ok()) return Within(option, at.error());
  return std::optional<Instant>(*at);
}

Result<Slice> SliceOf(const Arguments& arguments) {
  const auto since = TimeOf("--since", arguments.audit.since), until = TimeOf("--until", arguments.audit.until);
  if (!since.ok()) return since.error();
  if (!until.ok()) return until.error();
  Slice slice{.since = *since, .until = *until, .by = arguments.by, .vessel = arguments.audit.vessel, .strategy = arguments.audit.strategy};
  if (arguments.audit.j_cto_from >= 0) slice.j_cto_from = arguments.audit.j_cto_from;
  if (arguments.audit.j_cto_to >= 0) slice.j_cto_to = arguments.audit.j_cto_to;
  slice.first_attempts = arguments.audit.first_attempts;
  return slice;
}

struct AuditedPractice {
  Audit audit;
  Registry registry;
};

// Of one's own rows in a registry that labs share.
Result<AuditedPractice> AuditedShared(const Arguments& arguments, const Slice& slice) {
  if (auto named = CheckLabName(arguments.audit.as); !named.ok()) return named.error();
  auto shared = OpenSharedRegistry(arguments.audit.to);
  if (!shared.ok()) return shared.error();
  auto audit = AuditOfStore(**shared, arguments.audit.as, slice);
  if (!audit.ok()) return audit.error();
  return AuditedPractice{std::move(*audit), {}};
}

// Of a file's rows; else of the lab's past cases and what the journals give, together.
Result<AuditedPractice> AuditedOf(const Arguments& arguments, const Slice& slice) {
  if (!arguments.files.empty()) {
    const std::string path = arguments.files.front().string();
    auto text = ReadText(path);
    if (!text.ok()) return text.error();
    auto rows = ParseCaseRows(*text);
    if (!rows.ok()) return Within(path, rows.error());
    return AuditedPractice{RunAudit(*rows, slice), {}};
  }
  if (!arguments.audit.to.empty()) return AuditedShared(arguments, slice);
  auto registry = ReadRegistry(arguments);
  if (!registry.ok()) return registry.error();
  auto listed = ReadListed(arguments);
  if (!listed.ok()) return listed.error();
  if (registry->visits.empty() && listed->empty() && !HasPast(arguments.data)) {
    return Error{"the lab has no past cases and no run that has ended", "past-cases",
                 "name a file of rows, or write one with fairlead lab set past-cases FILE.json"};
  }
  auto past = PastBook::Read(arguments.data, *registry, *listed);
  if (!past.ok()) return past.error();
  auto audit = past->AuditIn(slice);
  if (!audit.ok()) return audit.error();
  return AuditedPractice{std::move(*audit), std::move(*registry)};
}

std::string ShareText(const std::optional<AuditShare>& share) {
  if (!share) return "nothing to count";
  return fmt::format("{} of {}, {:.1f} % ({:.1f} to {:.1f})", share->count.events, share->count.cases,
                     100.0 * static_cast<double>(share->count.events) / static_cast<double>(share->count.cases), 100 * share->interval.low,
                     100 * share->interval.high);
}

std::string QuartilesText(const Quartiles& found, std::string_view unit) {
  if (found.cases == 0) return "not known";
  std::string text = fmt::format("{:.4g} {} (half of {} cases within {:.4g} to {:.4g}", found.middle, unit, found.cases, found.low, found.high);
  if (std::isfinite(found.middle_within.low) && std::isfinite(found.middle_within.high)) {
    text += fmt::format("; the middle lies within {:.4g} to {:.4g}, 95 %", found.middle_within.low, found.middle_within.high);
  }
  return text + ")";
}

void PrintParts(std::string_view head, const std::vector<AuditPart>& parts) {
  if (parts.empty()) return;
  std::vector<std::vector<std::string>> rows = {{std::string(head), "technical success", "major complication"}};
  for (const AuditPart& part : parts) rows.push_back({part.name, ShareText(part.success), ShareText(part.complication)});
  Print(Table(rows));
}

std::string AgainstText(const YardstickFound& each) {
  if (!each.against) return "nothing to judge";
  const AgainstExpected& found = *each.against;
  std::string text = fmt::format("{} of {} where {:.1f}", found.observed, each.judged, found.expected);
  if (each.against_high) return text + fmt::format(" to {:.1f} were expected: {:.2f} to {:.2f} times", each.against_high->expected, each.against_high->ratio, found.ratio);
  return text + fmt::format(" were expected: {:.2f} times ({:.2f} to {:.2f})", found.ratio, found.ratio_interval.low, found.ratio_interval.high);
}

void PrintByScore(const Audit& audit) {
  std::vector<std::vector<std::string>> rows = {{"published score", "counted", "seen", "left out"}};
  for (const YardstickFound& each : audit.by_score) {
    const std::size_t left_out = each.facts_missing + each.not_made_for + each.no_outcome;
    rows.push_back({fmt::format("{}, {}", each.yardstick->score->name, each.yardstick->table->cohort), std::string(EventWord(each.yardstick->event)), AgainstText(each), std::to_string(left_out)});
  }
  if (rows.size() > 1) Print(Table(rows));
}

void PrintHabits(const Audit& audit) {
  std::vector<std::vector<std::string>> rows = {{"left without crossing", "attempts", "minutes in it", "minutes stood still"}};
  for (const LeftWay& each : audit.left_ways) rows.push_back({each.strategy, std::to_string(each.attempts), QuartilesText(each.minutes, "min"), QuartilesText(each.stalled_min, "min")});
  if (rows.size() > 1) Print(Table(rows));
  if (audit.ladder.followed) Print(fmt::format("next way was the ladder's   {}  [95 %, Wilson]; before {} more changes it was not shown", ShareText(audit.ladder.followed), audit.ladder.not_shown));
  rows = {{"left for", "tried next", "crossed"}};
  for (const Remedy& each : audit.remedies) rows.push_back({each.reason.empty() ? "not said" : each.reason, each.next, ShareText(each.crossed)});
  if (rows.size() > 1) Print(Table(rows));
  rows = {{"kit", "cases with any", "a case"}};
  for (const KitUse& each : audit.kit) rows.push_back({each.kind, ShareText(each.used), QuartilesText(each.count, "")});
  if (rows.size() > 1) Print(Table(rows));
  rows = {{"not written down", "cases that lack it"}};
  for (const MissingPart& each : audit.missing) rows.push_back({each.name, ShareText(each.share)});
  if (rows.size() > 1) Print(Table(rows));
}

// The last ones: of a long series all would fill pages.
void PrintSignals(const Series& series) {
  constexpr std::size_t kMostPrinted = 20;
  const auto& signals = series.worse_signals;
  const std::size_t from = signals.size() > kMostPrinted ? signals.size() - kMostPrinted : 0;
  if (from > 0) Print(fmt::format("{} signals: failures above the published model; the last {} of them:", signals.size(), kMostPrinted));
  for (std::size_t i = from; i < signals.size(); ++i) {
    const auto drawn = std::lower_bound(series.at.begin(), series.at.end(), signals[i]);
    const bool named = drawn != series.at.end() && *drawn == signals[i];
    Print(fmt::format("signal: failures above the published model, at case {} of {}{}", signals[i] + 1, series.judged,
                      named ? " (" + series.cases[static_cast<std::size_t>(drawn - series.at.begin())] + ")" : ""));
  }
}

// First the answer to "am I worse than expected, and how sure is that"; figures; what the sentences add.
void PrintAudit(const Audit& audit) {
  if (!audit.says.empty()) Print(audit.says.front());
  Print(fmt::format("{} cases; left out: {} without outcome, {} without J-CTO", audit.cases, audit.no_outcome, audit.no_difficulty));
  Print("technical success   " + ShareText(audit.success) + "  [95 %, Wilson]");
  Print("major complication  " + ShareText(audit.complication) + "  [95 %, exact]");
  Print("procedural success  " + ShareText(audit.procedural) + "  [without a major complication; 95 %, Wilson]");
  Print("minutes             " + QuartilesText(audit.minutes, "min"));
  Print("contrast            " + QuartilesText(audit.contrast_ml, "mL"));
  Print("air kerma           " + QuartilesText(audit.air_kerma_gy, "Gy"));
  PrintParts("first strategy", audit.by_strategy);
  PrintParts("difficulty", audit.by_difficulty);
  PrintParts("year", audit.by_year);
  PrintByScore(audit);
  PrintHabits(audit);
  if (audit.series) PrintSignals(*audit.series);
  for (std::size_t i = 1; i < audit.says.size(); ++i) Print(audit.says[i]);
}

}  // namespace

int AuditPractice(const Arguments& arguments) {
  auto slice = SliceOf(arguments);
  if (!slice.ok()) return Fail(slice.error());
  auto found = AuditedOf(arguments, *slice);
  if (!found.ok()) return Fail(found.error());
  if (arguments.json) Print(AuditJson(found->audit, *slice));
  else PrintAudit(found->audit);
  if (const std::string said = UnsignedSentence(found->registry); !arguments.json && !said.empty()) Print(said);
  for (const WithheldCase& each : found->registry.withheld) {
    if (!arguments.json) Print(each.case_id + " is left out: " + each.why);
  }
  return 0;
}

}  // namespace fairlead
