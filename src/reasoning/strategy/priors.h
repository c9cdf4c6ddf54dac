// SPDX-License-Identifier: Apache-2.0
// What is believed of each strategy before one's own log says more: every parameter with its spread and its source, or
// marked as assumed. A lab may put its own text in place of the default (knowledge "priors").
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "measure/result.h"
#include "measure/source.h"

namespace fairlead {

// A figure, how wide it is, and who says so.
struct PriorFigure {
  double value = 0.0;
  double spread = 0.0;         // what it means stands beside each member
  std::string source{};          // id in the table of sources; "practice"; "assumed"; "own log"
};

struct PriorPhase {
  std::string id{};              // "cap"
  std::string words{};           // "proximal cap"
  double time_share = 1.0;     // of the attempt's time; shares of a strategy add up to 1
  double fail_share = 1.0;     // of what keeps it from crossing; likewise
};

inline constexpr std::size_t kDifficulties = 4;  // J-CTO 0, 1, 2, 3 or more

struct PriorStrategy {
  std::string id{};              // "AW", "ADR", "RW/RDR"
  std::string words{};
  std::array<PriorFigure, kDifficulties> can{};         // spread: worth that many attempts (beta law)
  std::array<PriorFigure, kDifficulties> median_min{};  // of those that can be crossed; spread: sd of its log
  PriorFigure log_sd{};                                 // of the time of one attempt; spread unused
  std::vector<PriorPhase> phases{};
  PriorFigure phase_shares{};                           // source of the shares; value unused
  PriorFigure complication_per_hour{};                  // spread: worth that many events (gamma law)
  PriorFigure contrast_ml_per_min{}, kerma_mgy_per_min{}; // spread: sd of the log
  PriorFigure setup_min{}, setup_contrast_ml{}, setup_kerma_mgy{};
  PriorFigure least_work_min{};                         // below this much time left, starting is hardly worth it
};

struct Priors {
  std::string version{}, owner{};
  int own_attempts = 0;  // of the lab's own, that the figures rest on
  std::vector<PriorStrategy> strategies;
  // Retrograde, by what is known of the collateral; each replaces the chance that it can cross.
  PriorFigure retrograde_usable{}, retrograde_not_usable{}, retrograde_cc2{};
  PriorFigure difficulty_spread{};    // half the distance between a lesion that gives way and one that resists
  PriorFigure setup_complication_per_hour{};
  PriorFigure complication_weight{}, minute_cost{};  // of the objective, where a crossing today is 1
  // A later session: its worth against a crossing today, its success on the whole, by what was left behind, and by days.
  PriorFigure stop_worth{};  // of leaving it shut for good, its symptoms treated as they are now
  PriorFigure come_back_worth{}, come_back_success{}, come_back_prepared{}, come_back_not_across{};
  PriorFigure come_back_odds_per_90_days{}, come_back_before_60_days{}, come_back_after_60_days{};
  PriorFigure session_min{}, reserve_min{}, reserve_contrast_ml{}, reserve_kerma_mgy{}, contrast_per_egfr{}, kerma_limit_mgy{};
};

Priors PublishedPriors();

// At most so many bytes, and no character of UTF-8 cut in two.
std::string CutText(std::string text, std::size_t most);

// The text of knowledge "priors". A figure may be a number alone, which keeps its published spread and is then "the
// lab's own"; members that are absent keep the published figure.
Result<Priors> ParsePriors(std::string_view text);
std::string PriorsJson(const Priors& priors);

}  // namespace fairlead
