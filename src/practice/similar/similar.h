// SPDX-License-Identifier: Apache-2.0
// Cases like this one: the nearest past cases by what was known before them, what was done in them and what happened.
// Nearness is a general coefficient of similarity with stated weights (source "similarity-1971"); every distance is explained.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "practice/audit/audit.h"
#include "practice/audit/row.h"

namespace fairlead {

// How much a fact weighs, and the difference that counts as wholly unlike. Practice, no source: the lab may not share them,
// so they are shown beside every answer.
struct SimilarWeight {
  std::string_view name;  // a fact of a row, or "vessel", "j_cto"
  double weight = 0;      // of "j_cto": of the items of the score that cannot be compared, together
  double apart = 0;       // of a number: the difference from which on two cases are wholly unlike in it; 0: else
};
std::span<const SimilarWeight> SimilarWeights();

struct FactApart {
  std::string name;
  std::string here, there;  // in words: "27", "blunt", "yes"
  double apart = 0;         // 0 alike to 1 wholly unlike
  double share = 0;         // of the case's distance; they add up to it
};

struct CaseDistance {
  double apart = 0;                // 0 to 1: weighted mean over what both cases know
  double compared = 0;             // share of all weight that could be compared
  std::vector<FactApart> parts;    // largest share first, ties by name
};
CaseDistance DistanceBetween(const CaseRow& here, const CaseRow& there, bool explain = true);  // without parts if not

struct LikeCase {
  CaseRow row;
  CaseDistance distance;
};

// What was tried first in the cases found, in the order of the names, never of the results.
struct LikeStrategy {
  std::string strategy;
  std::size_t cases = 0, crossed_first = 0, success = 0, with_outcome = 0;
  Quartiles minutes;              // of the first attempt
};

struct LikeAnswer {
  std::size_t asked_of = 0;        // past cases there are
  std::size_t too_little = 0;      // of them: too little known in common to be compared
  std::size_t near = 0;            // within kNear, however many are shown
  std::vector<LikeCase> cases;     // nearest first, ties by id; with their outcome whatever it was
  std::optional<AuditShare> success, complication;  // of the cases shown: Wilson, exact
  std::vector<LikeStrategy> by_first;
  Quartiles minutes, contrast_ml, air_kerma_gy;
  std::size_t invented = 0;        // of the cases shown
  std::vector<std::string> says;   // cautions, in plain sentences
};

inline constexpr double kNear = 0.2;              // distance; chosen
inline constexpr double kLeastCompared = 0.4;     // share of the weight; chosen
inline constexpr std::size_t kMostLike = 50;

// The `most` nearest (at most kMostLike) that began before `before`, if that is given; the case itself (same id, or a later
// visit of it) is never among them.
LikeAnswer CasesLike(const CaseRow& here, std::span<const CaseRow> past, std::size_t most = 10, std::optional<Instant> before = std::nullopt);

std::string LikeJson(const LikeAnswer& answer);

}  // namespace fairlead
