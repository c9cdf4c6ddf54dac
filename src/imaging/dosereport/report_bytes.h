// SPDX-License-Identifier: Apache-2.0
// A dose report as bytes, between the child that read the file and the process that asked for it.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "imaging/dosereport/report.h"

namespace fairlead {

std::vector<std::uint8_t> ReportBytes(const DoseReport& report);

// The bytes may be hostile. Errors: anything that a sound child would not have written.
Result<DoseReport> ReportFromBytes(std::span<const std::uint8_t> bytes);

}  // namespace fairlead
