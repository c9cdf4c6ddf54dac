// SPDX-License-Identifier: Apache-2.0
// audit: the practice's own figures, from the journals and the lab's past cases, or from a file of rows.
#include "practice/audit/audit.h"

#include <fmt/core.h>

#include "front/cli/commands.h"
#include "front/cli/past_rows.h"
#include "front/cli/terminal.h"

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
  return Slice{.since = *since, .until = *until, .by = arguments.by, .vessel = arguments.audit.vessel, .strategy = arguments.audit.strategy};
}

// Rows of a file; else the lab's past cases and what the journals give, together.
Result<PastRows> RowsOf(const Arguments& arguments) {
  if (!arguments.files.empty()) {
    const std::string path = arguments.files.front().string();
    auto text = ReadText(path);
    if (!text.ok()) return text.error();
    auto rows = ParseCaseRows(*text);
    if (!rows.ok()) return Within(path, rows.error());
    return PastRows{std::move(*rows), {}};
  }
  auto past = ReadPastRows(arguments);
  if (past.ok() && past->rows.empty()) {
    return Error{"the lab has no past cases and no run that has ended", "past-cases",
                 "name a file of rows, or write one with fairlead lab set past-cases FILE.json"};
  }
  return past;
}

std::string ShareText(const std::optional<AuditShare>& share) {
  if (!share) return "nothing to count";
  return fmt::format("{} of {}, {:.1f} % ({:.1f} to {:.1f})", share->count.events, share->count.cases,
                     100.0 * static_cast<double>(share->count.events) / static_cast<double>(share->count.cases), 100 * share->interval.low,
                     100 * share->interval.high);
}

std::string QuartilesText(const Quartiles& found, std::string_view unit) {
  if (found.cases == 0) return "not known";
  return fmt::format("{:.4g} {} (half of {} cases within {:.4g} to {:.4g})", found.middle, unit, found.cases, found.low, found.high);
}

void PrintParts(std::string_view head, const std::vector<AuditPart>& parts) {
  if (parts.empty()) return;
  std::vector<std::vector<std::string>> rows = {{std::string(head), "technical success", "major complication"}};
  for (const AuditPart& part : parts) rows.push_back({part.name, ShareText(part.success), ShareText(part.complication)});
  Print(Table(rows));
}

void PrintHabits(const Audit& audit) {
  std::vector<std::vector<std::string>> rows = {{"left without crossing", "attempts", "minutes in it", "minutes stood still"}};
  for (const LeftWay& each : audit.left_ways) rows.push_back({each.strategy, std::to_string(each.attempts), QuartilesText(each.minutes, "min"), QuartilesText(each.stalled_min, "min")});
  if (rows.size() > 1) Print(Table(rows));
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

void PrintAudit(const Audit& audit) {
  Print(fmt::format("{} cases; left out: {} without outcome, {} without J-CTO", audit.cases, audit.no_outcome, audit.no_difficulty));
  Print("technical success   " + ShareText(audit.success) + "  [95 %, Wilson]");
  Print("major complication  " + ShareText(audit.complication) + "  [95 %, exact]");
  Print("minutes             " + QuartilesText(audit.minutes, "min"));
  Print("contrast            " + QuartilesText(audit.contrast_ml, "mL"));
  Print("air kerma           " + QuartilesText(audit.air_kerma_gy, "Gy"));
  PrintParts("first strategy", audit.by_strategy);
  PrintParts("difficulty", audit.by_difficulty);
  PrintParts("year", audit.by_year);
  PrintHabits(audit);
  if (audit.series) {
    for (const std::size_t at : audit.series->worse_signals) {
      Print(fmt::format("signal: failures above the published model, at case {} of {} ({})", at + 1, audit.series->cases.size(), audit.series->cases[at]));
    }
  }
  for (const std::string& line : audit.says) Print(line);
}

}  // namespace

int AuditPractice(const Arguments& arguments) {
  auto slice = SliceOf(arguments);
  if (!slice.ok()) return Fail(slice.error());
  auto rows = RowsOf(arguments);
  if (!rows.ok()) return Fail(rows.error());
  const Audit audit = RunAudit(rows->rows, *slice);
  if (arguments.json) Print(AuditJson(audit, *slice));
  else PrintAudit(audit);
  for (const WithheldCase& each : rows->registry.withheld) {
    if (!arguments.json) Print(each.case_id + " is left out: " + each.why);
  }
  return 0;
}

}  // namespace fairlead
