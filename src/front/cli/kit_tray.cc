// SPDX-License-Identifier: Apache-2.0
// kit tray: the pick list of a ladder.
#include "front/cli/commands.h"
#include "front/cli/kit_shelf.h"
#include "front/cli/terminal.h"
#include "reasoning/kit/size.h"
#include "reasoning/tray/tray_json.h"
#include "reasoning/tray/usual_route.h"

namespace fairlead {

int LayTray(const Arguments& arguments) {
  const KitArguments& given = arguments.kit;
  const auto left = LeftAsked(arguments);
  if (!left.ok()) return Fail(left.error());
  const Shelf* shelf = &left->shelf;
  const auto day = DayAsked(arguments);
  if (!day.ok()) return Fail(day.error());
  TrayQuestion question;
  question.strategies = given.items;
  question.today = IsoOf(*day);
  question.antegrade = UsualAntegrade(given.target);
  question.retrograde = UsualRetrograde(given.target, given.channel);
  for (const auto& [text, size] : {std::pair{&given.vessel, &question.vessel}, std::pair{&given.radial, &question.radial_artery}}) {
    if (text->empty()) continue;
    const auto read = ParseSize(*text);
    if (!read.ok()) return Fail(read.error());
    *size = read->value;
  }
  auto tray = ChooseTray(question, *shelf);
  if (!tray.ok()) return Fail(tray.error());
  if (arguments.json) AddFlow(*tray, *shelf);
  Print(arguments.json ? TrayJson(question, *tray, *shelf) : PickListText(question, *tray, *shelf));
  return 0;
}

}  // namespace fairlead
