// SPDX-License-Identifier: Apache-2.0
// A case as the page sees it, from its state.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>

#include "casebook/fold.h"
#include "measure/instant.h"

namespace fairlead {

struct CasePicture {
  const std::string& case_id;
  const State& state;
  const std::map<std::string, std::string>& images;  // hash -> Image as JSON, "null" if it is not there
  Instant now;
  struct Past {
    Instant at;
    bool known = false;
  };
  std::optional<Past> past;
};
// The object Case of docs/wire.md.
std::string CaseJson(const CasePicture& picture);

}  // namespace fairlead
