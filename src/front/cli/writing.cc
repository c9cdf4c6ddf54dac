// SPDX-License-Identifier: Apache-2.0
// log: one entry, through the running program if there is one.
#include <optional>
#include <span>

#include "casebook/entry_json.h"
#include "casebook/entry_text.h"
#include "front/cli/commands.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "front/cli/writing.h"
#include "front/server/body.h"
#include "front/server/client.h"
#include "front/server/json_text.h"
#include "front/server/log_entry.h"
#include "front/server/practice.h"
#include "front/server/random.h"

namespace fairlead {
namespace {

Result<LogPlan> MakePlan(const Arguments& arguments, const State& state) {
  auto lab = ReadLab(arguments);
  if (!lab.ok()) return lab.error();
  auto room = RoomOf(*lab, Now(), std::nullopt);
  if (!room.ok()) return room.error();
  LogRequest request{arguments.text, arguments.by.empty() ? "operator" : arguments.by, "command line", {}, {}, {}};
  if (!arguments.at.empty()) {
    auto given = arguments.at.size() < 16 ? ParseLogTime(arguments.at, *room) : ParseIso(arguments.at);
    if (!given.ok()) return Within("--at", given.error());
    request.at = *given;
  }
  auto plan = PlanLog(state, request, *room);
  if (!plan.ok() || plan->asks.empty() || arguments.confirm) return plan;
  const LogQuestion& asked = plan->asks.front();
  return Error{asked.what, "the log line", asked.to_do + ", or add --confirm"};
}

Result<std::string> ThroughServer(Client& client, const std::string& case_id, std::span<const IncomingEntry> entries) {
  const std::string journal = case_id == kLabCase ? "/api/lab" : "/api/cases/" + case_id;
  std::string list;
  for (const IncomingEntry& entry : entries) list += (list.empty() ? "" : ",") + EntryJson(entry);
  auto answer = client.Post(journal + "/entries", "{\"entries\":[" + list + "]}");
  if (!answer.ok()) return answer.error();
  if (answer->status != 200) return ParseErrorAnswer(answer->status, answer->body);
  return std::move(answer->body);
}

Result<std::string> ByOurselves(const Arguments& arguments, const std::string& case_id, std::span<const IncomingEntry> entries) {
  auto practice = Practice::Open(arguments.data, {});
  if (!practice.ok()) return practice.error();
  auto receipts = (*practice)->Append(case_id, entries);
  if (!receipts.ok()) return receipts.error();
  return ReceiptsJson(*receipts);
}

}  // namespace

Result<std::string> AppendEntries(const Arguments& arguments, const std::string& case_id, std::span<const IncomingEntry> entries) {
  const auto client = Connect(arguments.data);
  return client != nullptr ? ThroughServer(*client, case_id, entries) : ByOurselves(arguments, case_id, entries);
}

Result<std::string> AppendEntry(const Arguments& arguments, const std::string& case_id, const IncomingEntry& entry) {
  return AppendEntries(arguments, case_id, {&entry, 1});
}

Result<IncomingEntry> EntryOf(const Arguments& arguments, EntryData data, std::string amends) {
  const Instant now = Now();
  Instant at = now;
  if (!arguments.at.empty()) {
    auto given = ParseIso(arguments.at);
    if (!given.ok()) return Within("--at", given.error());
    at = *given;
  }
  Entry entry;
  entry.id = NewUlid(now, RandomTail());
  entry.at = at;
  entry.written = now;
  entry.by = arguments.by.empty() ? "operator" : arguments.by;
  entry.device = "command line";
  entry.kind = KindName(data);
  entry.data = std::move(data);
  entry.amends = std::move(amends);
  return MakeIncoming(std::move(entry));
}

int WriteLog(const Arguments& arguments) {
  auto read = ReadEntries(arguments);
  if (!read.ok()) return Fail(read.error());
  auto plan = MakePlan(arguments, Fold(std::move(read->entries)));
  if (!plan.ok()) return Fail(plan.error());
  auto answer = AppendEntries(arguments, read->id, plan->entries);
  if (!answer.ok()) return Fail(answer.error());
  Print(arguments.json ? *answer : "written: " + plan->says);
  return 0;
}

}  // namespace fairlead
