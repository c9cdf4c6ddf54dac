// SPDX-License-Identifier: Apache-2.0
// What is known before a case, as a row holds it: so that a plan can be held against rows.
#pragma once

#include "casebook/fact.h"
#include "practice/audit/row.h"

namespace fairlead {

// Vessel, J-CTO total and the facts of RowFacts(), each at its most probable value; what nobody knows stays out.
// `facts` with derived ones added.
void TakeFacts(CaseRow& row, const Facts& facts);

}  // namespace fairlead
