// SPDX-License-Identifier: Apache-2.0
// Dose reports in the store of files, beside the runs: under the SHA-256 of their bytes like these, without frames.
#pragma once

#include <stop_token>
#include <string>
#include <string_view>

#include "imaging/dosereport/report.h"
#include "keeping/images/images.h"

namespace fairlead {

struct ImportedDose {
  std::string hash;    // SHA-256, 64 small hex digits
  bool again = false;  // the same bytes were here already
  DoseReport report;
};

// Instead of Upload::Finish, or after it found no run in the file. Takes tenths of a second.
// Errors: what ReadDoseInChild says (nothing is kept then); the disk.
Result<ImportedDose> FinishDose(Upload& upload, std::stop_token stop);

// What the stored file of a dose report, or of a run, says of the X-rays. Reads the file anew each time.
// Errors: no such file; what ReadDoseInChild says.
Result<DoseReport> FindDose(ImageStore& store, std::string_view hash);

}  // namespace fairlead
