// SPDX-License-Identifier: Apache-2.0
// ladder learn: what one's own attempts make of the published priors, as a text that the lab may put in force.
#include <fmt/core.h>

#include <filesystem>

#include "front/cli/commands.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "front/server/random.h"
#include "front/server/run_ladder.h"
#include "practice/learning/learn.h"

namespace fairlead {
namespace {

Result<Observed> ObservedHere(const Arguments& arguments, const Knowledge& lab) {
  Observed observed;
  std::error_code ignored;
  if (!std::filesystem::exists(arguments.data / "journal.sqlite", ignored)) return observed;  // nothing of one's own yet
  auto journal = ReadJournal(arguments);
  if (!journal.ok()) return journal.error();
  auto lines = (*journal)->Cases();
  if (!lines.ok()) return lines.error();
  for (const CaseLine& line : *lines) {
    auto entries = (*journal)->Entries(line.id);
    if (!entries.ok()) return Within(line.id, entries.error());
    Append(observed, AttemptsOf(line.id, Fold(std::move(*entries))));
  }
  if (const KnowledgeText* past = FindKnowledge(lab, kPastCases)) {
    auto rows = ParseCaseRows(past->text);
    if (!rows.ok()) return Within("the lab's past cases", rows.error());
    Append(observed, AttemptsOf(*rows));
  }
  return observed;
}

std::string FigureText(const LearnedFigure& figure, const char* format_as, double times) {
  return fmt::format(fmt::runtime(format_as), times * figure.published, times * figure.own, times * figure.low, times * figure.high, 100.0 * figure.share);
}

void PrintLearned(const Learned& learned) {
  for (const std::string& text : learned.says) Print(text);
  std::vector<std::vector<std::string>> rows = {{"strategy", "J-CTO", "attempts", "crossed", "across by 30 min: published > with one's own (90 %)", "if stops were 1 or 3 times", "own"}};
  for (const LearnedStrategy& s : learned.strategies) {
    for (std::size_t g = 0; g < kDifficulties; ++g) {
      const LearnedGroup& group = s.groups[g];
      rows.push_back({g == 0 ? s.id : "", g == 3 ? "3+" : std::to_string(g), std::to_string(group.attempts), std::to_string(group.crossed),
                      FigureText(group.by_30, "{:.0f} > {:.0f} % ({:.0f} to {:.0f})", 100.0), fmt::format("{:.0f}, {:.0f} %", 100 * group.by_30_if[0], 100 * group.by_30_if[1]),
                      fmt::format("{:.0f} %", 100 * group.by_30.share)});
    }
  }
  Print(Table(rows));
  for (const LearnedStrategy& s : learned.strategies)
    Print(fmt::format("{}: {} complications in {:.0f} min of work; per hour {}", s.id, s.complications, s.watched_min, FigureText(s.complications_per_hour, "{:.4f} > {:.4f} ({:.4f} to {:.4f}), {:.0f} % own", 1.0)));
  if (!learned.steps.empty()) {
    std::vector<std::vector<std::string>> tried = {{"would not go", "tried", "times", "went on from there (95 %)"}};
    for (const StepShare& each : learned.steps)
      tried.push_back({each.reason, each.step, std::to_string(each.tried), fmt::format("{:.0f} % ({:.0f} to {:.0f})", 100.0 * static_cast<double>(each.worked) / static_cast<double>(each.tried), 100.0 * each.band.low, 100.0 * each.band.high)});
    Print(Table(tried));
    Print("Seen, not tried by lot: a step that is kept for the hardest looks worse than it is.");
  }
  Print("Proposed only. Read it with fairlead ladder learn --proposal; a lab puts it in force with fairlead lab set priors FILE.json.\n"
        "For trained operators. Local protocols and the responsible physician decide.");
}

}  // namespace

int LearnLadder(const Arguments& arguments) {
  auto lab = ReadLab(arguments);
  if (!lab.ok()) return Fail(lab.error());
  auto in_force = PriorsOf(*lab);
  if (!in_force.ok()) return Fail(in_force.error());
  auto observed = ObservedHere(arguments, *lab);
  if (!observed.ok()) return Fail(observed.error());
  const Learned learned = Learn(*observed, StartOfLearning(*in_force), ToIso(Now()).substr(0, 10));
  if (arguments.proposal) Print(PriorsJson(learned.proposal));
  else if (arguments.json) Print(LearnedJson(learned, *in_force));
  else PrintLearned(learned);
  return 0;
}

}  // namespace fairlead
