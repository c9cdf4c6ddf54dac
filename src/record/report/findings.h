// SPDX-License-Identifier: Apache-2.0
// The raw values that labels are made of, from facts and run. Inside this room only.
#pragma once

#include "record/outcome/labels.h"
#include "record/report/parts.h"

namespace fairlead {

// Absent where nobody recorded it. That nothing happened counts as recorded once the question was ticked at the close.
ResultFindings FindingsOf(const ReportMatter& matter);

}  // namespace fairlead
