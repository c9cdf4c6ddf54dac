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
  const bool begun = std::ranges::any_of(ladder.used, [](double used) { return used > 0.0; });
  if (!fit.fits_now) return fmt::format("{} {}: it needs {}, and {} does not allow it", way.id, begun ? "no longer fits" : "does not fit", needs, kBudgetWords[fit.binds]);
  if (!fit.fits_for_min) return fmt::format("{} fits; no limit binds", way.id);
  return fmt::format("after {:.0f} more minutes {} no longer fits ({}); {} ends first", std::floor(*fit.fits_for_min), way.id, needs, kBudgetWords[fit.binds]);
}

std::string MoreWords(const LadderAnswer& answer) {
  const Patience& patience = *answer.outlook.patience;
  const std::string minutes = patience.more_min == kMoreMinutes ? "ten" : fmt::format("{}", patience.more_min);
  if (answer.ladder.current) return minutes + " more minutes, then change";
  return fmt::format("{} minutes of {}, then change", minutes, answer.ladder.strategies[answer.outlook.solution.plan.front().strategy].id);
}

std::string DifferenceSentence(const LadderAnswer& answer) {
  const Patience& patience = *answer.outlook.patience;
  if (!patience.clear) return "no clear difference";
  const std::string now = answer.ladder.current ? "changing now" : "leaving " + answer.ladder.strategies[answer.outlook.solution.plan.front().strategy].id + " out";
  return fmt::format("{} is likelier to finish, by {:.0f} in 100 ({:.0f} to {:.0f})", patience.difference > 0.0 ? MoreWords(answer) + "," : now,
                     std::abs(100.0 * patience.difference), 100.0 * std::min(std::abs(patience.difference_band.low), std::abs(patience.difference_band.high)),
                     100.0 * std::max(std::abs(patience.difference_band.low), std::abs(patience.difference_band.high)));
}

std::string AssumesSentence(const Ladder& ladder, const Priors& priors) {
  const std::string whose = priors.own_attempts > 0 ? "published and own figures hold for this lesion" : "published figures hold for this lesion and these hands";
  return fmt::format("Assumes that {}; that a way works here or not at all, and a lesion that resists one resists the others; that harm comes at a steady rate and counts {:.3g} crossings{}", whose,
                     priors.complication_weight.value, ladder.current ? "; and that nothing but the log has been seen" : "");
}

std::string NothingSentence(const LadderAnswer& answer) {
  if (!answer.outlook.solution.plan.empty()) return {};
  if (answer.ladder.strategies.empty()) return "Every way is closed or left out.";
  const LadderModel& model = answer.ladder.model;
  std::string spent;
  for (std::size_t r = 0; r < kBudgetWords.size(); ++r) {
    const bool stops = std::ranges::any_of(answer.outlook.fits, [&](const FitView& fit) { return !fit.fits_now && fit.binds == r; });
    if (model.budget[r] && stops) spent += (spent.empty() ? "" : ", ") + std::string(kBudgetWords[r]);
  }
  if (spent.empty()) return "No way is worth starting: what each could gain is less than its harm and what coming back is worth.";
  return "No way fits: " + spent + " less what finishing costs does not allow it.";
}

std::string SymptomsSentence(const Facts& facts) {
  std::string known;
  for (const auto& [name, words] : {std::pair{"angina_class", "angina class"}, std::pair{"breathlessness_class", "breathlessness class"}}) {
    const auto* odds = std::get_if<GradeOdds>(&BeliefOf(facts, {name, ""}));
    if (odds == nullptr || odds->odds.empty()) continue;
    const auto likeliest = std::ranges::max_element(odds->odds, {}, [](const auto& each) { return each.second; });
    known += (known.empty() ? "" : ", ") + fmt::format("{} {}", words, likeliest->first);
  }
  return known.empty() ? "symptoms are not known here; they stay as they are treated now" : known + "; stays as treated now";
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
    lines.push_back("which way: " + WayText(MoreWords(answer).c_str(), answer.ladder, patience->ten_more));
    lines.push_back("which way: " + DifferenceSentence(answer));
  }
  lines.push_back(fmt::format("which way: priors {}", answer.input.priors.version));
  return lines;
}

}  // namespace fairlead
