// SPDX-License-Identifier: Apache-2.0
#include "keeping/people/visits.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <fstream>
#include <sstream>

#include "keeping/images/digest.h"

namespace fairlead {
namespace {

constexpr std::string_view kFirstLine = "fairlead visits 1";
constexpr std::size_t kMost = 256;  // as many as a server holds
constexpr std::string_view kNobody = "-";

std::filesystem::path FileOf(const std::filesystem::path& folder) { return folder / "visits"; }

}  // namespace

std::vector<Visit> ReadVisits(const std::filesystem::path& folder) {
  struct stat facts{};
  if (::stat(FileOf(folder).c_str(), &facts) != 0 || (facts.st_mode & 077) != 0) return {};
  std::ifstream file(FileOf(folder));
  std::string line;
  if (!std::getline(file, line) || line != kFirstLine) return {};
  std::vector<Visit> visits;
  while (visits.size() < kMost && std::getline(file, line)) {
    std::istringstream words(line);
    Visit visit;
    std::string more;
    words >> visit.cookie >> visit.account >> visit.since.ms >> visit.last.ms >> visit.name;
    if (!words || words >> more || !IsHash(visit.cookie) || !IsHash(visit.account)) continue;
    if (visit.name == kNobody) visit.name.clear();
    visits.push_back(std::move(visit));
  }
  return visits;
}

Status WriteVisits(const std::filesystem::path& folder, const std::vector<Visit>& visits) {
  std::ostringstream text;
  text << kFirstLine << '\n';
  for (const Visit& visit : visits) {
    text << visit.cookie << ' ' << visit.account << ' ' << visit.since.ms << ' ' << visit.last.ms << ' '
         << (visit.name.empty() ? std::string(kNobody) : visit.name) << '\n';
  }
  const std::string whole = text.str();
  const auto fresh = folder / "visits.new";
  const int fd = ::open(fresh.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
  const bool written = fd >= 0 && ::write(fd, whole.data(), whole.size()) == static_cast<ssize_t>(whole.size());
  if (fd >= 0) ::close(fd);
  if (written && ::rename(fresh.c_str(), FileOf(folder).c_str()) == 0) return Done{};
  return Error{"the list of browsers that were let in cannot be written", "visits in the data folder",
               "check the disk; after the next start they have to come in anew", Fault::kOutside};
}

}  // namespace fairlead
