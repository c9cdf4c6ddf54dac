// SPDX-License-Identifier: Apache-2.0
// Facts that another system already holds, offered to a case: what would be written, and what the case says already.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "casebook/entry_json.h"
#include "casebook/fold.h"
#include "measure/result.h"

namespace fairlead {

struct OfferedFact {
  std::string name, label, text, from;  // "creatinine", "Creatinine", "1.1 mg/dL", "FHIR Observation, LOINC ..."
  Instant at;
  bool dated = true, day_only = false;
  std::string stands;                   // what the case says now; empty: nothing
  bool known = false;                   // the case says the same already: not written again
};

struct FhirOffer {
  std::vector<OfferedFact> facts;
  std::vector<std::string> left_out;
  std::vector<IncomingEntry> entries;   // of the facts that are not known yet, ready to append
};

// The age is that at the last visit, or now where there was none. Errors: what ReadFhir says.
Result<FhirOffer> OfferFhir(const State& state, std::string_view json, const std::string& by, const std::string& device, Instant now);

// FhirOffer of docs/wire.md; `kept` entries were written.
std::string FhirOfferJson(const FhirOffer& offer, std::size_t kept);

}  // namespace fairlead
