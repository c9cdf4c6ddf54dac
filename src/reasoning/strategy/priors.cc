// SPDX-License-Identifier: Apache-2.0
// The published priors. Where only one figure is published for all lesions, every class of difficulty has it; what no
// article gives is assumed, says so, and is the first thing a lab may replace.
#include "reasoning/strategy/priors.h"

namespace fairlead {
namespace {

PriorFigure Seen(double value, double spread, SourceId source) { return {value, spread, std::string(source.id)}; }
PriorFigure Assumed(double value, double spread = 0.0) { return {value, spread, "assumed"}; }

std::array<PriorFigure, kDifficulties> All(const PriorFigure& figure) { return {figure, figure, figure, figure}; }

// Dose and contrast for a minute of work: medians of whole cases divided by their minutes, so they are rough.
void AddCosts(PriorStrategy& strategy, double contrast, double complication_per_hour, SourceId harm) {
  strategy.contrast_ml_per_min = Assumed(contrast, 0.45);
  strategy.kerma_mgy_per_min = Seen(18.0, 0.5, "hybrid-registry-2018"_source);
  // -ln(1 - rate) / duration of a case, with assumed durations of 100, 130 and 190 min.
  strategy.complication_per_hour = Seen(complication_per_hour, 2.0, harm);
}

PriorStrategy Wiring() {
  PriorStrategy s{.id = "AW", .words = "antegrade wiring"};
  // Medians for which the share across within 30 min is that of the J-CTO registry (87.7, 67.1, 42.4, 10.0 %) under the
  // assumed ceilings.
  const SourceId j_cto = "j-cto-2011"_source;
  s.can = {Assumed(0.97, 20), Assumed(0.92, 20), Assumed(0.85, 20), Assumed(0.70, 20)};
  s.median_min = {Seen(7.8, 0.5, j_cto), Seen(16.0, 0.5, j_cto), Seen(30.1, 0.5, j_cto), Seen(89.9, 0.5, j_cto)};
  s.log_sd = Seen(1.028, 0.0, "japan-times-2019"_source);  // 23 [11-44] min
  s.phases = {{"cap", "proximal cap", 0.4, 0.4}, {"body", "body of the occlusion", 0.4, 0.4}, {"lumen", "distal lumen", 0.2, 0.2}};
  s.phase_shares = Assumed(0.0);
  AddCosts(s, 1.0, 0.0048, "retrograde-2020"_source);
  s.setup_min = s.setup_contrast_ml = s.setup_kerma_mgy = Assumed(0.0);
  s.least_work_min = Assumed(10.0);
  return s;
}

PriorStrategy Dissection() {
  PriorStrategy s{.id = "ADR", .words = "antegrade dissection and re-entry"};
  s.can = All(Seen(0.67, 20, "recharge-cases-2016"_source));  // as bail-out
  s.median_min = All(Assumed(35.0, 0.5));                      // [20-60], no source seen
  s.log_sd = Assumed(0.814);
  s.phases = {{"entry", "entry beside the lumen", 0.3, 0.3}, {"tracking", "tracking", 0.3, 0.2}, {"re-entry", "re-entry", 0.4, 0.5}};
  s.phase_shares = Assumed(0.0);
  AddCosts(s, 0.6, 0.0081, "complications-2022"_source);
  s.setup_min = Assumed(8.0);
  s.setup_contrast_ml = Assumed(10.0);
  s.setup_kerma_mgy = Assumed(150.0);
  s.least_work_min = Assumed(15.0);
  return s;
}

PriorStrategy Retrograde() {
  PriorStrategy s{.id = "RW/RDR", .words = "retrograde wiring or dissection"};
  s.can = All(Seen(0.66, 20, "retrograde-primary-2022"_source));
  s.median_min = All(Seen(107.0, 0.35, "japan-times-2019"_source));  // [70-161], set-up included in the whole
  s.log_sd = Seen(0.617, 0.0, "japan-times-2019"_source);
  // Failures split evenly between the channel, the microcatheter and the joining of the wires.
  s.phases = {{"channel", "channel wired", 0.3, 0.3}, {"microcatheter", "microcatheter through", 0.15, 0.3},
              {"far-cap", "far cap", 0.2, 0.1}, {"joined", "wires joined", 0.25, 0.3}, {"home", "wire home", 0.1, 0.0}};
  s.phase_shares = Seen(0.0, 0.0, "failures-2019"_source);
  AddCosts(s, 1.2, 0.0165, "retrograde-2020"_source);
  s.setup_min = Assumed(15.0);
  s.setup_contrast_ml = Assumed(25.0);
  s.setup_kerma_mgy = Assumed(300.0);
  s.least_work_min = Assumed(15.0);
  return s;
}

}  // namespace

Priors PublishedPriors() {
  Priors priors;
  priors.version = "published 1";
  priors.owner = "the program";
  priors.strategies = {Wiring(), Dissection(), Retrograde()};
  // By the rule of Bayes from first success 66 % and the share with a usable collateral among successes and failures.
  const SourceId retrograde = "retrograde-primary-2022"_source;
  priors.retrograde_usable = Seen(0.72, 20, retrograde);
  priors.retrograde_not_usable = Seen(0.26, 20, retrograde);
  priors.retrograde_cc2 = Seen(0.73, 20, retrograde);
  priors.difficulty_spread = Assumed(0.2);
  priors.setup_complication_per_hour = Assumed(0.006);
  priors.complication_weight = Assumed(5.0);
  priors.minute_cost = Assumed(0.0005);
  priors.stop_worth = Assumed(0.0);
  priors.come_back_worth = Assumed(0.5);  // of a crossing today
  // 208 second attempts at one centre: on the whole, with the wire across and the plaque opened, opened without the wire
  // across; each 90 days longer lowered the odds. Against it, 58 cases of a registry: 83 %, more after 60 days or longer.
  const SourceId again = "reattempt-2022"_source, registry = "investment-2020"_source;
  priors.come_back_success = Seen(0.712, 20, again);
  priors.come_back_prepared = Seen(0.83, 20, registry);
  priors.come_back_not_across = Seen(0.55, 20, again);
  priors.come_back_odds_per_90_days = Seen(0.85, 0.08, again);
  priors.come_back_before_60_days = {0.69, 10, "investment-2020, from memory"};
  priors.come_back_after_60_days = {0.94, 10, "investment-2020, from memory"};
  priors.session_min = Seen(180.0, 0.0, "practice"_source);
  priors.reserve_min = Assumed(45.0);
  priors.reserve_contrast_ml = Assumed(60.0);
  priors.reserve_kerma_mgy = Assumed(800.0);
  priors.contrast_per_egfr = Seen(3.7, 0.0, "practice"_source);  // as the limits of a run
  priors.kerma_limit_mgy = Seen(5000.0, 0.0, "practice"_source);
  return priors;
}

}  // namespace fairlead
