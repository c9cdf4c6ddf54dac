// SPDX-License-Identifier: Apache-2.0
#include "keeping/people/people.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <functional>
#include <sstream>

namespace fairlead {
namespace {

constexpr std::string_view kFirstLine = "fairlead people 1";
constexpr std::array<std::string_view, 4> kRoles = {"reader", "recorder", "operator", "administrator"};

std::filesystem::path FileOf(const std::filesystem::path& folder) { return folder / "people"; }

Error Outside(std::string what, const std::filesystem::path& where) {
  return {std::move(what) + ": " + std::strerror(errno), where.filename().string(), "check the disk and the rights",
          Fault::kOutside};
}

bool NameFits(std::string_view name) {
  static constexpr std::string_view kOthers = "._-";
  const auto fits = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || kOthers.find(c) != kOthers.npos;
  };
  return !name.empty() && name.size() <= 40 && std::all_of(name.begin(), name.end(), fits);
}

// Held while the file is read, changed and written: two commands at once lose nothing.
class Turn {
 public:
  explicit Turn(const std::filesystem::path& folder)
      : fd_(::open((folder / "people.lock").c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600)) {
    if (fd_ >= 0) ::flock(fd_, LOCK_EX);
  }
  Turn(const Turn&) = delete;
  Turn& operator=(const Turn&) = delete;
  ~Turn() {
    if (fd_ >= 0) ::close(fd_);
  }

 private:
  int fd_;
};

Result<Account> ParsePerson(const std::string& line) {
  std::istringstream words(line);
  Account person;
  std::string role;
  std::string more;
  words >> person.name >> role >> person.hash;
  auto parsed = ParseRole(role);
  if (!NameFits(person.name) || !parsed.ok() || !person.hash.starts_with("$argon2id$") || words >> more) {
    return Error{"this line is not a name, a role and a hash", "", "restore the file, or add the people again"};
  }
  person.role = *parsed;
  return person;
}

// Whole or not at all: a new file is on the disk before it takes the place of the old one.
Status WritePeople(const std::filesystem::path& folder, const std::vector<Account>& people) {
  std::string text = std::string(kFirstLine) + "\n";
  for (const Account& person : people) {
    text += person.name + " " + std::string(RoleName(person.role)) + " " + person.hash + "\n";
  }
  const auto fresh = folder / "people.new";
  const int fd = ::open(fresh.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0600);
  if (fd < 0) return Outside("the list of people cannot be written", fresh);
  const bool written = ::write(fd, text.data(), text.size()) == static_cast<ssize_t>(text.size()) && ::fsync(fd) == 0;
  ::close(fd);
  if (!written || ::rename(fresh.c_str(), FileOf(folder).c_str()) != 0) {
    return Outside("the list of people cannot be written", fresh);
  }
  return Done{};
}

using Change = std::function<Status(std::vector<Account>&)>;
Status ChangePeople(const std::filesystem::path& folder, const Change& change) {
  std::error_code code;
  // Whoever adds people first makes the data folder by it: nobody else may read that.
  if (std::filesystem::create_directories(folder, code)) {
    std::filesystem::permissions(folder, std::filesystem::perms::owner_all, code);
  }
  const Turn turn(folder);
  auto people = ReadPeople(folder);
  if (!people.ok()) return people.error();
  if (auto changed = change(*people); !changed.ok()) return changed;
  return WritePeople(folder, *people);
}

Result<std::vector<Account>::iterator> Named(std::vector<Account>& people, std::string_view name) {
  const auto at = std::find_if(people.begin(), people.end(), [&](const Account& p) { return p.name == name; });
  if (at == people.end()) {
    return Error{"there is no such person", std::string(name.substr(0, 40)), "fairlead people list shows them"};
  }
  return at;
}

}  // namespace

std::string_view RoleName(Role role) { return kRoles[static_cast<std::size_t>(role)]; }

Result<Role> ParseRole(std::string_view word) {
  const auto at = std::find(kRoles.begin(), kRoles.end(), word);
  if (at != kRoles.end()) return static_cast<Role>(at - kRoles.begin());
  return Error{"there is no such role", std::string(word.substr(0, 40)), "use reader, recorder, operator or administrator"};
}

Result<std::vector<Account>> ReadPeople(const std::filesystem::path& folder) {
  struct stat facts{};
  if (::stat(FileOf(folder).c_str(), &facts) != 0) {
    if (errno == ENOENT || errno == ENOTDIR) return std::vector<Account>{};
    return Outside("the list of people cannot be read", FileOf(folder));
  }
  if ((facts.st_mode & 077) != 0) {
    return Error{"others may read the list of people", "people in the data folder", "chmod 600 the file", Fault::kOutside};
  }
  std::ifstream file(FileOf(folder));
  std::string line;
  std::vector<Account> people;
  if (!std::getline(file, line) || line != kFirstLine) {
    return Error{"the list of people has another form", "people in the data folder", "restore the file", Fault::kOutside};
  }
  while (std::getline(file, line)) {
    auto person = ParsePerson(line);
    if (!person.ok()) return Within("people, line " + std::to_string(people.size() + 2), person.error());
    people.push_back(std::move(*person));
  }
  return people;
}

Status AddPerson(const std::filesystem::path& folder, std::string_view name, Role role, std::string_view password) {
  if (!NameFits(name)) {
    return Error{"a person's name has 1 to 40 of the letters a-z A-Z 0-9 . _ -", std::string(name.substr(0, 40)),
                 "use initials or a short name"};
  }
  auto hash = HashPassword(password);
  if (!hash.ok()) return hash.error();
  return ChangePeople(folder, [&](std::vector<Account>& people) -> Status {
    if (Named(people, name).ok()) {
      return Error{"this name is taken", std::string(name), "reset that person's password, or use another name"};
    }
    people.push_back({std::string(name), role, std::move(*hash)});
    return Done{};
  });
}

Status ResetPassword(const std::filesystem::path& folder, std::string_view name, std::string_view password) {
  auto hash = HashPassword(password);
  if (!hash.ok()) return hash.error();
  return ChangePeople(folder, [&](std::vector<Account>& people) -> Status {
    auto at = Named(people, name);
    if (!at.ok()) return at.error();
    (*at)->hash = std::move(*hash);
    return Done{};
  });
}

Status RemovePerson(const std::filesystem::path& folder, std::string_view name) {
  return ChangePeople(folder, [&](std::vector<Account>& people) -> Status {
    auto at = Named(people, name);
    if (!at.ok()) return at.error();
    people.erase(*at);
    return Done{};
  });
}

std::string PeopleStamp(const std::filesystem::path& folder) {
  struct stat facts{};
  if (::stat(FileOf(folder).c_str(), &facts) != 0) return {};
  return std::to_string(facts.st_ino) + "." + std::to_string(facts.st_mtim.tv_sec) + "." +
         std::to_string(facts.st_mtim.tv_nsec) + "." + std::to_string(facts.st_size);
}

}  // namespace fairlead
