// SPDX-License-Identifier: Apache-2.0
// A PNG as a still picture: shown, never measured.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "imaging/dicom/read.h"
#include "imaging/dicom/run.h"
#include "measure/result.h"

namespace fairlead {

struct Still {
  Run run;
  std::vector<std::uint8_t> bytes;  // of its one frame
};

bool LooksLikePng(std::span<const std::uint8_t> file);

// Grey of 8 or 16 bits stays as it is, grey of fewer is widened to 8; colours become RGB of 8 bits, transparency goes.
// Errors: a broken file; more than the limits.
Result<Still> ReadPng(std::span<const std::uint8_t> file, const ReadLimits& limits);

}  // namespace fairlead
