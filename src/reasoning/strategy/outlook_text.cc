// SPDX-License-Identifier: Apache-2.0
#include "reasoning/strategy/outlook_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace fairlead {
namespace {

constexpr std::array<const char*, 3> kBudgetWords = {"the time", "the contrast", "the air kerma"};

std::string WayText(const char* name, const Ladder& ladder, const WayOn& way) {
  std::string plan;
  for (const Rung& rung : way.plan) plan += fmt::format("{}{} {}", plan.empty() ? "" : ", ", ladder.strategies[rung.strategy].id, rung.minutes);
  return fmt::format("{} [{}]: {:.0f} in 100 ({:.0f} to {:.0f}) to finish within the limits, harm {:.0f} per 1,000", name, plan.empty() ? "stop" : plan,
                     100.0 * way.p_cross, 100.0 * way.band.low, 100.0 * way.band.high, 1000.0 * way.harm);
}

}  // namespace

std::string InTens(double p) {
  if (p < 0.05) return "under 1 in 10";
  if (p > 0.95) return "over 9 in 10";
  return fmt::format("{:.0f} in 10", std::round(10.0 * p));
}

std::string FitSentence(const Ladder& ladder, const FitView& fit, const Priors& priors) {
  const LadderStrategy& way = ladder.strategies[fit.strategy];
  const double setup = ladder.model.strategies[fit.strategy].setup[kMinutes];
  const std::string needs = fmt::format("{:.0f} to set up and at least {:.0f} to work", setup, priors.strategies[way.prior].least_work_min.value);
  if (!fit.fits_now) return fmt::format("{} no longer fits: it needs {}, and {} does not allow it", way.id, needs, kBudgetWords[fit.binds]);
  if (!fit.fits_for_min) return fmt::format("{} fits; no limit binds", way.id);
  return fmt::format("after {:.0f} more minutes {} no longer fits ({}); {} ends first", std::floor(*fit.fits_for_min), way.id, needs, kBudgetWords[fit.binds]);
}

std::string DifferenceSentence(const Patience& patience) {
  if (!patience.clear) return "no clear difference";
  return fmt::format("{} is likelier to finish, by {:.0f} in 100 ({:.0f} to {:.0f})", patience.difference > 0.0 ? "ten more minutes, then change," : "changing now",
                     std::abs(100.0 * patience.difference), 100.0 * std::min(std::abs(patience.difference_band.low), std::abs(patience.difference_band.high)),
                     100.0 * std::max(std::abs(patience.difference_band.low), std::abs(patience.difference_band.high)));
}

std::string WhoseText(const Priors& priors) {
  if (priors.own_attempts > 0) return fmt::format("published and {} attempts of your own, {}", priors.own_attempts, priors.version);
  return priors.version == PublishedPriors().version ? "published, not yours" : "the lab's own figures, " + priors.version;
}

std::string FlatSentence(const LadderAnswer& answer) {
  const auto flat = FlatOf(answer.outlook.losses);
  if (!flat || !answer.ladder.current) return {};
  const std::string& id = answer.ladder.strategies[*answer.ladder.current].id;
  if (flat->from > 0) return fmt::format("leaving {} makes no odds from {} to {} min from now", id, flat->from, flat->to);
  return fmt::format("leaving {} makes no odds now, and for {} more min", id, flat->to);
}

std::vector<std::string> SaidLines(const LadderAnswer& answer) {
  std::vector<std::string> lines;
  for (const FitView& fit : answer.outlook.fits) lines.push_back("which way: " + FitSentence(answer.ladder, fit, answer.input.priors));
  if (const std::string flat = FlatSentence(answer); !flat.empty()) lines.push_back("which way: " + flat);
  if (const auto& patience = answer.outlook.patience) {
    const std::string without = answer.ladder.current ? "change now" : "without " + answer.ladder.strategies[answer.outlook.solution.plan.front().strategy].id;
    lines.push_back("which way: " + WayText(without.c_str(), answer.ladder, patience->change_now));
    lines.push_back("which way: " + WayText("ten more minutes, then change", answer.ladder, patience->ten_more));
    lines.push_back("which way: " + DifferenceSentence(*patience));
  }
  lines.push_back(fmt::format("which way: priors {}", answer.input.priors.version));
  return lines;
}

}  // namespace fairlead
