// SPDX-License-Identifier: Apache-2.0
#include "front/server/case_dose.h"

#include <fmt/core.h>

#include <algorithm>
#include <utility>

#include "casebook/derive.h"
#include "casebook/run/run_state.h"
#include "front/server/random.h"

namespace fairlead {
namespace {

constexpr std::size_t kMostRuns = 60;  // headers read where there is no report; chosen

std::vector<GivenDose> GivenIn(const State& state) {
  std::vector<GivenDose> all;
  for (const EntryIndex index : state.doses) {
    if (const auto* given = std::get_if<DoseGiven>(&state.entries[index].data)) all.push_back({state.entries[index].id, *given, given->earlier});
  }
  std::string latest;
  for (const GivenDose& dose : all) {
    if (!dose.earlier) latest = std::max(latest, dose.given.day);
  }
  for (GivenDose& dose : all) dose.earlier = dose.earlier || (!dose.given.day.empty() && dose.given.day < latest);
  return all;
}

IrradiationEvent TypedEvent(const TypedDose& typed, const std::string& name) {
  IrradiationEvent event;
  event.id = name;
  event.kerma = Kerma::Gray(typed.air_kerma_gy);
  if (typed.primary_deg && typed.secondary_deg) event.angles = GantryAngles{Angle::Degrees(*typed.primary_deg), Angle::Degrees(*typed.secondary_deg)};
  return event;
}

// A typed dose as a report without totals, so that one way serves both.
DoseReport ReportOfTyped(const GivenDose& dose) {
  DoseReport report;
  report.study = dose.entry;
  for (std::size_t i = 0; i < dose.given.typed.size(); ++i) {
    report.events.push_back(TypedEvent(dose.given.typed[i], fmt::format("{}, line {}", dose.given.label, i + 1)));
    report.events.back().started = dose.given.day;
  }
  report.containers = report.events.size();
  return report;
}

class Joining {
 public:
  Joining(Practice& practice, const State& state, CaseDose& dose) : practice_(practice), state_(state), dose_(dose) {}

  void Join() {
    bool all_typed = true;
    std::vector<DoseReport> now;
    for (const GivenDose& given : dose_.given) {
      if (given.earlier) continue;
      all_typed = all_typed && given.given.hash.empty();
      Read(given, now);
    }
    if (!now.empty()) dose_.from = all_typed ? "typed by view" : "dose reports";
    if (now.empty()) FromRuns(now);
    dose_.exposure = ExposureOf(now);
    AddConsole();
    TakeSize();
    AddEarlierOnes();
    auto& remarks = dose_.exposure.remarks;
    remarks.insert(remarks.begin(), faults_.begin(), faults_.end());
  }

 private:
  void Read(const GivenDose& given, std::vector<DoseReport>& into) {
    if (given.given.hash.empty()) return into.push_back(ReportOfTyped(given));
    auto report = practice_.DoseReportOf(given.given.hash);
    if (report.ok()) into.push_back(**report);
    else faults_.push_back(given.given.label + ": " + Sentence(report.error()));
  }

  void FromRuns(std::vector<DoseReport>& into) {
    std::size_t runs = 0, silent = 0;
    for (const EntryIndex index : ImagesInOrder(state_)) {
      const auto* added = std::get_if<ImageAdded>(&state_.entries[index].data);
      if (added == nullptr || added->modality != "XA" || runs == kMostRuns) continue;
      ++runs;
      auto report = practice_.DoseReportOf(added->hash);
      if (!report.ok()) continue;
      const IrradiationEvent& event = (*report)->events.front();
      if (event.kerma || event.area_product) into.push_back(**report);
      else ++silent;
    }
    if (!into.empty()) dose_.from = "headers of the runs";
    if (silent > 0) faults_.push_back(fmt::format("{} of {} runs state no dose in their headers", silent, runs));
  }

  // What the console counted and no event holds lies somewhere.
  void AddConsole() {
    const RunState run = RunOf(state_);
    const double console = run.air_kerma.sums.empty() ? 0.0 : run.air_kerma.sums.back().value;
    double held = 0.0;
    for (const IrradiationEvent& event : dose_.exposure.file.events) held += event.kerma.value_or(Kerma()).gray();
    constexpr double kAgrees = 0.02;  // of the larger, as of a report's totals
    if (console <= held * (1.0 + kAgrees)) return;
    IrradiationEvent rest;
    rest.id = held > 0.0 ? "console, not in a report" : "console";
    rest.kerma = Kerma::Gray(console - held);
    dose_.exposure.file.events.push_back(std::move(rest));
    if (held > 0.0) dose_.exposure.remarks.push_back(fmt::format("the console counted {:.3g} Gy, the events hold {:.3g} Gy: the rest lies somewhere", console, held));
    if (dose_.from.empty()) dose_.from = "the console's total";
  }

  std::optional<double> Fact(const char* name) const {
    const FactStated* stated = StandingFact(state_, {name, ""});
    return stated == nullptr ? std::nullopt : Middle(stated->belief);
  }
  static std::optional<double> Middle(const Belief& belief) {
    const auto* number = std::get_if<Number>(&belief);
    return number == nullptr ? std::nullopt : std::optional(number->value);
  }

  void TakeSize() {
    BeamSettings& settings = dose_.exposure.file.settings;
    if (settings.body.size_known) return;
    const auto height = Fact("height_cm"), weight = Fact("weight_kg");
    if (!height || !weight) return;
    const auto torso = TorsoOf({*height, *weight}, Arms::kUp);
    if (!torso.ok()) return;
    settings.body.torso = *torso;
    settings.body.size_known = true;
    LayOnTable(settings.body, std::nullopt);
    dose_.size_from_facts = true;
  }

  void AddEarlierOnes() {
    const auto own = DayOf(dose_.exposure.file.events);
    const auto today = own ? own : std::optional(std::chrono::floor<std::chrono::days>(std::chrono::sys_time<std::chrono::milliseconds>(std::chrono::milliseconds(Now().ms))));
    for (const GivenDose& given : dose_.given) {
      if (!given.earlier) continue;
      std::vector<DoseReport> earlier;
      Read(given, earlier);
      if (earlier.empty()) continue;
      AddEarlier(ExposureOf(earlier), given.given.label, today, dose_.exposure);
      if (dose_.from.empty()) dose_.from = "earlier procedures";
    }
  }

  Practice& practice_;
  const State& state_;
  CaseDose& dose_;
  std::vector<std::string> faults_;
};

}  // namespace

Result<CaseDose> DoseOfCase(Practice& practice, const std::string& case_id) {
  auto state = practice.StateOf(case_id, std::nullopt);
  if (!state.ok()) return state.error();
  CaseDose dose;
  dose.seq = state->seq;
  dose.given = GivenIn(*state);
  Joining(practice, *state, dose).Join();
  dose.skin = EstimateSkin(dose.exposure.file.events, dose.exposure.file.settings);
  return dose;
}

}  // namespace fairlead
