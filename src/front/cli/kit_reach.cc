// SPDX-License-Identifier: Apache-2.0
// kit: reach, wires, support.
#include <fmt/core.h>

#include <cmath>

#include "front/cli/commands.h"
#include "front/cli/kit_shelf.h"
#include "front/cli/terminal.h"
#include "reasoning/kit/kit_json.h"
#include "reasoning/kit/route_json.h"
#include "reasoning/kit/support.h"
#include "reasoning/kit/wire.h"

namespace fairlead {
namespace {

double Cm(Length length) { return length.millimetres() / 10; }

std::string SpareText(const Spare& spare) {
  const std::string sd = spare.sd > Length{} ? fmt::format(" ± {:.1f}", Cm(spare.sd)) : std::string();
  return fmt::format("{:+.1f}{} cm, {}", Cm(spare.value), sd, WordOf(spare.reach));
}

void PrintRoute(const RouteQuestion& question) {
  const ReachAnswer answer = LayAlong(*question.route, question.devices);
  std::vector<std::vector<std::string>> rows = {{"along the route", "cm", "how known"}};
  std::vector<Stretch> all{question.route->valve, question.route->guide};
  all.insert(all.end(), question.route->segments.begin(), question.route->segments.end());
  for (const Stretch& each : all) {
    rows.push_back({each.name, fmt::format("{:.1f} ± {:.1f}", Cm(each.length), Cm(each.sd)), each.typical ? "usual, not measured" : "given"});
  }
  rows.push_back({"tip must stand at", fmt::format("{:.1f} ± {:.1f}", Cm(answer.need.length), Cm(answer.need.sd)), ""});
  Print(Table(rows));
  if (answer.laid.empty()) return;
  rows = {{"device", "length cm", "to spare", "reaches in 100"}};
  for (const Laid& laid : answer.laid) {
    rows.push_back({laid.device.name, fmt::format("{:.1f}", Cm(laid.device.usable)), SpareText(laid.spare), fmt::format("{:.0f}", laid.spare.odds_reaches * 100)});
  }
  Print(Table(rows));
  const Laid& first = answer.laid[answer.first];
  Print(fmt::format("Runs out first: {}, {}", first.device.name, SpareText(first.spare)));
}

void PrintExternal(const RouteQuestion& question) {
  for (const ExternalNeed& need : ExternalNeeds(*question.externalise)) {
    Print(fmt::format("To bring a wire out, microcatheter {}: {:.0f} cm", need.stage, Cm(need.need.length)));
  }
  for (const NamedLength& wire : question.wires) {
    const ExternalWire out = BringOut(wire.name, wire.length, *question.externalise);
    Print(fmt::format("  {} ({:.0f} cm): parked {}; at the guide's tip {}; clear of the lesion {}; {}", out.name, Cm(out.length), SpareText(out.spare[0]),
                      SpareText(out.spare[1]), SpareText(out.spare[2]), out.may_be_snared ? "may be snared" : "too short to be brought out: not to be snared"));
  }
}

void PrintExchange(const Exchanging& ask) {
  const ExchangeAnswer answer = Exchange(ask);
  Print(fmt::format("Tail behind the hub {:.1f} cm; at most {:.1f} cm of wire beyond the microcatheter", Cm(answer.tail), Cm(answer.longest_protrusion)));
  for (const WayOut& way : answer.ways) {
    const std::string sum = way.needs > Length{} ? fmt::format(" ({:+.1f} cm)", Cm(way.has - way.needs)) : std::string();
    Print(fmt::format("  {} {}{}{}", way.works ? "yes" : "no ", way.name, sum, way.mind.empty() ? "" : ": " + std::string(way.mind)));
  }
}

void PrintOthers(const RouteQuestion& question) {
  if (question.snare) {
    const SnareQuestion& snare = *question.snare;
    Print(fmt::format("Snare {}: {}", snare.name, SpareText(SnareReaches(snare.snare, question.route->valve, question.route->guide))));
    if (snare.loop && snare.vessel) {
      Print(fmt::format("  loop {:.0f} mm in a vessel of {:.0f} mm: {}", snare.loop->millimetres(), snare.vessel->millimetres(), WordOf(LoopIn(*snare.loop, *snare.vessel))));
    }
  }
  if (question.access) Print("Guide to the ostium: " + SpareText(GuideReaches(question.route->guide.length, *question.access)));
  if (question.tunnel) Print(fmt::format("Guide extension, tunnel to spare: {:+.1f} cm", Cm(ExtensionSpare(*question.tunnel, *question.wanted_depth))));
  if (question.wire_in_aorta) {
    Print("S-56: the wire lies in the aorta beside the guide. Did it leave through the ostium's own lumen? See two views or ultrasound before anything follows it.");
  }
}

}  // namespace

int AskReach(const Arguments& arguments) {
  const auto shelf = ShelfAsked(arguments);
  if (!shelf.ok()) return Fail(shelf.error());
  const std::string path = arguments.files.front().string();
  const auto text = ReadText(path);
  if (!text.ok()) return Fail(text.error());
  const auto question = RouteFromJson(*text, *shelf);
  if (!question.ok()) return Fail(Within(path, question.error()));
  if (arguments.json) { Print(ReachJson(*question)); return 0; }
  if (question->route && (!question->devices.empty() || !question->route->segments.empty())) PrintRoute(*question);
  if (question->externalise) PrintExternal(*question);
  if (question->exchange) PrintExchange(*question->exchange);
  PrintOthers(*question);
  Print("Measure valve, guide and route: usual lengths are not this patient's. Local protocol and the responsible physician decide.");
  return 0;
}

int ListWires(const Arguments& arguments) {
  const auto shelf = ShelfAsked(arguments);
  if (!shelf.ok()) return Fail(shelf.error());
  const auto day = DayAsked(arguments);
  if (!day.ok()) return Fail(day.error());
  if (arguments.json) { Print(WiresJson(*shelf, IsoOf(*day))); return 0; }
  std::vector<std::vector<std::string>> rows = {{"wire", "step", "gf", "tip in", "MPa", "kgf/in2", "gf at 5 mm", "in stock"}};
  for (const LadderWire& wire : WireLadder(*shelf)) {
    const Device& device = shelf->devices[wire.device];
    const WireClass& step = ClassOfStep(wire.step);
    const auto shown = [&](bool there, double value, int digits) { return there ? fmt::format("{:.{}f}", value, digits) : std::string("-"); };
    const bool known = wire.pressure.has_value();
    rows.push_back({device.name, fmt::format("{} {}", step.id, step.title), shown(device.tip_load_gf.has_value(), device.tip_load_gf.value_or(0), 1),
                    shown(device.tip.has_value(), device.tip.value_or(Length{}).millimetres() / 25.4, 3), shown(known, known ? wire.pressure->megapascal : 0, 2),
                    shown(known, known ? wire.pressure->kgf_per_in2 : 0, 0), shown(known, CarriedLoadGf(device.tip_load_gf.value_or(0), Length::Millimetres(5)), 0),
                    fmt::format("{}", UsableCount(device, IsoOf(*day)))});
  }
  Print(Table(rows));
  Print("Nominal pressures: a ranking, not forces on tissue. Bring the microcatheter up before a stiffer wire.");
  if (shelf->invented) Print("Invented demonstration data; give your own with --shelf FILE.csv.");
  return 0;
}

int ShowSupport(const Arguments& arguments) {
  if (arguments.json) { Print(SupportJson()); return 0; }
  std::vector<std::vector<std::string>> rows = {{"what was measured", "how much"}};
  for (const SupportFinding& finding : SupportFindings()) rows.push_back({std::string(finding.what), std::string(finding.size)});
  Print(Table(rows));
  rows = {{"poor support: in this order", "mind"}};
  for (const SupportRemedy& remedy : SupportRemedies()) {
    rows.push_back({std::string(remedy.what), fmt::format("{}{}", remedy.mind, remedy.costs_lumen ? (remedy.mind.empty() ? "ask the fit again" : "; ask the fit again") : "")});
  }
  Print(Table(rows));
  return 0;
}

}  // namespace fairlead
