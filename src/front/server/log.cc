// SPDX-License-Identifier: Apache-2.0
#include "front/server/log.h"

#include <fmt/core.h>

#include <cstdio>

#include "front/server/random.h"
#include "measure/instant.h"

namespace fairlead {

void ErrorStreamLog::Write(std::string_view line) {
  const std::string text = fmt::format("{} {}\n", ToIso(Now()), line);
  const std::lock_guard lock(mutex_);
  std::fwrite(text.data(), 1, text.size(), stderr);
}

}  // namespace fairlead
