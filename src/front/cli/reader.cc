// SPDX-License-Identifier: Apache-2.0
#include "front/cli/reader.h"

namespace fairlead {

Result<std::unique_ptr<Journal>> ReadJournal(const Arguments& arguments) {
  JournalOptions options;
  options.access = Access::kReadOnly;
  return OpenJournal(arguments.data, std::move(options));
}

Result<std::string> WholeId(const Journal& journal, const Arguments& arguments) {
  auto lines = journal.Cases();
  if (!lines.ok()) return lines.error();
  std::string found;
  for (const CaseLine& line : *lines) {
    if (line.id == arguments.case_id) return line.id;
    if (arguments.case_id.empty() || !line.id.starts_with(arguments.case_id)) continue;
    if (!found.empty()) return Error{"several cases begin so", arguments.case_id, "give more letters of the id"};
    found = line.id;
  }
  if (found.empty()) return Error{"there is no such case", arguments.case_id, "fairlead case list shows them"};
  return found;
}

Result<ReadCase> ReadEntries(const Arguments& arguments) {
  auto journal = ReadJournal(arguments);
  if (!journal.ok()) return journal.error();
  auto id = WholeId(**journal, arguments);
  if (!id.ok()) return id.error();
  auto entries = (*journal)->Entries(*id);
  if (!entries.ok()) return entries.error();
  return ReadCase{std::move(*id), std::move(*entries)};
}

Result<Knowledge> ReadLab(const Arguments& arguments, std::optional<Instant> known) {
  std::error_code ignored;
  if (!std::filesystem::exists(arguments.data / "journal.sqlite", ignored)) return Knowledge{};
  auto journal = ReadJournal(arguments);
  if (!journal.ok()) return journal.error();
  auto entries = (*journal)->Entries(std::string(kLabCase));
  if (!entries.ok()) return entries.error();
  return KnowledgeOf(known ? Fold(std::move(*entries), AsItWasKnown{*known}) : Fold(std::move(*entries)));
}

Result<State> StateAsked(const Arguments& arguments, std::vector<Entry> entries) {
  if (arguments.at.empty()) {
    if (!arguments.known) return Fold(std::move(entries));
    return Error{"--known asks about a moment that is not given", "", "add --at TIME", Fault::kUsage};
  }
  auto at = ParseIso(arguments.at);
  if (!at.ok()) return Within("--at", at.error());
  return arguments.known ? Fold(std::move(entries), AsItWasKnown{*at}) : Fold(std::move(entries), AsItWas{*at});
}

}  // namespace fairlead
