// SPDX-License-Identifier: Apache-2.0
// log: one entry, through the running program if there is one.
#include <fmt/core.h>

#include "casebook/entry_json.h"
#include "casebook/entry_text.h"
#include "front/cli/commands.h"
#include "front/cli/log_line.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "front/cli/writing.h"
#include "front/server/body.h"
#include "front/server/client.h"
#include "front/server/json_text.h"
#include "front/server/practice.h"
#include "front/server/random.h"

namespace fairlead {
namespace {

Result<IncomingEntry> MakeEntry(const Arguments& arguments) {
  auto data = ParseLogLine(arguments.text);
  if (!data.ok()) return data.error();
  return EntryOf(arguments, std::move(*data), {});
}

Result<std::string> ThroughServer(Client& client, const std::string& case_id, const IncomingEntry& entry) {
  const std::string journal = case_id == kLabCase ? "/api/lab" : "/api/cases/" + case_id;
  auto answer = client.Post(journal + "/entries", "{\"entries\":[" + EntryJson(entry) + "]}");
  if (!answer.ok()) return answer.error();
  if (answer->status != 200) return ParseErrorAnswer(answer->status, answer->body);
  return std::move(answer->body);
}

Result<std::string> ByOurselves(const Arguments& arguments, const std::string& case_id, const IncomingEntry& entry) {
  auto practice = Practice::Open(arguments.data, {});
  if (!practice.ok()) return practice.error();
  auto receipts = (*practice)->Append(case_id, {&entry, 1});
  if (!receipts.ok()) return receipts.error();
  return ReceiptsJson(*receipts);
}

}  // namespace

Result<std::string> AppendEntry(const Arguments& arguments, const std::string& case_id, const IncomingEntry& entry) {
  const auto client = Connect(arguments.data);
  return client != nullptr ? ThroughServer(*client, case_id, entry) : ByOurselves(arguments, case_id, entry);
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

int WriteLog(const Arguments& given) {
  auto entry = MakeEntry(given);
  if (!entry.ok()) return Fail(entry.error());
  Arguments arguments = given;
  {
    auto journal = ReadJournal(arguments);
    if (!journal.ok()) return Fail(journal.error());
    auto id = WholeId(**journal, arguments);
    if (!id.ok()) return Fail(id.error());
    arguments.case_id = std::move(*id);
  }
  auto answer = AppendEntry(arguments, arguments.case_id, *entry);
  if (!answer.ok()) return Fail(answer.error());
  Print(arguments.json ? *answer : "written: " + EntryText(entry->entry));
  return 0;
}

}  // namespace fairlead
