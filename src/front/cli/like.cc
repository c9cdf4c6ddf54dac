// SPDX-License-Identifier: Apache-2.0
// audit like CASE: the nearest past cases, what was done in them and what happened.
#include <fmt/core.h>

#include "casebook/derive.h"
#include "front/cli/audit.h"
#include "front/cli/commands.h"
#include "front/cli/past_rows.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "front/server/past_book.h"
#include "practice/registry/plan_row.h"
#include "practice/similar/similar.h"

namespace fairlead {
namespace {

std::string Outcome(const std::optional<bool>& value, const char* yes, const char* no) { return !value ? "not known" : *value ? yes : no; }

std::string TriesText(const CaseRow& row) {
  std::string text;
  for (const Try& made : row.tries) text += fmt::format("{}{} {:.0f}{}", text.empty() ? "" : ", ", made.strategy, made.minutes, made.crossed ? " crossed" : "");
  return text.empty() ? "not known" : text;
}

// The largest parts of the distance, in words.
std::string WhyText(const CaseDistance& distance) {
  std::string text;
  for (std::size_t i = 0; i < distance.parts.size() && i < 3 && distance.parts[i].share > 0; ++i) {
    const FactApart& part = distance.parts[i];
    text += fmt::format("{}{} {} here, {} there", text.empty() ? "" : "; ", part.name, part.here, part.there);
  }
  return text.empty() ? "alike in all that is known of both" : text;
}

std::string ShareWords(const std::optional<AuditShare>& share) {
  if (!share) return "nothing to count";
  return fmt::format("{} of {} ({:.0f} to {:.0f} % fits)", share->count.events, share->count.cases, 100 * share->interval.low, 100 * share->interval.high);
}

void PrintLike(const LikeAnswer& answer) {
  for (const std::string& line : answer.says) Print(line);
  if (answer.cases.empty()) return;
  Print("technical success   " + ShareWords(answer.success));
  Print("major complication  " + ShareWords(answer.complication));
  std::vector<std::vector<std::string>> first = {{"tried first", "cases", "it crossed", "technical success in the end", "its minutes (half within)"}};
  for (const LikeStrategy& each : answer.by_first) {
    first.push_back({each.strategy, std::to_string(each.cases), std::to_string(each.crossed_first), fmt::format("{} of {}", each.success, each.with_outcome),
                     fmt::format("{:.0f} ({:.0f} to {:.0f})", each.minutes.middle, each.minutes.low, each.minutes.high)});
  }
  Print(Table(first));
  std::vector<std::vector<std::string>> rows = {{"case", "distance", "what was tried, min", "success", "complication", "where it differs most"}};
  for (const LikeCase& each : answer.cases) {
    rows.push_back({each.row.id + (each.row.invented ? " (invented)" : ""), fmt::format("{:.2f}", each.distance.apart), TriesText(each.row), Outcome(each.row.success, "yes", "no"),
                    Outcome(each.row.complication, "yes", "no"), WhyText(each.distance)});
  }
  Print(Table(rows));
}

}  // namespace

int ShowLikeCases(const Arguments& arguments) {
  auto read = ReadEntries(arguments);
  if (!read.ok()) return Fail(read.error());
  CaseRow plan;
  plan.id = read->id;
  TakeFacts(plan, WithDerived(StandingFacts(Fold(std::move(read->entries)))));
  auto listed = ReadListed(arguments);
  if (!listed.ok()) return Fail(listed.error());
  auto registry = ReadRegistry(arguments);
  if (!registry.ok()) return Fail(registry.error());
  auto past = PastBook::Read(arguments.data, *registry, *listed);
  if (!past.ok()) return Fail(past.error());
  const auto answer = past->Like(plan, arguments.audit.most);
  if (!answer.ok()) return Fail(answer.error());
  if (arguments.json) Print(LikeJson(*answer));
  else PrintLike(*answer);
  return 0;
}

}  // namespace fairlead
