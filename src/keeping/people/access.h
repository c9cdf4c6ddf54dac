// SPDX-License-Identifier: Apache-2.0
// The access record: who came in from where, which case was opened, what was written. One line an event in
// DATA/access.log (mode 0600). It holds account names, addresses and case ids; never a title, an entry or a patient.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>

#include "measure/instant.h"
#include "measure/result.h"

namespace fairlead {

class AccessRecord {
 public:
  virtual ~AccessRecord() = default;
  // Control characters and blanks in the texts become '?', and each is cut at 120 bytes: one event is one line.
  virtual void Write(Instant at, std::string_view who, std::string_view from, std::string_view did,
                     std::string_view what) = 0;
};

// At `largest` bytes the file is moved to access.log.1 (and that to .2, up to .9; the oldest goes).
Result<std::unique_ptr<AccessRecord>> OpenAccessRecord(const std::filesystem::path& folder,
                                                       std::uint64_t largest = std::uint64_t{8} << 20);

}  // namespace fairlead
