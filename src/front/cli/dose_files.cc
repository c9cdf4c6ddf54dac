// SPDX-License-Identifier: Apache-2.0
#include "front/cli/dose_files.h"

#include <fcntl.h>

#include <algorithm>
#include <fstream>
#include <system_error>

#include "front/cli/terminal.h"
#include "imaging/child/dose.h"

namespace fairlead {
namespace {

constexpr std::size_t kMostFiles = 500;

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
      if (!at->is_regular_file(fault)) continue;
      if (files.size() == kMostFiles) return Error{"the folder holds more than 500 files", path.string(), "give the folder of one procedure"};
      files.push_back(at->path());
    }
  }
  std::ranges::sort(files);
  return files;
}

Result<DoseReport> ReadFile(const std::filesystem::path& path) {
  const Descriptor file(open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (!file.ok()) return Error{"the file cannot be read", "", "check its name and rights"};
  return ReadDoseInChild(file.get(), {}, {});
}

}  // namespace

Result<SkinExposure> EventsFromJson(const std::filesystem::path& path) {
  auto text = ReadText(path.string());
  if (!text) return text.error();
  auto file = ParseSkinFile(*text);
  if (!file) return Within(path.string(), file.error());
  SkinExposure exposure{std::move(*file), std::nullopt, {}};
  exposure.remarks = exposure.file.remarks;
  return exposure;
}

Result<SkinExposure> EventsFromReports(const std::vector<std::filesystem::path>& given) {
  auto paths = Spread(given);
  if (!paths) return paths.error();
  std::vector<DoseReport> reports;
  std::vector<std::string> faults;
  std::optional<Error> last;
  for (const auto& path : *paths) {
    auto report = ReadFile(path);
    if (report) {
      reports.push_back(std::move(*report));
    } else {
      last = Within(path.filename().string(), report.error());
      faults.push_back(Sentence(*last));
    }
  }
  if (reports.empty()) return last ? *last : Error{"the folder holds no file", given.front().string(), "choose the dose report of the procedure"};
  SkinExposure exposure = ExposureOf(reports);
  exposure.remarks.insert(exposure.remarks.begin(), faults.begin(), faults.end());
  return exposure;
}

Result<SkinExposure> EventsFromAny(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  char first = ' ';
  while (in.get(first) && (first == ' ' || first == '\n' || first == '\r' || first == '\t')) {}
  if (in && (first == '{' || first == '[')) return EventsFromJson(path);
  return EventsFromReports({path});
}

Status AddEarlierFiles(const std::vector<std::filesystem::path>& given, SkinExposure& into) {
  const auto today = DayOf(into.file.events);
  for (const auto& path : given) {
    auto earlier = EventsFromAny(path);
    if (!earlier) return earlier.error();
    const bool dated = DayOf(earlier->file.events).has_value();
    const std::string name = dated ? earlier->file.events.front().started.substr(0, 10) : path.filename().string();
    AddEarlier(std::move(*earlier), name, today, into);
  }
  return Done{};
}

}  // namespace fairlead
