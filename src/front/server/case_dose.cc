// SPDX-License-Identifier: Apache-2.0
#include "front/server/case_dose.h"

#include <fmt/core.h>

#include <algorithm>
#include <iterator>
#include <utility>

#include "casebook/entry_json.h"
#include "casebook/run/run_state.h"
#include "casebook/ulid.h"
#include "front/server/random.h"
#include "front/server/skin_kept.h"
#include "keeping/images/doses.h"
#include "reasoning/dose/rate.h"
#include "reasoning/exposure/console.h"

namespace fairlead {
namespace {

constexpr std::size_t kMostExtremes = 6;  // ways to share a rise that are worked out besides; chosen
constexpr std::size_t kMostRuns = 60;  // headers read where there is no report; chosen

std::string DayOfReport(const DoseReport& report) {
  for (const IrradiationEvent& event : report.events) {
    if (event.started.size() >= 10) return event.started.substr(0, 10);
  }
  return report.written.substr(0, 10);
}

bool IsReport(const ImageAdded& added) { return added.modality == kReportModality; }

// The reports of a case that can be read; of the others a sentence.
std::vector<GivenDose> GivenIn(ImageStore& images, const State& state, std::vector<std::string>& faults) {
  std::vector<GivenDose> all;
  std::string latest;
  for (const EntryIndex index : ImagesInOrder(state)) {
    const Entry& entry = state.entries[index];
    const auto* added = std::get_if<ImageAdded>(&entry.data);
    if (added == nullptr || !IsReport(*added)) continue;
    auto report = FindDose(images, added->hash);
    if (!report.ok()) {
      faults.push_back(added->label + ": " + Sentence(report.error()));
      continue;
    }
    GivenDose given{entry.id, added->label, DayOfReport(*report), added->label.starts_with("earlier"), std::move(*report)};
    if (!given.earlier) latest = std::max(latest, given.day);
    all.push_back(std::move(given));
  }
  for (GivenDose& dose : all) dose.earlier = dose.earlier || (!dose.day.empty() && dose.day < latest);
  return all;
}

class Joining {
 public:
  Joining(ImageStore& images, const State& state, CaseDose& dose) : images_(images), state_(state), dose_(dose) {}

  void Join() {
    dose_.given = GivenIn(images_, state_, faults_);
    std::vector<DoseReport> now;
    for (const GivenDose& given : dose_.given) {
      if (!given.earlier) now.push_back(given.report);
    }
    if (!now.empty()) dose_.from = "dose reports";
    else FromRuns(now);
    dose_.exposure = ExposureOf(now);
    TakeSize();
    AddConsole();
    const auto own = dose_.exposure.file.events.size();
    AddEarlierOnes();
    const auto& all = dose_.exposure.file.events;
    for (auto& extreme : dose_.extremes) extreme.insert(extreme.end(), all.begin() + static_cast<std::ptrdiff_t>(own), all.end());
    auto& remarks = dose_.exposure.remarks;
    remarks.insert(remarks.begin(), faults_.begin(), faults_.end());
  }

