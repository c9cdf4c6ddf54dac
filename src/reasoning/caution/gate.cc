// SPDX-License-Identifier: Apache-2.0
#include "reasoning/caution/gate.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace fairlead {
namespace {

constexpr auto kBefore = std::to_array<GateItem>({
    {"symptoms", "why open it: symptoms, drugs tried", ""},
    {"ischaemia", "why open it: ischaemia or viability shown", ""},
    {"alternatives", "alternatives offered: drugs, surgery, later", ""},
    {"consent", "consent names the planned ways, retrograde, perforation, drain, skin, failure, repeat", ""},
    {"allergy", "allergy: contrast, heparin, protamine, latex", ""},
    {"haemoglobin", "haemoglobin with its date", ""},
    {"creatinine", "creatinine with its date", ""},
    {"contrast-7-days", "contrast within 7 days", ""},
    {"dose-60-days", "dose within 60 days", ""},
    {"drain-set", "drain set in the room, echo on", ""},
    {"covered-stents", "covered stents, two sizes", ""},
    {"coils", "coils that fit a microcatheter in the room", ""},
    {"snare", "snare", ""},
    {"long-wire", "wire of 300 cm or more, two", ""},
});
constexpr auto kTimeOut = std::to_array<GateItem>({
    {"identity", "identity, procedure, side", ""},
    {"consent", "consent", ""},
    {"allergy", "allergy", ""},
    {"antiplatelets", "antiplatelet drugs taken", ""},
    {"bloods", "haemoglobin, kidney, INR", ""},
    {"limits", "limits said aloud: contrast, air kerma, time", ""},
    {"heparin-plan", "heparin plan and ACT target", ""},
    {"kit", "kit that must be in the room", ""},
    {"drill-lead", "who runs the drill if the vessel is holed", ""},
    {"surgeon", "surgeon aware", ""},
    {"plan", "the plan, its version frozen", ""},
});
constexpr auto kLastWire = std::to_array<GateItem>({
    {"flow", "flow, of the vessel and each branch", ""},
    {"donor", "donor artery injected", ""},
    {"channel", "used channel looked at with the wire still in", ""},
    {"pericardium", "pericardium looked at", ""},
    {"gear", "gear complete, tips whole", ""},
});
constexpr auto kClose = std::to_array<GateItem>({
    {"act", "ACT at sheath removal", ""},
    {"totals", "totals: air kerma, area product, contrast, heparin", ""},
    {"complications", "complications: yes or no", ""},
    {"creatinine", "who checks the creatinine, and when", ""},
    {"skin", "skin: check and letter if 5 Gy were passed", ""},
    {"drugs", "drugs after: antiplatelets, fluids", ""},
});
constexpr auto kExternalise = std::to_array<GateItem>({
    {"wire-length", "wire at least as long as its path", ""},
    {"covered", "microcatheter covers the wire in collateral and lesion", ""},
    {"act", "ACT at target", ""},
    {"donor-guide", "donor guide not deep, pressure not damped", ""},
    {"antegrade", "antegrade guide, wire and extension ready", ""},
    {"pressure", "no unexplained fall of pressure", ""},
    {"soft-part", "the snare holds the soft shaft", ""},
    {"watcher", "somebody watches the donor guide's tip", ""},
});
constexpr auto kGates = std::to_array<Gate>({
    {"before", "Before", kBefore},
    {"time-out", "Time-out", kTimeOut},
    {"externalise", "Before pulling a wire out", kExternalise},
    {"last-wire", "Before the last wire leaves", kLastWire},
    {"close", "Close", kClose},
});

std::string Digits(double value) {
  const double tenths = std::round(value * 10.0) / 10.0;
  std::string text = std::to_string(tenths);
  while (text.ends_with('0')) text.pop_back();
  if (text.ends_with('.')) text.pop_back();
  return text;
}

std::string Days(Instant at, Instant now) {
  const double days = (now - at).minutes() / (24.0 * 60.0);
  return std::to_string(std::max(0L, std::lround(std::floor(days)))) + " days old";
}

std::string Earlier(const RunState& run, Instant now, double within_days, bool contrast) {
  double sum = 0.0;
  for (const EarlierUse& use : run.earlier)
    if ((now - use.at).minutes() <= within_days * 24.0 * 60.0) sum += contrast ? use.contrast_ml : use.air_kerma_gy;
  return sum > 0.0 ? Digits(sum) + (contrast ? " mL" : " Gy") : "none on record";
}

// What the program can say of an item; it never ticks one.
std::string Known(const RunState& run, const RunPatient& patient, std::string_view gate, std::string_view item, Instant now) {
  if (item == "creatinine" && gate == "before" && patient.creatinine_mg_dl)
    return "creatinine " + Digits(*patient.creatinine_mg_dl) + " mg/dL" + (patient.creatinine_at ? ", " + Days(*patient.creatinine_at, now) : "") +
           (patient.egfr ? ", eGFR " + std::to_string(std::lround(*patient.egfr)) : "");
  if (item == "haemoglobin")
    for (auto lab = run.labs.rbegin(); lab != run.labs.rend(); ++lab)
      if (const auto value = NumberOf(lab->value, RunField::kHaemoglobin)) return "haemoglobin " + Digits(*value) + " g/dL, " + Days(lab->at, now);
  if (item == "contrast-7-days") return Earlier(run, now, 7, true);
  if (item == "dose-60-days") return Earlier(run, now, 60, false);
  if (item == "allergy") {
    std::string known;
    const auto add = [&](std::optional<bool> flag, const char* name) { if (flag.value_or(false)) known += (known.empty() ? "" : ", ") + std::string(name); };
    add(patient.contrast_allergy, "contrast");
    add(patient.heparin_allergy, "heparin");
    add(patient.protamine_risk, "protamine risk");
    return known;
  }
  if (item == "plan" && !run.sessions.empty() && run.sessions.back().plan) return "version " + Digits(*run.sessions.back().plan) + " frozen";
  if (item == "flow") {  // the vessel first, then its branches
    std::string flows;
    for (const auto& [branch, flow] : run.flows) flows += (flows.empty() ? "flow " : ", ") + (branch.empty() ? "" : branch + " ") + Digits(flow.value);
    return flows;
  }
  if (item == "donor" && run.donor) return run.donor->value;
  if (item == "pericardium" && !run.echoes.empty()) return "echo: " + run.echoes.back().value.finding;
  if (item == "act" && !run.acts.empty()) return "ACT " + std::to_string(std::lround(run.acts.back().value.seconds)) + " s";
  return {};
}

}  // namespace

std::span<const Gate> Gates() { return kGates; }

std::span<const GateItem> ItemsOf(std::string_view gate) {
  const auto found = std::ranges::find(kGates, gate, &Gate::id);
  return found == kGates.end() ? std::span<const GateItem>() : found->items;
}

std::vector<ItemState> StateOfGate(const RunState& run, const RunPatient& patient, const Gate& gate, Instant now) {
  std::vector<ItemState> items;
  for (const GateItem& item : gate.items) {
    ItemState state{&item, "open", "", std::nullopt, Known(run, patient, gate.id, item.id, now)};
    if (const auto tick = run.ticks.find(std::pair(std::string(gate.id), std::string(item.id))); tick != run.ticks.end()) {
      state.state = tick->second.value.state;
      state.why = tick->second.value.why;
      state.at = tick->second.at;
    }
    items.push_back(std::move(state));
  }
  return items;
}

}  // namespace fairlead
