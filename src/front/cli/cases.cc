// SPDX-License-Identifier: Apache-2.0
// case new, case list, case show, journal, verify.
#include <fmt/core.h>

#include <map>

#include "casebook/derive.h"
#include "casebook/entry_json.h"
#include "casebook/entry_text.h"
#include "front/cli/commands.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "front/server/body.h"
#include "front/server/case_json.h"
#include "front/server/client.h"
#include "front/server/json_text.h"
#include "front/server/practice.h"
#include "front/server/random.h"
#include "front/server/shown.h"

namespace fairlead {
namespace {

// The id of {"id": …}.
Result<std::string> IdIn(std::string_view answer) {
  auto members = MembersOf(answer);
  if (!members.ok()) return members.error();
  if (members->empty()) return Error{"the answer is not understood", "", "", Fault::kOutside};
  return ParseText(members->front().second);
}

Result<std::string> MakeCase(const Arguments& arguments) {
  if (const auto client = Connect(arguments.data)) {
    const std::string body =
        JsonText().Open('{').Member("title", arguments.title).Member("room", arguments.room).Close('}').Take();
    auto answer = client->Post("/api/cases", body);
    if (!answer.ok()) return answer.error();
    if (answer->status != 200) return ParseErrorAnswer(answer->status, answer->body);
    return IdIn(answer->body);
  }
  auto practice = Practice::Open(arguments.data, {});
  if (!practice.ok()) return practice.error();
  return (*practice)->NewCase(arguments.title, arguments.room, "command line");
}

// What the page gets, the runs with it. Errors: nobody serves the folder and it cannot be owned, so that no run can be
// described: the journal alone can still be read.
Result<std::string> WholeCase(const Arguments& arguments, const std::string& case_id) {
  if (const auto client = Connect(arguments.data)) {
    auto answer = client->Get("/api/cases/" + case_id);
    if (!answer.ok()) return answer.error();
    if (answer->status != 200) return ParseErrorAnswer(answer->status, answer->body);
    return std::move(answer->body);
  }
  auto practice = Practice::Open(arguments.data, {});
  if (!practice.ok()) return practice.error();
  return (*practice)->CaseJsonOf(case_id, std::nullopt);
}

void WriteLine(JsonText& json, const State& state, EntryIndex index) {
  const Entry& entry = state.entries[index];
  json.Open('{').Member("seq", entry.seq).Member("id", entry.id).Member("kind", entry.kind);
  json.Member("at", ToIso(entry.at)).Member("recorded", ToIso(entry.recorded)).Member("by", entry.by);
  json.Member("device", entry.device).Member("text", EntryText(entry)).Key("amends");
  entry.amends.empty() ? json.Null() : json.Text(entry.amends);
  json.Member("status", StatusName(state.status[index])).Key("data").Raw(EntryDataJson(entry.data));
  json.Member("hash", HexOf(entry.hash)).Close('}');
}

// The first line of a text; the rest is counted by "...".
std::string FirstLine(const std::string& text) {
  const std::size_t end = text.find('\n');
  return end == std::string::npos ? text : text.substr(0, end) + " ...";
}

}  // namespace

int OpenNewCase(const Arguments& arguments) {
  if (arguments.title.find_first_not_of(' ') == std::string::npos || arguments.title.size() > 400) {
    return Fail(Error{"a title has 1 to 400 bytes", "--title", "describe the occlusion, without a name"});
  }
  auto id = MakeCase(arguments);
  if (!id.ok()) return Fail(id.error());
  Print(arguments.json ? JsonText().Open('{').Member("id", *id).Close('}').Take() : *id);
  return 0;
}

int ListCases(const Arguments& arguments) {
  auto journal = ReadJournal(arguments);
  if (!journal.ok()) return Fail(journal.error());
  auto lines = (*journal)->Cases();
  if (!lines.ok()) return Fail(lines.error());
  JsonText json;
  json.Open('{').Key("cases").Open('[');
  std::vector<std::vector<std::string>> rows = {{"case", "entries", "last", "title", "summary"}};
  for (const CaseLine& line : *lines) {
    auto entries = (*journal)->Entries(line.id);
    if (!entries.ok()) return Fail(entries.error());
    const State state = Fold(std::move(*entries));
    const CaseOpened* opened = CaseInfo(state);
    const CaseOpened info = opened == nullptr ? CaseOpened{} : *opened;
    const std::string summary = SummaryLine(StandingFacts(state));
    json.Open('{').Member("id", line.id).Member("title", info.title).Member("room", info.room);
    json.Member("invented", info.invented).Member("summary", summary).Member("entries", line.entries);
    json.Member("last_at", ToIso(line.last_at)).Close('}');
    rows.push_back({line.id, std::to_string(line.entries), ToIso(line.last_at),
                    info.title + (info.invented ? " (invented)" : ""), summary});
  }
  json.Close(']').Close('}');
  Print(arguments.json ? json.Take() : Table(rows));
  return 0;
}

int ShowCase(const Arguments& arguments) {
  auto read = ReadEntries(arguments);
  if (!read.ok()) return Fail(read.error());
  const State state = Fold(std::move(read->entries));
  if (arguments.json) {
    auto whole = WholeCase(arguments, read->id);
    Print(whole.ok() ? *whole : CaseJson({read->id, state, {}, Now(), std::nullopt}));
    return 0;
  }
  const CaseOpened* opened = CaseInfo(state);
  std::vector<std::vector<std::string>> rows = {{"fact", "value", "known by"}};
  const Facts stated = StandingFacts(state);
  for (const auto& [key, belief] : WithDerived(stated)) {
    const FactRow* row = FindFact(key.name);
    const FactStated* fact = StandingFact(state, key);
    if (row == nullptr) continue;
    rows.push_back({key.of.empty() ? key.name : key.of + "." + key.name, BeliefText(*row, belief),
                    fact == nullptr ? "derived" : std::string(MarkName(fact->mark))});
  }
  if (opened != nullptr) Print(opened->title + (opened->invented ? " (invented)" : ""));
  Print(Table(rows));
  Print(fmt::format("{} images, {} entries, {} not understood", ImagesInOrder(state).size(), state.entries.size(),
                    state.not_understood));
  return 0;
}

int ListJournal(const Arguments& arguments) {
  auto read = ReadEntries(arguments);
  if (!read.ok()) return Fail(read.error());
  const State state = Fold(std::move(read->entries));
  JsonText json;
  json.Open('{').Member("case", read->id).Key("entries").Open('[');
  std::vector<std::vector<std::string>> rows = {{"seq", "at", "by", "status", "entry"}};
  for (const EntryIndex index : JournalLines(state)) {
    const Entry& entry = state.entries[index];
    WriteLine(json, state, index);
    rows.push_back({std::to_string(entry.seq), ToIso(entry.at), entry.by, std::string(StatusName(state.status[index])),
                    FirstLine(EntryText(entry))});
  }
  json.Close(']').Close('}');
  Print(arguments.json ? json.Take() : Table(rows));
  return 0;
}

int VerifyJournal(const Arguments& arguments) {
  auto journal = ReadJournal(arguments);
  if (!journal.ok()) return Fail(journal.error());
  auto id = WholeId(**journal, arguments);
  if (!id.ok()) return Fail(id.error());
  auto report = (*journal)->Verify(*id);
  if (!report.ok()) return Fail(report.error());
  if (arguments.json) {
    JsonText json;
    json.Open('{').Member("case", *id).Member("holds", report->faults.empty()).Member("entries", report->entries);
    json.Member("struck_out", report->struck_out).Member("head", HexOf(report->head)).Key("faults").Open('[');
    for (const std::string& fault : report->faults) json.Text(fault);
    Print(json.Close(']').Close('}').Take());
  } else if (report->faults.empty()) {
    Print(fmt::format("the chain holds: {} entries, {} struck out, head {}", report->entries, report->struck_out,
                      HexOf(report->head)));
  }
  if (report->faults.empty()) return 0;
  return Fail(Error{fmt::format("the chain is broken: {}", report->faults.front()), "case " + *id,
                    report->faults.size() > 1 ? fmt::format("{} more faults; restore a copy", report->faults.size() - 1)
                                              : "restore a copy"});
}

}  // namespace fairlead
