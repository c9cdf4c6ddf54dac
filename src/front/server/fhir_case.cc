// SPDX-License-Identifier: Apache-2.0
#include "front/server/fhir_case.h"

#include "casebook/entry_text.h"
#include "casebook/run/run_state.h"
#include "casebook/ulid.h"
#include "front/server/json_text.h"
#include "front/server/random.h"
#include "record/exchange/fhir_in.h"

namespace fairlead {

Result<FhirOffer> OfferFhir(const State& state, std::string_view json, const std::string& by, const std::string& device, Instant now) {
  const RunState run = RunOf(state);
  const RunSession* session = PresentSession(run);
  auto read = ReadFhir(json, session == nullptr ? now : session->start, now);
  if (!read.ok()) return read.error();
  FhirOffer offer;
  offer.left_out = std::move(read->left_out);
  for (FhirFact& each : read->facts) {
    const FactRow* row = FindFact(each.fact.key.name);
    if (row == nullptr) continue;
    OfferedFact fact{each.fact.key.name, std::string(row->label), BeliefText(*row, each.fact.belief), each.fact.origin.method, each.at, each.dated, each.day_only, {}, false};
    if (const FactStated* standing = StandingFact(state, each.fact.key)) {
      fact.stands = BeliefText(*row, standing->belief);
      const Entry* entry = StandingFactEntry(state, each.fact.key);
      fact.known = standing->belief == each.fact.belief && entry != nullptr && (entry->at >= each.at || !each.dated || each.at == now);
    }
    if (!fact.known) {
      Entry entry;
      entry.id = NewUlid(now, RandomTail());
      entry.at = each.at, entry.written = now;
      entry.by = by, entry.device = device;
      entry.data = std::move(each.fact);
      offer.entries.push_back(MakeIncoming(std::move(entry)));
    }
    offer.facts.push_back(std::move(fact));
  }
  return offer;
}

std::string FhirOfferJson(const FhirOffer& offer, std::size_t kept) {
  JsonText json;
  json.Open('{').Key("facts").Open('[');
  for (const OfferedFact& fact : offer.facts) {
    json.Open('{').Member("name", fact.name).Member("label", fact.label).Member("text", fact.text).Member("from", fact.from);
    json.Member("at", ToIso(fact.at)).Member("dated", fact.dated).Member("day_only", fact.day_only).Member("stands", fact.stands).Member("known", fact.known).Close('}');
  }
  json.Close(']').Key("left_out").Open('[');
  for (const std::string& line : offer.left_out) json.Text(line);
  return json.Close(']').Member("kept", kept).Close('}').Take();
}

}  // namespace fairlead
