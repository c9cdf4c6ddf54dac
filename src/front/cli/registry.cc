// SPDX-License-Identifier: Apache-2.0
// registry show, registry export: the practice's visits as rows.
#include "practice/registry/registry.h"

#include <fmt/core.h>

#include <fstream>

#include "front/cli/commands.h"
#include "front/cli/past_rows.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "front/server/registry_kept.h"

namespace fairlead {
namespace {

Status WriteText(const std::filesystem::path& path, const std::string& text) {
  std::ofstream file(path, std::ios::binary | std::ios::trunc);
  file << text;
  file.close();
  if (!file) return Error{"this file cannot be written", path.string(), "check the folder and the space on the disk", Fault::kOutside};
  return Done{};
}

std::string Figures(const std::optional<double>& value, std::string_view unit) { return value ? fmt::format("{:.4g} {}", *value, unit) : "not known"; }
std::string Flag(const std::optional<bool>& value) { return !value ? "not known" : *value ? "yes" : "no"; }

void PrintVisit(const LabVisit& visit) {
  const CaseRow& row = visit.row;
  Print(fmt::format("{}{}", row.id, row.invented ? " (invented)" : ""));
  Print(fmt::format("  {} to {}, {}", ToIso(row.began), ToIso(visit.ended), Figures(row.minutes, "min")));
  Print(fmt::format("  {}, J-CTO {}, technical success {}, major complication {}", row.vessel.empty() ? "vessel not known" : row.vessel,
                    row.j_cto ? std::to_string(*row.j_cto) : "not known", Flag(row.success), Flag(row.complication)));
  Print(fmt::format("  contrast {}, air kerma {}, fluoroscopy {}", Figures(row.contrast_ml, "mL"), Figures(row.air_kerma_gy, "Gy"), Figures(visit.fluoro_min, "min")));
  std::vector<std::vector<std::string>> attempts = {{"attempt", "strategy", "min", "ended", "reason", "contrast", "air kerma"}};
  for (const VisitAttempt& made : visit.attempts) {
    attempts.push_back({std::to_string(made.number), made.strategy, fmt::format("{:.0f}", made.minutes), made.ended, made.reason, Figures(made.contrast_ml, "mL"), Figures(made.air_kerma_gy, "Gy")});
  }
  if (attempts.size() > 1) Print(Table(attempts));
  for (const VisitTrouble& each : visit.troubles) {
    Print(fmt::format("  trouble at {:.0f} min: {} {} {} {}", each.at_min, each.kind.empty() ? "not named" : each.kind, each.grade, each.site, each.cause));
  }
  if (!visit.missing.empty()) {
    std::string names;
    for (const std::string& name : visit.missing) names += (names.empty() ? "" : ", ") + name;
    Print("  not known: " + names);
  }
  for (const std::string& remark : visit.remarks) Print("  " + remark);
}

}  // namespace

Result<Registry> ReadRegistry(const Arguments& arguments) {
  Registry registry;
  std::error_code ignored;
  if (!std::filesystem::exists(arguments.data / "journal.sqlite", ignored)) return registry;
  auto journal = ReadJournal(arguments);
  if (!journal.ok()) return journal.error();
  auto lines = (*journal)->Cases();
  if (!lines.ok()) return lines.error();
  for (const CaseLine& line : *lines) {
    auto entries = (*journal)->Entries(line.id);
    if (!entries.ok()) return Within("case " + line.id, entries.error());
    AddCase(registry, line.id, Fold(std::move(*entries)));
  }
  return registry;
}

Result<std::vector<CaseRow>> ReadListed(const Arguments& arguments) {
  auto lab = ReadLab(arguments);
  if (!lab.ok()) return lab.error();
  const KnowledgeText* past = FindKnowledge(*lab, kPastCases);
  if (past == nullptr) return std::vector<CaseRow>{};
  auto rows = ParseCaseRows(past->text);
  if (!rows.ok()) return Within("the lab's past cases", rows.error());
  return rows;
}

int ShowRegistry(const Arguments& arguments) {
  auto registry = ReadRegistry(arguments);
  if (!registry.ok()) return Fail(registry.error());
  if (!arguments.case_id.empty()) {
    auto journal = ReadJournal(arguments);
    if (!journal.ok()) return Fail(journal.error());
    auto id = WholeId(**journal, arguments);
    if (!id.ok()) return Fail(id.error());
    std::erase_if(registry->visits, [&](const LabVisit& visit) { return visit.case_id != *id; });
    std::erase_if(registry->withheld, [&](const WithheldCase& each) { return each.case_id != *id; });
  }
  if (arguments.json) return Print(RegistryJson(*registry)), 0;
  if (registry->visits.empty()) Print("No visit is closed yet: a row is made when the run has ended (last guide out).");
  for (const LabVisit& visit : registry->visits) PrintVisit(visit);
  for (const WithheldCase& each : registry->withheld) Print(each.case_id + ": no row, " + each.why);
  return 0;
}

int ExportRegistry(const Arguments& arguments) {
  auto registry = ReadRegistry(arguments);
  if (!registry.ok()) return Fail(registry.error());
  std::error_code fault;
  std::filesystem::create_directories(arguments.out, fault);
  if (fault) return Fail(Error{"this folder cannot be made", arguments.out.string(), "name another", Fault::kOutside});
  std::string files;
  for (const RegistryTable& table : TablesOf(*registry)) {
    const auto path = arguments.out / (table.name + ".csv");
    if (auto written = WriteText(path, CsvText(table)); !written.ok()) return Fail(written.error());
    files += (files.empty() ? "\"" : ",\"") + table.name + ".csv\"";
    if (!arguments.json) Print(fmt::format("{}: rows {}", path.string(), table.rows.size()));
  }
  if (arguments.json) Print(fmt::format("{{\"files\":[{}],\"visits\":{}}}", files, registry->visits.size()));
  return 0;
}

}  // namespace fairlead
