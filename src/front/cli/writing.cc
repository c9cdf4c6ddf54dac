// SPDX-License-Identifier: Apache-2.0
// log: one entry, through the running program if there is one.
#include <fmt/core.h>

#include "casebook/entry_json.h"
#include "casebook/entry_text.h"
#include "front/cli/commands.h"
#include "front/cli/log_line.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
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
  entry.kind = KindName(*data);
  entry.data = std::move(*data);
  return MakeIncoming(std::move(entry));
}

// {"entries": [Receipt]}, as the server answers it.
Result<std::string> ThroughServer(Client& client, const std::string& case_id, const IncomingEntry& entry) {
  auto answer = client.Post("/api/cases/" + case_id + "/entries", "{\"entries\":[" + EntryJson(entry) + "]}");
  if (!answer.ok()) return answer.error();
  if (answer->status != 200) return ParseErrorAnswer(answer->status, answer->body);
  return std::move(answer->body);
}

Result<std::string> ByOurselves(const Arguments& arguments, const std::string& case_id, const IncomingEntry& entry) {
  auto practice = Practice::Open(arguments.data, {});
  if (!practice.ok()) return practice.error();
  auto receipts = (*practice)->Append(case_id, {&entry, 1});
  if (!receipts.ok()) return receipts.error();
  const Receipt& receipt = receipts->front();
  JsonText json;
  json.Open('{').Key("entries").Open('[').Open('{').Member("id", receipt.id).Member("seq", receipt.seq);
  json.Member("recorded", ToIso(receipt.recorded)).Member("hash", HexOf(receipt.hash));
  return json.Member("again", receipt.again).Close('}').Close(']').Close('}').Take();
}

}  // namespace

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
  const auto client = Connect(arguments.data);
  auto answer = client != nullptr ? ThroughServer(*client, arguments.case_id, *entry)
                                  : ByOurselves(arguments, arguments.case_id, *entry);
  if (!answer.ok()) return Fail(answer.error());
  Print(arguments.json ? *answer : "written: " + EntryText(entry->entry));
  return 0;
}

}  // namespace fairlead