 private:
  void FromRuns(std::vector<DoseReport>& into) {
    std::size_t runs = 0, silent = 0;
    for (const EntryIndex index : ImagesInOrder(state_)) {
      const auto* added = std::get_if<ImageAdded>(&state_.entries[index].data);
      if (added == nullptr || added->modality != "XA" || runs == kMostRuns) continue;
      ++runs;
      auto report = FindDose(images_, added->hash);
      if (!report.ok() || report->events.empty()) continue;
      const IrradiationEvent& event = report->events.front();
      if (event.kerma || event.area_product) into.push_back(std::move(*report));
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
    if (dose_.from != "dose reports" && AddTypedViews(run, console - held)) return;
    IrradiationEvent rest;
    rest.id = held > 0.0 ? "console, not in a report" : "console";
    rest.kerma = Kerma::Gray(console - held);
    dose_.exposure.file.events.push_back(std::move(rest));
    if (held > 0.0) dose_.exposure.remarks.push_back(fmt::format("the console counted {:.3g} Gy, the events hold {:.3g} Gy: the rest lies somewhere", console, held));
    if (dose_.from.empty()) dose_.from = "the console's total";
  }

  // Where the log says which view stood when the totals rose, they lie there; false where it does not.
  bool AddTypedViews(const RunState& run, double kerma_gy) {
    const Body& body = dose_.exposure.file.settings.body;
    ConsoleSharing sharing;
    sharing.rate = [&body](const GantryAngles& angles) { return KermaRateAgainstFrontal(body, angles); };
    const std::vector<ConsoleShare> shares = ConsoleByView(run, sharing);
    if (std::ranges::none_of(shares, [](const ConsoleShare& share) { return share.angles.has_value(); })) return false;
    const std::vector<IrradiationEvent> before = dose_.exposure.file.events;
    auto events = EventsOfConsole(shares, kerma_gy);
    std::ranges::move(events, std::back_inserter(dose_.exposure.file.events));
    dose_.exposure.remarks.push_back(fmt::format("{:.3g} Gy of the console's total lie in the views that the log names", kerma_gy));
    if (std::ranges::any_of(shares, &ConsoleShare::by_time)) {
      dose_.exposure.remarks.emplace_back("where the view changed between two typed totals, the rise is shared by time and by the body in the way of each view, "
                                          "and the range covers all of it in any one of them: type the total before the view is changed");
      for (const ConsoleShare& share : shares) {
        if (!share.by_time || !share.angles || dose_.extremes.size() == kMostExtremes) continue;
        sharing.all_to = share.angles;
        auto other = before;
        std::ranges::move(EventsOfConsole(ConsoleByView(run, sharing), kerma_gy), std::back_inserter(other));
        dose_.extremes.push_back(std::move(other));
      }
    }
    if (dose_.from.empty()) dose_.from = "typed air kerma by view";
    return true;
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
      AddEarlier(ExposureOf({given.report}), given.label, today, dose_.exposure);
      if (dose_.from.empty()) dose_.from = "earlier procedures";
    }
  }

  ImageStore& images_;
  const State& state_;
  CaseDose& dose_;
  std::vector<std::string> faults_;
};

}  // namespace

Result<Receipt> AddDose(Practice& practice, const std::string& case_id, const std::string& hash, bool earlier, const std::string& device) {
  std::optional<Receipt> there;
  auto receipts = practice.AppendPlanned(case_id, [&](const State& state) -> Result<std::vector<IncomingEntry>> {
    if (const auto at = state.images.find(hash); at != state.images.end() && !at->second.added.empty()) {
      const Entry& entry = state.entries[at->second.added.front()];
      there = Receipt{.id = entry.id, .seq = entry.seq, .recorded = entry.recorded, .hash = entry.hash, .again = true};
      return std::vector<IncomingEntry>{};
    }
    const auto before = std::ranges::count_if(state.entries, [](const Entry& entry) {
      const auto* added = std::get_if<ImageAdded>(&entry.data);
      return added != nullptr && IsReport(*added);
    });
    Entry entry;
    entry.at = entry.written = Now();
    entry.id = NewUlid(entry.at, RandomTail());
    entry.by = "fairlead";
    entry.device = device;
    entry.data = ImageAdded{.hash = hash, .label = fmt::format("{}dose report {}", earlier ? "earlier " : "", before + 1), .modality = std::string(kReportModality)};
    return std::vector<IncomingEntry>{MakeIncoming(std::move(entry))};
  });
  if (!receipts.ok()) return receipts.error();
  return there ? *there : receipts->front();
}

CaseDose DoseOfState(ImageStore& images, const State& state) {
  CaseDose dose;
  dose.seq = state.seq;
  Joining(images, state, dose).Join();
  dose.skin = EstimateSkinKept(dose.exposure.file.events, dose.exposure.file.settings);
  for (const auto& events : dose.extremes) {
    const SkinEstimate other = EstimateSkinKept(events, dose.exposure.file.settings);
    dose.skin.low = std::min(dose.skin.low, other.low);
    dose.skin.high = std::max(dose.skin.high, other.high);
  }
  if (!dose.extremes.empty()) dose.skin.why.emplace_back("A rise over several views may lie in any of them: the range spans all of it in each.");
  return dose;
}

Result<CaseDose> DoseOfCase(Practice& practice, const std::string& case_id) {
  auto state = practice.StateOf(case_id, std::nullopt);
  if (!state.ok()) return state.error();
  return DoseOfState(practice.images(), *state);
}

}  // namespace fairlead
