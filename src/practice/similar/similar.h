// SPDX-License-Identifier: Apache-2.0
// Cases like this one: the nearest past cases by what was known before them, what was done in them and what happened.
// Nearness is a general coefficient of similarity with stated weights (source "similarity-1971"); every distance is explained.
#pragma once

#include <functional>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "practice/audit/audit.h"
#include "practice/audit/known.h"
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

// The same, without parts, of two cases as bytes know them.
CaseDistance DistanceBetween(const KnownCase& here, const KnownCase& there);

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

// Past cases one after another; the nearest are remembered.
class LikeSearch {
 public:
  LikeSearch(CaseRow here, std::size_t most, std::optional<Instant> before = std::nullopt);
  void Take(const CaseRow& row);
  // A day's cases as they are kept (DayText::known), but those of `gone`. False: damaged.
  bool TakeKept(std::string_view known, const std::set<std::string_view>& gone);
  std::vector<std::string> Unread() const;  // those of the nearest that were taken as they are kept
  LikeAnswer Answer(std::span<const CaseRow> unread) const;  // one that is not among `unread` is left out

 private:
  struct Near {
    double apart;
    std::string id;
    std::optional<CaseRow> row;
  };
  void Count(double apart, double compared, std::string_view id, const CaseRow* row);
  CaseRow here_;
  std::size_t most_;
  std::optional<Instant> before_;
  LikeAnswer counted_;        // its counts alone
  std::vector<Near> nearest_; // ascending, ties by id
};

// The `most` nearest (at most kMostLike) that began before `before`, if that is given; the case itself (same id, or a later
// visit of it) is never among them.
LikeAnswer CasesLike(const CaseRow& here, std::span<const CaseRow> past, std::size_t most = 10, std::optional<Instant> before = std::nullopt);

std::string LikeJson(const LikeAnswer& answer);

}  // namespace fairlead
