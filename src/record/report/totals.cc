// SPDX-License-Identifier: Apache-2.0
// Time, X-rays, contrast, heparin, and what was consumed.
#include <fmt/core.h>

#include <map>

#include "casebook/run_table.h"
#include "reasoning/budget/budget.h"
#include "record/report/parts.h"

namespace fairlead {
namespace {

using How = ReportFill::How;

std::optional<std::string> LastOf(const Console& console, const char* unit) {
  if (console.sums.empty()) return std::nullopt;
  return Plain(console.sums.back().value) + unit + (console.fell ? " (a console went back without a new examination: look at the readings)" : "");
}
std::vector<std::string> EntryOf(const std::vector<At<double>>& sums) { return sums.empty() ? std::vector<std::string>{} : std::vector{sums.back().entry}; }

void AddTimes(ReportSection& section, const ReportMatter& matter) {
  const RunSession* session = PresentSession(matter.run);
  std::optional<std::string> span;
  if (session != nullptr && session->access && session->end)
    span = ClockOf(matter, *session->access) + " to " + ClockOf(matter, *session->end) + ", " + MinutesText(*session->access, *session->end) + " (first puncture to last guide out)";
  const bool begun = session != nullptr && session->access.has_value();
  Need(section, "Procedure", std::move(span), {How::kLog, begun ? "end" : "access femoral right 7F"});
}

std::string ContrastText(const ReportMatter& matter) {
  const RunState& run = matter.run;
  std::string text = Plain(run.contrast.back().value) + " mL";
  if (run.iodine_mg_ml) text += " of " + Plain(*run.iodine_mg_ml) + " mg iodine/mL";
  if (const auto function = KidneyFunction(matter.patient); function && *function > 0.0 && !NoRatio(matter.patient))
    text += fmt::format("; {:.1f} × kidney function {:.0f}", run.contrast.back().value / *function, *function);
  return text;
}

void AddBlood(ReportSection& section, const ReportMatter& matter) {
  const RunState& run = matter.run;
  const auto units = HeparinUnits(run);
  std::vector<std::string> doses, acts, because;
  for (const auto& dose : run.heparin) {
    doses.push_back(ClockOf(matter, dose.at) + " " + Plain(dose.value.units) + (dose.value.route == "drip" ? " IU/h" : " IU") + (dose.value.route == "bolus" ? "" : " " + dose.value.route));
    because.push_back(dose.entry);
  }
  Need(section, "Heparin", units ? std::optional(Plain(*units) + " IU: " + ListText(doses)) : std::nullopt, {How::kLog, "hep 8000"}, because);
  because.clear();
  for (const auto& act : run.acts) {
    acts.push_back(ClockOf(matter, act.at) + " " + (act.value.off_scale ? "off scale" : Plain(act.value.seconds) + " s"));
    because.push_back(act.entry);
  }
  Need(section, "ACT", acts.empty() ? std::nullopt : std::optional(ListText(acts)), {How::kLog, "act 310"}, because);
  for (const auto& dose : run.protamine) Say(section, "Protamine at " + ClockOf(matter, dose.at), Plain(dose.value) + " mg", {dose.entry});
  for (const Verb verb : {Verb::kDrug, Verb::kFluid})
    for (const VisitEvent& event : EventsOf(matter, verb)) Say(section, "Given at " + ClockOf(matter, event.at), RunText(*event.event), {*event.entry});
}

void AddCounts(ReportSection& section, const ReportMatter& matter) {
  std::map<std::string, int> counts;
  for (const RunDevice& device : matter.run.devices) ++counts[std::string(DeviceWord(device.kind))];
  counts["balloon"] += static_cast<int>(matter.run.balloons.size());
  counts["stent"] = static_cast<int>(matter.run.stents.size());
  std::vector<std::string> parts;
  for (const auto& [name, count] : counts)
    if (count > 0) parts.push_back(fmt::format("{} {}", count, name + (count == 1 || name.ends_with("s") ? "" : "s")));
  if (!parts.empty()) Say(section, "Devices and inflations", ListText(parts));
}

}  // namespace

ReportSection TotalSection(const ReportMatter& matter) {
  ReportSection section{"totals", "Totals", {}, {}, {}};
  const RunState& run = matter.run;
  AddTimes(section, matter);
  Need(section, "Fluoroscopy", LastOf(run.fluoro, " min"), {How::kLog, "fluoro 42min"}, EntryOf(run.fluoro.sums));
  Need(section, "Air kerma at the reference point", LastOf(run.air_kerma, " Gy"), {How::kLog, "ak 2.1"}, EntryOf(run.air_kerma.sums));
  Need(section, "Kerma-area product", LastOf(run.kerma_area, " Gy·cm²"), {How::kLog, "dap 150"}, EntryOf(run.kerma_area.sums));
  Need(section, "Contrast", run.contrast.empty() ? std::nullopt : std::optional(ContrastText(matter)), {How::kLog, "contrast =208"}, EntryOf(run.contrast));
  if (run.contrast_fell) Say(section, "Contrast", "a stated total was below the one before: " + Plain(run.contrast_fell->value) + " mL at " + ClockOf(matter, run.contrast_fell->at), {run.contrast_fell->entry});
  for (const EarlierUse& use : run.earlier)
    Say(section, "Earlier visit, " + DayOf(use.at, matter.zone), fmt::format("contrast {} mL, air kerma {} Gy", Plain(use.contrast_ml), Plain(use.air_kerma_gy)), {use.entry});
  AddBlood(section, matter);
  AddCounts(section, matter);
  return section;
}

}  // namespace fairlead
