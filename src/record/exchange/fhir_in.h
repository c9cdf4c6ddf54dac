// SPDX-License-Identifier: Apache-2.0
// What another system already knows of the patient, from FHIR R4 JSON: age, sex, creatinine, haemoglobin, ejection fraction,
// weight, height. Codes by LOINC, units by UCUM. Nothing that names a person is taken. Hostile texts are expected.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "casebook/entry.h"
#include "measure/instant.h"
#include "measure/result.h"

namespace fairlead {

inline constexpr std::size_t kLongestFhir = 4 * 1024 * 1024;  // bytes; chosen
inline constexpr std::size_t kMostFhirResources = 5000;       // chosen

struct FhirFact {
  FactStated fact;      // mark `read`; origin.method says from which resource, code, value and unit
  Instant at;           // of the measurement; of the reading where the file does not date it
  bool dated = true;
  bool day_only = false;  // the file gives a day: noon UTC stands for it
};

struct FhirRead {
  std::vector<FhirFact> facts;         // the newest of each, in the order of the dictionary
  std::vector<std::string> left_out;   // one sentence each: what was seen and why it was not taken
};

// A Bundle, a Patient or an Observation. `visit` is when the age is needed, `now` the clock: nothing later is taken.
// Errors: no JSON, too long or too deep, no FHIR of these kinds, two patients in one file.
Result<FhirRead> ReadFhir(std::string_view json, Instant visit, Instant now);

}  // namespace fairlead
