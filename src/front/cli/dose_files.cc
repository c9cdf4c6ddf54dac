// SPDX-License-Identifier: Apache-2.0
#include "front/cli/dose_files.h"

#include <fmt/core.h>

#include <algorithm>
#include <chrono>
#include <fstream>
#include <iterator>
#include <system_error>

#include "front/cli/terminal.h"

namespace fairlead {
namespace {

constexpr std::uintmax_t kMostBytes = std::uintmax_t{256} << 20;
constexpr std::size_t kMostFiles = 500;
constexpr int kFully = 60, kMarked = 183;  // days; from memory

Result<std::vector<std::uint8_t>> ReadBytes(const std::filesystem::path& path) {
  std::error_code fault;
  const auto size = std::filesystem::file_size(path, fault);
  if (fault) return Error{"the file cannot be read: " + fault.message(), path.string(), "check its name and rights"};
  if (size > kMostBytes) return Error{"the file is larger than 256 MiB", path.string(), "give the dose report itself"};
  std::ifstream in(path, std::ios::binary);
  std::vector<std::uint8_t> bytes{std::istreambuf_iterator<char>(in), {}};
  if (in.bad()) return Error{"the file cannot be read", path.string(), "check its rights", Fault::kOutside};
  return bytes;
}

// Files as named, folders as the files in them.
Result<std::vector<std::filesystem::path>> Spread(const std::vector<std::filesystem::path>& given) {
  std::vector<std::filesystem::path> files;
  for (const auto& path : given) {
    std::error_code fault;
    if (!std::filesystem::is_directory(path, fault)) {
      files.push_back(path);
      continue;
    }
    for (std::filesystem::recursive_directory_iterator at(path, std::filesystem::directory_options::skip_permission_denied, fault), end; !fault && at != end; at.increment(fault)) {
      if (at->is_regular_file(fault) && files.size() < kMostFiles) files.push_back(at->path());
    }
  }
  std::ranges::sort(files);
  return files;
}

// Where the table stood is known against the procedure's first event alone.
void CountTableFromFirst(std::vector<IrradiationEvent>& events) {
  const auto first = std::ranges::find_if(events, [](const IrradiationEvent& e) { return e.table.has_value(); });
  if (first == events.end()) return;
  const Vec3 zero = *first->table;
  for (IrradiationEvent& event : events) {
    if (event.table) event.table = *event.table - zero;
    if (event.table_end) event.table_end = *event.table_end - zero;
  }
}

void TakeSettings(const GatheredDose& gathered, DoseFiles& files) {
  BeamSettings& settings = files.file.settings;
  if (gathered.calibration && *gathered.calibration >= 0.2 && *gathered.calibration <= 5.0) {
    settings.calibration = *gathered.calibration;
    settings.calibrated = true;
  }
  if (!gathered.height_cm || !gathered.weight_kg) return;
  const auto torso = TorsoOf({*gathered.height_cm, *gathered.weight_kg}, Arms::kUp);
  if (!torso) return;
  settings.body.torso = *torso;
  settings.body.size_known = true;
  LayOnTable(settings.body, std::nullopt);
}

std::optional<std::chrono::sys_days> DayOf(const std::vector<IrradiationEvent>& events) {
  for (const IrradiationEvent& event : events) {
    int year = 0;
    unsigned month = 0, day = 0;
    if (event.started.size() < 10 || std::sscanf(event.started.c_str(), "%4d-%2u-%2u", &year, &month, &day) != 3) continue;
    const std::chrono::year_month_day date{std::chrono::year(year), std::chrono::month(month), std::chrono::day(day)};
    if (date.ok()) return std::chrono::sys_days(date);
  }
  return std::nullopt;
}

}  // namespace

Result<DoseFiles> EventsFromJson(const std::filesystem::path& path) {
  auto text = ReadText(path.string());
  if (!text) return text.error();
  auto file = ParseSkinFile(*text);
  if (!file) return Within(path.string(), file.error());
  DoseFiles files{std::move(*file), std::nullopt, {}};
  files.remarks = files.file.remarks;
  return files;
}

Result<DoseFiles> EventsFromReports(const std::vector<std::filesystem::path>& given) {
  auto paths = Spread(given);
  if (!paths) return paths.error();
  std::vector<DoseReport> reports;
  DoseFiles files;
  std::optional<Error> fault;
  for (const auto& path : *paths) {
    auto bytes = ReadBytes(path);
    if (!bytes) return bytes.error();
    auto report = ReadDoseReport(*bytes);
    if (report) {
      reports.push_back(std::move(*report));
    } else {
      fault = Within(path.filename().string(), report.error());
      files.remarks.push_back(Sentence(*fault));
    }
  }
  if (reports.empty()) return fault ? *fault : Error{"the folder holds no file", given.front().string(), "choose the dose report of the procedure"};
  files.gathered = Gather(reports);
  files.file.events = files.gathered->events;
  CountTableFromFirst(files.file.events);
  files.remarks.insert(files.remarks.end(), files.gathered->remarks.begin(), files.gathered->remarks.end());
  TakeSettings(*files.gathered, files);
  return files;
}

Result<DoseFiles> EventsFromAny(const std::filesystem::path& path) {
  auto bytes = ReadBytes(path);
  if (!bytes) return bytes.error();
  const auto first = std::ranges::find_if(*bytes, [](std::uint8_t b) { return b != ' ' && b != '\n' && b != '\r' && b != '\t'; });
  if (first != bytes->end() && (*first == '{' || *first == '[')) return EventsFromJson(path);
  return EventsFromReports({path});
}

Status AddEarlier(const std::vector<std::filesystem::path>& given, DoseFiles& into) {
  const auto today = DayOf(into.file.events);
  for (const auto& path : given) {
    auto earlier = EventsFromAny(path);
    if (!earlier) return earlier.error();
    const auto then = DayOf(earlier->file.events);
    const std::string name = then ? earlier->file.events.front().started.substr(0, 10) : path.filename().string();
    const long days = today && then ? (*today - *then).count() : -1;
    if (days < 0) into.remarks.push_back(name + ": its day against this procedure is not known; added fully");
    if (days > kMarked) {
      const SkinEstimate old = EstimateSkin(earlier->file.events, into.file.settings);
      into.remarks.push_back(fmt::format("{}: {} days before; not added; skin irradiated before up to {:.2g} Gy (at most {:.2g} Gy)", name, days, old.peak.gray, old.high));
      continue;
    }
    if (days > kFully) into.remarks.push_back(fmt::format("{}: {} days before; added, and repair since then is not counted", name, days));
    else if (days >= 0) into.remarks.push_back(fmt::format("{}: {} days before; added fully", name, days));
    for (IrradiationEvent& event : earlier->file.events) {
      event.id = name + " " + event.id;
      into.file.events.push_back(std::move(event));
    }
  }
  return Done{};
}

}  // namespace fairlead
