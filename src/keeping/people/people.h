// SPDX-License-Identifier: Apache-2.0
// Who may use a data folder from another computer: names, roles and the hashes of their passwords, in one small file
// beside the journal (DATA/people, mode 0600). Without such a file nobody may.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "measure/result.h"

namespace fairlead {

// Each may do what those before it may, and more.
enum class Role {
  kReader,         // sees cases and boards
  kRecorder,       // writes entries
  kOperator,       // opens cases, takes images in
  kAdministrator,  // changes what the lab knows
};
std::string_view RoleName(Role role);
Result<Role> ParseRole(std::string_view word);

struct Account {
  std::string name;   // 1 to 40 of a-z A-Z 0-9 . _ -
  Role role = Role::kReader;
  std::string hash;   // Argon2id, in the encoded form that carries its own salt and cost
};

// Empty if the file is not there. Errors: a line that is not understood; the file is readable by others.
Result<std::vector<Account>> ReadPeople(const std::filesystem::path& folder);

// Errors: the name is taken or has other characters; the password has under 12 or over 400 bytes; the disk.
Status AddPerson(const std::filesystem::path& folder, std::string_view name, Role role, std::string_view password);
Status ResetPassword(const std::filesystem::path& folder, std::string_view name, std::string_view password);
Status RemovePerson(const std::filesystem::path& folder, std::string_view name);

// Changes when the file may have changed; empty if there is none.
std::string PeopleStamp(const std::filesystem::path& folder);

// --- Passwords. Each of these takes about a tenth of a second and 64 MiB on purpose.
Result<std::string> HashPassword(std::string_view password);
// Without a person it takes as long and is false, so that nobody learns from the time which names exist.
bool PasswordHolds(const Account* person, std::string_view password);

// 100 random bits as four groups of five letters, none of which looks like another: a first password to hand over.
std::string NewPassword();

}  // namespace fairlead
