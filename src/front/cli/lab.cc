// SPDX-License-Identifier: Apache-2.0
// lab show, lab set, lab withdraw.
#include "casebook/entry_text.h"
#include "casebook/knowledge.h"
#include "front/cli/commands.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "front/cli/writing.h"
#include "front/server/lab_json.h"
#include "front/server/random.h"
#include "keeping/journal/journal.h"

namespace fairlead {
namespace {

Result<Knowledge> KnowledgeAsked(const Arguments& arguments) {
  if (arguments.at.empty()) return ReadLab(arguments);
  auto at = ParseIso(arguments.at);
  if (!at.ok()) return Within("--at", at.error());
  return ReadLab(arguments, *at);
}

Error NoSuchText(const Knowledge& knowledge, const std::string& name) {
  std::string known;
  for (const KnowledgeText& text : knowledge.texts) known += (known.empty() ? "" : ", ") + text.name;
  return {"the lab's journal says nothing under this name", name,
          known.empty() ? "write it with fairlead lab set" : "it knows " + known};
}

// The file is read as the server would read it, so that nothing is written that cannot be read again.
Result<IncomingEntry> CheckedEntry(const Arguments& arguments, std::string text) {
  while (!text.empty() && (text.back() == '\n' || text.back() == ' ')) text.pop_back();
  KnowledgeWritten written{.name = arguments.name,
                           .owner = arguments.owner.empty() ? "lab" : arguments.owner,
                           .version = arguments.version.empty() ? ToIso(Now()).substr(0, 10) : arguments.version,
                           .text = std::move(text)};
  auto made = EntryOf(arguments, std::move(written));
  if (!made.ok()) return made;
  auto read = ParseEntry(EntryJson(*made));
  if (!read.ok()) return Within(arguments.files.front().string(), read.error());
  return made;
}

int Append(const Arguments& arguments, const IncomingEntry& entry) {
  auto answer = AppendEntry(arguments, std::string(kLabCase), entry);
  if (!answer.ok()) return Fail(answer.error());
  Print(arguments.json ? *answer : "written: " + EntryText(entry.entry));
  return 0;
}

}  // namespace

int ShowLab(const Arguments& arguments) {
  auto knowledge = KnowledgeAsked(arguments);
  if (!knowledge.ok()) return Fail(knowledge.error());
  if (!arguments.name.empty()) {
    const KnowledgeText* text = FindKnowledge(*knowledge, arguments.name);
    if (text == nullptr) return Fail(NoSuchText(*knowledge, arguments.name));
    Print(arguments.json ? KnowledgeTextJson(*text) : text->text);
    return 0;
  }
  if (arguments.json) {
    Print(KnowledgeJson(*knowledge));
    return 0;
  }
  std::vector<std::vector<std::string>> rows = {{"name", "version", "owner", "holds from", "by", "bytes"}};
  for (const KnowledgeText& text : knowledge->texts)
    rows.push_back({text.name, text.version, text.owner, ToIso(text.at), text.by, std::to_string(text.text.size())});
  Print(rows.size() == 1 ? "the lab's journal is empty: every text is the program's own default" : Table(rows));
  return 0;
}

int SetLab(const Arguments& arguments) {
  auto text = ReadText(arguments.files.front().string());
  if (!text.ok()) return Fail(text.error());
  auto entry = CheckedEntry(arguments, std::move(*text));
  if (!entry.ok()) return Fail(entry.error());
  return Append(arguments, *entry);
}

int WithdrawLab(const Arguments& arguments) {
  auto knowledge = ReadLab(arguments);
  if (!knowledge.ok()) return Fail(knowledge.error());
  const KnowledgeText* text = FindKnowledge(*knowledge, arguments.name);
  if (text == nullptr) return Fail(NoSuchText(*knowledge, arguments.name));
  auto entry = EntryOf(arguments, Withdrawn{arguments.reason}, text->entry);
  if (!entry.ok()) return Fail(entry.error());
  return Append(arguments, *entry);
}

}  // namespace fairlead
