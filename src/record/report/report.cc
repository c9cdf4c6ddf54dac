// SPDX-License-Identifier: Apache-2.0
#include "record/report/report.h"

#include <algorithm>
#include <array>

#include "casebook/entry_json.h"
#include "record/report/drawing.h"
#include "record/report/note.h"
#include "record/report/parts.h"

namespace fairlead {
namespace {

struct SectionRow {
  std::string_view id;
  ReportSection (*make)(const ReportMatter&);
};

// The order that a formal report has: practice, after the structured-reporting statements.
constexpr auto kSections = std::to_array<SectionRow>({
    {"identity", IdentitySection}, {"indication", IndicationSection}, {"patient", PatientSection}, {"consent", ConsentSection},
    {"access", AccessSection}, {"occlusion", OcclusionSection}, {"plan", PlanSection}, {"strategies", StrategySection},
    {"crossing", CrossingSection}, {"treatment", TreatmentSection}, {"devices", DeviceSection}, {"result", ResultSection},
    {"labels", LabelSection}, {"complications", ComplicationSection}, {"totals", TotalSection}, {"after", AfterSection},
    {"failed", FailedSection}, {"remarks", RemarkSection},
});

constexpr std::string_view kNoteHead = "report: ";

void AddWords(Report& report, const State& state) {
  for (const EntryIndex index : state.notes) {
    const Entry& entry = state.entries[index];
    const auto* note = std::get_if<NoteWritten>(&entry.data);
    const auto words = note == nullptr ? std::nullopt : NoteForSection(note->text);
    if (!words) continue;
    const auto section = std::ranges::find(report.sections, words->section, &ReportSection::id);
    if (section != report.sections.end()) section->words.push_back({words->text, entry.by, entry.at, entry.id});
  }
}

void AddSeals(Report& report, const State& state) {
  for (std::size_t i = 0; i < state.entries.size(); ++i) {
    const Entry& entry = state.entries[i];
    const auto* shown = std::get_if<Shown>(&entry.data);
    if (shown == nullptr || shown->at_step != kSignedStep || state.status[i] != EntryStatus::kCounts) continue;
    auto seal = SealOfText(shown->text);
    if (!seal) continue;
    seal->by = entry.by, seal->entry = entry.id, seal->at = entry.at;
    report.seals.push_back(std::move(*seal));
  }
}

}  // namespace

std::vector<std::string_view> ReportSectionIds() {
  std::vector<std::string_view> ids;
  ids.reserve(kSections.size());
  for (const SectionRow& row : kSections) ids.push_back(row.id);
  return ids;
}

std::optional<SectionWords> NoteForSection(std::string_view note) {
  if (!note.starts_with(kNoteHead)) return std::nullopt;
  const std::size_t end = note.find('\n');
  if (end == std::string_view::npos) return std::nullopt;
  const std::string_view section = note.substr(kNoteHead.size(), end - kNoteHead.size());
  if (std::ranges::find(kSections, section, &SectionRow::id) == kSections.end()) return std::nullopt;
  return SectionWords{std::string(section), std::string(note.substr(end + 1))};
}

std::string SectionNote(std::string_view section, std::string_view text) {
  std::string note(kNoteHead);
  return note.append(section).append("\n").append(text);
}

Report MakeReport(const State& state, const ReportSettings& settings) {
  Report report;
  const ReportMatter matter = MatterOf(state, settings);
  if (!state.entries.empty()) {
    const Entry& last = state.entries.back();
    report.case_id = last.case_id, report.hash = HexOf(last.hash), report.as_of = last.recorded;
  }
  if (const CaseOpened* opened = CaseInfo(state); opened != nullptr) report.title = opened->title, report.invented = opened->invented;
  report.visit = std::max(1, static_cast<int>(matter.run.sessions.size()));
  report.seq = state.seq;
  report.zone_min = settings.zone_min;
  report.not_understood = state.not_understood;
  for (const SectionRow& row : kSections) report.sections.push_back(row.make(matter));
  AddWords(report, state);
  std::erase_if(report.sections, [](const ReportSection& section) { return section.lines.empty() && section.tables.empty() && section.words.empty(); });
  report.pictures = PicturesOf(matter);
  AddSeals(report, state);
  return report;
}

std::size_t GapCount(const Report& report) {
  std::size_t count = 0;
  for (const ReportSection& section : report.sections)
    count += static_cast<std::size_t>(std::ranges::count_if(section.lines, [](const ReportLine& line) { return line.gap.has_value(); }));
  return count;
}

}  // namespace fairlead
