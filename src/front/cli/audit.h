// SPDX-License-Identifier: Apache-2.0
// What `audit` takes.
#pragma once

#include <cstddef>
#include <string>

namespace fairlead {

struct AuditArguments {
  std::string since, until;             // 2026-01-01, or a time with a zone
  std::string vessel, strategy;
  int j_cto_from = -1, j_cto_to = -1;   // -1: no limit
  bool first_attempts = false;
  std::size_t most = 10;                // cases like one
  std::string to, as;                   // of the registry: address of the shared one, this lab's name in it
};

}  // namespace fairlead
