// SPDX-License-Identifier: Apache-2.0
// Dose reports are foreign files too.
#pragma once

#include <stop_token>

#include "imaging/child/decode.h"
#include "imaging/dosereport/report.h"

namespace fairlead {

// What the file open at `file` says of the X-rays: a dose report, or a run's header. Errors: what ReadDoseReport says; a
// signal, a limit, a stop, or a child that could not be started.
Result<DoseReport> ReadDoseInChild(int file, const ChildLimits& limits, std::stop_token stop);

}  // namespace fairlead
