// SPDX-License-Identifier: Apache-2.0
#include <nlohmann/json.hpp>

#include "casebook/fact.h"
#include "practice/similar/similar.h"

namespace fairlead {
namespace {

using Json = nlohmann::ordered_json;

Json SharePart(const std::optional<AuditShare>& share) {
  if (!share) return nullptr;
  return Json{{"events", share->count.events}, {"cases", share->count.cases}, {"low", share->interval.low}, {"high", share->interval.high}};
}

Json QuartilesPart(const Quartiles& found) {
  if (found.cases == 0) return nullptr;
  return Json{{"cases", found.cases}, {"low", found.low}, {"middle", found.middle}, {"high", found.high}};
}

template <typename T>
Json OrNull(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}

std::string LabelOf(const std::string& name) {
  if (name == "vessel") return "Vessel";
  if (name == "j_cto") return "J-CTO";
  const FactRow* row = FindFact(name);
  return row == nullptr ? name : std::string(row->label);
}

Json CasePart(const LikeCase& each) {
  Json tries = Json::array();
  for (const Try& made : each.row.tries) tries.push_back(Json{{"strategy", made.strategy}, {"minutes", made.minutes}, {"crossed", made.crossed}});
  Json parts = Json::array();
  for (const FactApart& part : each.distance.parts) {
    const FactRow* row = FindFact(part.name);
    parts.push_back(Json{{"fact", part.name}, {"label", LabelOf(part.name)}, {"unit", row == nullptr ? "" : row->unit}, {"here", part.here}, {"there", part.there}, {"apart", part.apart}, {"share", part.share}});
  }
  return Json{{"case", each.row.id}, {"began", ToIso(each.row.began)}, {"invented", each.row.invented}, {"vessel", each.row.vessel}, {"j_cto", OrNull(each.row.j_cto)},
              {"distance", each.distance.apart}, {"compared", each.distance.compared}, {"tries", std::move(tries)}, {"success", OrNull(each.row.success)},
              {"complication", OrNull(each.row.complication)}, {"minutes", OrNull(each.row.minutes)}, {"contrast_ml", OrNull(each.row.contrast_ml)},
              {"air_kerma_gy", OrNull(each.row.air_kerma_gy)}, {"parts", std::move(parts)}};
}

}  // namespace

std::string LikeJson(const LikeAnswer& answer) {
  Json cases = Json::array(), strategies = Json::array(), weights = Json::array();
  for (const LikeCase& each : answer.cases) cases.push_back(CasePart(each));
  for (const LikeStrategy& each : answer.by_first) {
    strategies.push_back(Json{{"strategy", each.strategy}, {"cases", each.cases}, {"crossed_first", each.crossed_first}, {"success", each.success},
                              {"with_outcome", each.with_outcome}, {"minutes", QuartilesPart(each.minutes)}});
  }
  for (const SimilarWeight& weight : SimilarWeights()) {
    weights.push_back(Json{{"fact", weight.name}, {"label", LabelOf(std::string(weight.name))}, {"weight", weight.weight}, {"apart", weight.apart}});
  }
  return Json{{"asked_of", answer.asked_of}, {"too_little", answer.too_little}, {"near", answer.near}, {"near_within", kNear}, {"invented", answer.invented},
              {"success", SharePart(answer.success)}, {"complication", SharePart(answer.complication)}, {"by_first", std::move(strategies)},
              {"minutes", QuartilesPart(answer.minutes)}, {"contrast_ml", QuartilesPart(answer.contrast_ml)}, {"air_kerma_gy", QuartilesPart(answer.air_kerma_gy)},
              {"cases", std::move(cases)}, {"weights", std::move(weights)}, {"says", answer.says}, {"source", "similarity-1971"}}
      .dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace fairlead
