// SPDX-License-Identifier: Apache-2.0
// case facts: what another system already knows of the patient.
#include <fmt/core.h>

#include <fstream>
#include <iterator>

#include "front/cli/carry.h"
#include "front/cli/reader.h"
#include "front/cli/terminal.h"
#include "front/cli/writing.h"
#include "front/server/fhir_case.h"
#include "front/server/random.h"
#include "record/exchange/fhir_in.h"

namespace fairlead {

int TakeCaseFacts(const Arguments& arguments) {
  std::ifstream file(arguments.files.front(), std::ios::binary);
  std::string json(kLongestFhir + 1, '\0');
  file.read(json.data(), static_cast<std::streamsize>(json.size()));
  json.resize(static_cast<std::size_t>(std::max<std::streamsize>(0, file.gcount())));
  if (json.empty()) return Fail(Error{"the file is empty or cannot be read", arguments.files.front().string(), "give a FHIR Bundle as JSON"});
  auto read = ReadEntries(arguments);
  if (!read.ok()) return Fail(read.error());
  auto offer = OfferFhir(Fold(std::move(read->entries)), json, arguments.by.empty() ? "operator" : arguments.by, "command line", Now());
  if (!offer.ok()) return Fail(Within(arguments.files.front().string(), offer.error()));
  const std::size_t kept = arguments.proposal ? 0 : offer->entries.size();
  if (kept > 0)
    if (auto written = AppendEntries(arguments, read->id, offer->entries); !written.ok()) return Fail(written.error());
  if (arguments.json) {
    Print(FhirOfferJson(*offer, kept));
    return 0;
  }
  std::vector<std::vector<std::string>> rows = {{"fact", "value", "from", "of", "case"}};
  for (const OfferedFact& fact : offer->facts)
    rows.push_back({fact.label, fact.text, fact.from, fact.dated ? ToIso(fact.at).substr(0, fact.day_only ? 10 : 16) : "not dated", fact.known ? "says so already" : kept == 0 ? "not written" : fact.stands.empty() ? "new" : "said " + fact.stands});
  Print(Table(rows));
  for (const std::string& line : offer->left_out) Print("left out: " + line);
  Print(fmt::format("{} entries written", kept));
  return 0;
}

}  // namespace fairlead
