// SPDX-License-Identifier: Apache-2.0
// skin, phantom rdsr.
#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <fstream>

#include "front/cli/commands.h"
#include "front/cli/dose_files.h"
#include "front/cli/terminal.h"
#include "imaging/dosereport/write_report.h"
#include "reasoning/dose/followup.h"
#include "reasoning/dose/peak_views.h"
#include "reasoning/dose/skin_json.h"

namespace fairlead {
namespace {

constexpr std::string_view kCaution =
    "An estimate for trained operators; display, body and table are never exact. The local physicist, protocol and responsible physician decide.";

// Never more than two digits: the range is wider than the third.
std::string TwoDigits(double gray) { return fmt::format("{:.2g} Gy", gray); }

Status TakeBody(const SkinArguments& arguments, BeamSettings& settings) {
  if (arguments.height_cm > 0.0 || arguments.weight_kg > 0.0) {
    auto torso = TorsoOf({arguments.height_cm, arguments.weight_kg}, Arms::kUp);
    if (!torso) {
      Error error = torso.error();
      error.fault = Fault::kUsage;
      return error;
    }
    settings.body.torso = *torso;
    settings.body.size_known = true;
    LayOnTable(settings.body, std::nullopt);
  }
  if (arguments.arms_down) settings.body.torso.arms = ArmsBeside(settings.body.torso.trunk);
  return Done{};
}

void PrintEvents(const SkinEstimate& made, const std::vector<IrradiationEvent>& events) {
  constexpr std::size_t kShown = 6;
  const auto views = PeakByViews(made.peak, events, kShown);
  std::vector<std::vector<std::string>> rows = {{"at the peak, by view", "events", "skin dose there"}};
  double told = 0.0;
  for (const PeakByView& view : views) {
    rows.push_back({GantryText(view.angles), fmt::format("{}", view.events), TwoDigits(view.gray)});
    told += view.gray;
  }
  if (rows.size() == 1) return;
  Print(Table(rows));
  if (made.peak.gray - told > 0.005 * made.peak.gray) Print(fmt::format("other views {}", TwoDigits(made.peak.gray - told)));
  Print("what to use instead: fairlead views TREE.json --skin with the same file, or Seen from where? on the page");
}

// Where on the body, in words.
void PrintEstimate(const SkinEstimate& made, const SkinExposure& given) {
  Print(fmt::format("peak skin dose {} ({} to {}){}", TwoDigits(made.peak.gray), TwoDigits(made.low), TwoDigits(made.high),
                    made.from_totals ? ", from totals alone" : ""));
  if (made.peak.gray > 0.0 && !made.from_totals) Print("on " + PlaceText(made));
  PrintEvents(made, given.file.events);
  if (given.gathered && given.gathered->stated_kerma > 0.0) {
    Print(fmt::format("stated: {:.4g} Gy, {:.4g} Gy cm2; events: {:.4g} Gy, {:.4g} Gy cm2; fluoroscopy {:.1f} min", given.gathered->stated_kerma, 1e4 * given.gathered->stated_area_product,
                      given.gathered->summed_kerma, 1e4 * given.gathered->summed_area_product, given.gathered->fluoroscopy_minutes));
  }
  Print(fmt::format("air kerma at the reference point {:.3g} Gy; band {} (at the upper end {})", made.beams.kerma, BandOf(made.peak.gray).name, BandOf(made.high).name));
  if (const double product = 1e4 * made.beams.area_product; product > 0.0) {
    const EffectiveDose effective = EffectiveDoseOf(given.file.events, product);
    Print(fmt::format("effective dose about {:.2g} mSv ({:.2g} to {:.2g}): a population figure for comparison, not this patient's risk", effective.millisievert, effective.low, effective.high));
  }
  for (const ReachedLevel& level : LevelsReached({made.beams.kerma, 1e4 * made.beams.area_product, std::nullopt, made.high})) {
    Print("reached: " + level.what + ": " + std::string(level.asks));
  }
  for (const std::string& why : made.why) Print("range: " + why);
  std::vector<std::pair<std::string, int>> missing;  // each gap once, with how many events have it
  for (const EventFault& fault : made.beams.faults) {
    const auto found = std::ranges::find(missing, fault.text, &std::pair<std::string, int>::first);
    if (found == missing.end()) missing.emplace_back(fault.text, 1);
    else ++found->second;
  }
  for (const auto& [text, count] : missing) Print(fmt::format("missing in {} of {} events: {}", count, given.file.events.size(), text));
  for (const std::string& remark : given.remarks) Print("remark: " + remark);
  Print(kCaution);
}

Result<SkinExposure> Asked(const Arguments& arguments) {
  const SkinArguments& asked = arguments.skin;
  if (asked.events.empty() == arguments.files.empty()) {
    return Error{"give either dose reports or --events FILE.json", "skin", "see fairlead skin --help", Fault::kUsage};
  }
  auto files = asked.events.empty() ? EventsFromReports(arguments.files) : EventsFromJson(asked.events);
  if (!files) return files.error();
  if (Status taken = TakeBody(asked, files->file.settings); !taken) return taken.error();
  if (Status added = AddEarlierFiles(asked.earlier, *files); !added) return added.error();
  return files;
}

Status WriteFile(const std::filesystem::path& path, std::string_view bytes) {
  std::ofstream out(path, std::ios::binary | std::ios::trunc);
  out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  out.close();
  if (!out) return Error{"the file cannot be written", path.string(), "check the folder and its rights", Fault::kOutside};
  return Done{};
}

}  // namespace

int ShowSkin(const Arguments& arguments) {
  const SkinArguments& asked = arguments.skin;
  auto given = Asked(arguments);
  if (!given) return Fail(given.error());
  const std::vector<IrradiationEvent>& events = given->file.events;
  const SkinEstimate made = EstimateSkin(events, given->file.settings);
  if (!asked.out.empty()) {
    if (Status written = WriteFile(asked.out, SkinMapJson(made, events)); !written) return Fail(written.error());
  }
  std::optional<StatedTotals> stated;
  if (given->gathered) {
    const GatheredDose& g = *given->gathered;
    stated = StatedTotals{g.stated_kerma, g.summed_kerma, 1e4 * g.stated_area_product, 1e4 * g.summed_area_product, g.fluoroscopy_minutes};
  }
  if (arguments.json) Print(EstimateJson(made, events, given->remarks, stated));
  else PrintEstimate(made, *given);
  return 0;
}

int MakeDosePhantom(const Arguments& arguments) {
  const SkinArguments& asked = arguments.skin;
  ReportStyle style;
  for (const std::string& fault : asked.faults) {
    if (Status added = AddFault(fault, style); !added) {
      Error error = added.error();
      error.fault = Fault::kUsage;
      return Fail(error);
    }
  }
  std::error_code fault;
  std::filesystem::create_directories(arguments.out, fault);
  const auto events = InventedEvents(arguments.seed, asked.count);
  const auto file = DoseReportFile(events, fmt::format("{} {}", arguments.seed, asked.count), style);
  const std::string_view bytes(reinterpret_cast<const char*>(file.data()), file.size());
  if (Status written = WriteFile(arguments.out / "rdsr.dcm", bytes); !written) return Fail(written.error());
  if (Status written = WriteFile(arguments.out / "truth.json", EventsJson(events)); !written) return Fail(written.error());
  Print(arguments.json ? fmt::format("{{\"files\":[\"rdsr.dcm\",\"truth.json\"],\"events\":{}}}", events.size())
                       : fmt::format("rdsr.dcm, an invented dose report of {} events, and its truth.json are in {}", events.size(), arguments.out.string()));
  return 0;
}

}  // namespace fairlead
