// SPDX-License-Identifier: Apache-2.0
// views TREE.json.
#include <fmt/core.h>

#include "front/cli/commands.h"
#include "front/cli/dose_files.h"
#include "front/cli/terminal.h"
#include "reasoning/views/views_json.h"

namespace fairlead {
namespace {

Error AsUsage(Error error) {
  error.fault = Fault::kUsage;
  return error;
}

Status TakeGrid(const ViewArguments& given, ViewGrid& grid) {
  const double primary = given.primary_range, secondary = given.secondary_range;
  if (!(primary >= 5.0 && primary <= 180.0) || !(secondary >= 5.0 && secondary <= 90.0) || !(given.step >= 0.5 && given.step <= 15.0)) {
    return AsUsage({"the range of views is not possible", "--primary, --secondary or --step", "give 5 to 180, 5 to 90 and 0.5 to 15 degrees"});
  }
  grid.step = given.step;
  const int across = static_cast<int>(primary / given.step), down = static_cast<int>(secondary / given.step);
  grid.columns = 2 * across + 1;
  grid.rows = 2 * down + 1;
  grid.primary0 = -given.step * across;
  grid.secondary0 = -given.step * down;
  return Done{};
}

Status TakeSkin(const ViewArguments& given, ViewQuestion& question) {
  if (given.skin.empty()) return Done{};
  auto files = EventsFromAny(given.skin);
  if (!files) return files.error();
  const SkinEstimate made = EstimateSkin(files->file.events, files->file.settings);
  question.skin = SkinSoFarOf(made, files->file.events);
  question.body = files->file.settings.body;
  return Done{};
}

Status TakeGantry(const ViewArguments& given, ViewQuestion& question) {
  if (given.gantry.empty()) return Done{};
  auto text = ReadText(given.gantry.string());
  if (!text) return text.error();
  auto gantry = GantryFromJson(*text);
  if (!gantry) return gantry.error();
  question.gantry = *gantry;
  question.gantry.named = given.gantry.filename().string();
  return Done{};
}

std::vector<std::string> RowOf(const std::string& what, const WorkingView& view, bool skin) {
  return {what,
          GantryText(view.angles),
          fmt::format("{:.0f} %", 100.0 * view.foreshortening),
          fmt::format("{:.0f} %", 100.0 * view.overlap),
          fmt::format("{:.1f}", view.rate),
          skin ? fmt::format("{:.1f} Gy", view.skin_gray) : "not known",
          view.why};
}

void PrintAdvice(const ViewQuestion& question, const ViewAdvice& advice, const std::optional<Spared>& spared) {
  const bool skin = question.skin.has_value();
  Print(fmt::format("{}, {:.0f} mm{}", question.tree.target_name, LengthOf(question.tree.target), question.tree.measured ? "" : " (not measured in this patient)"));
  std::vector<std::vector<std::string>> rows = {{"", "view", "hidden", "overlapped", "dose rate", "skin there", "look at"}};
  for (std::size_t i = 0; i < advice.best.size(); ++i) rows.push_back(RowOf(i == 0 ? "shows most" : "also", advice.best[i], skin));
  if (advice.second) rows.push_back(RowOf("second view", *advice.second, skin));
  if (advice.collateral) rows.push_back(RowOf("collateral", *advice.collateral, skin));
  if (advice.held) rows.push_back(RowOf("now", *advice.held, skin));
  if (advice.away) rows.push_back(RowOf("away from the burden", *advice.away, skin));
  rows.push_back(RowOf("avoid", advice.barrel, skin));
  Print(Table(rows));
  if (advice.second) Print(fmt::format("the second view stands {:.0f} degrees from the first about the vessel, {:.0f} between the beams", advice.second_about, advice.second_between));
  if (spared) {
    Print(fmt::format("to spare the skin: from {} to {}, {:.0f} degrees; the entry moves {:.0f} mm, foreshortening {:+.0f} points", GantryText(spared->from.angles),
                      GantryText(spared->to.angles), spared->turn, spared->moved, 100.0 * spared->lost));
  }
  std::string considered;
  for (const std::string& name : advice.balls.considered) considered += (considered.empty() ? "" : ", ") + name;
  Print("overlap considered for: " + (considered.empty() ? "nothing" : considered));
  for (const std::string& note : advice.notes) Print("note: " + note);
  Print("dose rate against a frontal view. Geometry for trained operators; collisions are not modelled; the operator decides.");
}

}  // namespace

int ShowWorkingViews(const Arguments& arguments) {
  const ViewArguments& given = arguments.views;
  if (given.tree.empty()) return Fail(AsUsage({"no tree is given", "views", "give TREE.json, or see fairlead views --help"}));
  auto text = ReadText(given.tree.string());
  if (!text) return Fail(text.error());
  auto tree = ParseTree(*text);
  if (!tree) return Fail(Within(given.tree.string(), tree.error()));
  ViewQuestion question;
  question.tree = std::move(*tree);
  if (Status taken = TakeGrid(given, question.grid); !taken) return Fail(taken.error());
  if (Status taken = TakeGantry(given, question); !taken) return Fail(taken.error());
  if (Status taken = TakeSkin(given, question); !taken) return Fail(taken.error());
  if (!given.now.empty()) {
    auto now = ParseGantry(given.now);
    if (!now) return Fail(AsUsage(Within("--now", now.error())));
    question.held = *now;
  } else if (question.skin) {
    question.held = question.skin->burdened;
  }
  const ViewAdvice advice = Advise(question);
  std::optional<Spared> spared;
  if (question.skin && question.held) spared = SpareSkin(question, advice.balls, advice.maps, *question.held, given.spare_below > 0.0 ? given.spare_below : 0.5 * question.skin->peak);
  if (arguments.json) Print(AdviceJson(question, advice, spared, 1));
  else PrintAdvice(question, advice, spared);
  return 0;
}

}  // namespace fairlead
