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
#include "front/server/lab_shelf.h"
#include "front/server/log_entry.h"
#include "front/server/log_scan.h"
#include "front/server/practice.h"
#include "front/server/random.h"

namespace fairlead {
namespace {

Error Asked(const std::string& what, const std::string& to_do) { return Error{what, "the log line", to_do + ", or add --confirm"}; }

Result<LogRequest> RequestOf(const Arguments& arguments, const LogRoom& room) {
  LogRequest request{arguments.text, arguments.by.empty() ? "operator" : arguments.by, "command line", {}, {}, {}};
  if (!arguments.at.empty()) {
    auto given = arguments.at.size() < 16 ? ParseLogTime(arguments.at, room) : ParseIso(arguments.at);
    if (!given.ok()) return Within("--at", given.error());
    request.at = *given;
  }
  return request;
}

struct TypedLine {
  std::string receipts;  // {"entries": [...]}
  std::string says;
};

// What a running program asks about before it writes: the first of "asks".
Error FirstAsked(std::string_view asks) {
  auto asked = ElementsOf(asks);
  auto first = asked.ok() && !asked->empty() ? MembersOf(asked->front()) : Result<JsonMembers>(JsonMembers{});
  std::string what = "this is asked about", to_do = "look at the journal";
  for (const auto& [name, value] : first.ok() ? *first : JsonMembers{}) {
    const auto text = ParseText(value);
    if (name == "what" && text.ok()) what = *text;
    if (name == "to_do" && text.ok()) to_do = *text;
  }
  return Asked(what, to_do);
}

// The running program plans and writes in one go: nobody's entry comes between.
Result<TypedLine> TypeThroughServer(Client& client, const std::string& case_id, const LogRequest& request, bool confirm) {
  JsonText body;
  body.Open('{').Member("text", request.text).Member("by", request.by).Member("device", request.device).Member("write", true).Member("confirm", confirm);
  if (request.at) body.Member("at", ToIso(*request.at));
  auto answer = client.Post("/api/cases/" + case_id + "/log", body.Close('}').Take());
  if (!answer.ok()) return answer.error();
  if (answer->status != 200) return ParseErrorAnswer(answer->status, answer->body);
  auto members = MembersOf(answer->body);
  if (!members.ok()) return members.error();
  std::string_view asks, entries, says;
  for (const auto& [name, value] : *members) {
    if (name == "asks") asks = value;
    if (name == "entries") entries = value;
    if (name == "says") says = value;
  }
  if (entries == "[]") return FirstAsked(asks);
  auto text = ParseText(says);
  return TypedLine{"{\"entries\":" + std::string(entries) + "}", text.ok() ? *text : std::string()};
}

Result<TypedLine> TypeByOurselves(const Arguments& arguments, const std::string& case_id, const LogRequest& request, const LogRoom& room) {
  auto practice = Practice::Open(arguments.data, {});
  if (!practice.ok()) return practice.error();
  std::optional<Shelf> shelf;  // as the server does: read only where the line names a device
  if (request.text.find("kit:") != std::string::npos || FindScan(request.text)) {
    auto lab = (*practice)->Lab();
    if (!lab.ok()) return lab.error();
    auto read = ShelfOf(**lab);
    if (!read.ok()) return read.error();
    shelf = std::move(*read);
  }
  std::string says;
  auto receipts = (*practice)->AppendPlanned(case_id, [&](const State& state) -> Result<std::vector<IncomingEntry>> {
    auto plan = PlanLog(state, request, room, shelf ? &*shelf : nullptr);
    if (!plan.ok()) return plan.error();
    if (!plan->asks.empty() && !arguments.confirm) return Asked(plan->asks.front().what, plan->asks.front().to_do);
    says = plan->says;
    return std::move(plan->entries);
  });
  if (!receipts.ok()) return receipts.error();
  return TypedLine{ReceiptsJson(*receipts), says};
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
  auto lab = ReadLab(arguments);
  if (!lab.ok()) return Fail(lab.error());
  auto room = RoomOf(*lab, Now(), std::nullopt);
  if (!room.ok()) return Fail(room.error());
  auto request = RequestOf(arguments, *room);
  if (!request.ok()) return Fail(request.error());
  const auto client = Connect(arguments.data);
  auto typed = client != nullptr ? TypeThroughServer(*client, read->id, *request, arguments.confirm) : TypeByOurselves(arguments, read->id, *request, *room);
  if (!typed.ok()) return Fail(typed.error());
  Print(arguments.json ? typed->receipts : "written: " + typed->says);
  return 0;
}

}  // namespace fairlead
