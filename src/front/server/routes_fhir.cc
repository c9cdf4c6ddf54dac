// SPDX-License-Identifier: Apache-2.0
// Facts of a patient from another system's file: looked at, then kept.
#include <array>

#include "front/server/answer.h"
#include "front/server/fhir_case.h"
#include "front/server/random.h"
#include "front/server/routes_parcel.h"

namespace fairlead {
namespace {

Response TakeFhirFacts(App& app, Asked& asked) {
  const RequestHead& head = asked.request.head;
  const bool keep = QueryValue(head, "keep") == "1";
  asked.keeps = keep;
  const std::string by(QueryValue(head, "by"));
  auto has = app.practice.Has(asked.given[0]);
  if (!has.ok()) return Refusal(has.error());
  if (!*has) return Refusal(404, Error{"there is no such case", "", "choose one from the list of cases"});
  if (keep && (by.empty() || by.size() > 64)) return Refusal(Error{"nobody is named as the writer", "by", "give initials or a role"});
  if (asked.request.body.find_first_not_of(" \r\n\t") == std::string::npos) return Refusal(Error{"the file is empty", "FHIR", "export a Bundle as JSON"});
  FhirOffer offer;
  std::optional<Error> refused;
  const auto plan = [&](const State& state) -> Result<std::vector<IncomingEntry>> {
    auto made = OfferFhir(state, asked.request.body, by.empty() ? "page" : by, head.local ? "command line" : "page", Now());
    if (!made.ok()) {
      refused = made.error();
      return *refused;
    }
    offer = std::move(*made);
    return keep ? std::move(offer.entries) : std::vector<IncomingEntry>{};
  };
  auto receipts = app.practice.AppendPlanned(asked.given[0], plan);
  if (refused) return Refusal(422, *refused);
  if (!receipts.ok()) return Refusal(receipts.error());
  return Json(FhirOfferJson(offer, receipts->size()));
}

constexpr std::array<Route, 1> kRoutes = {{
    {.method = "POST", .path = "/api/cases/{id}/fhir", .body = Route::Body::kTable, .needs = Role::kRecorder, .answer = TakeFhirFacts},
}};

}  // namespace

std::span<const Route> FhirRoutes() { return kRoutes; }

}  // namespace fairlead
