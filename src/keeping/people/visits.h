// SPDX-License-Identifier: Apache-2.0
// Browsers that were let in, kept beside the journal (DATA/visits, mode 0600) so that a program that was killed in the
// middle of a case takes the recorder's waiting entries when it is started again. Cookies are kept only as their SHA-256.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "measure/instant.h"
#include "measure/result.h"

namespace fairlead {

struct Visit {
  std::string cookie;   // SHA-256 of the cookie's value, 64 hex digits
  std::string name;     // of the account; empty where no passwords are asked for
  std::string account;  // SHA-256 of the account's role and password hash: a changed account has no visits
  Instant since, last;
  friend bool operator==(const Visit&, const Visit&) = default;
};

// Lines that are not understood are left out, and so is a file that others may read: its visitors come in anew.
std::vector<Visit> ReadVisits(const std::filesystem::path& folder);
Status WriteVisits(const std::filesystem::path& folder, const std::vector<Visit>& visits);

}  // namespace fairlead
