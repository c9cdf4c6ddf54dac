// SPDX-License-Identifier: Apache-2.0
// How long a strategy takes and whether it can cross at all, from attempts of which many were stopped: a mixture cure
// model by groups of difficulty, held towards a prior. With few attempts the prior speaks; zero attempts give it back.
//   crossed at t:      log p + log f(t)
//   otherwise by t:    log D, D = (1 - p) r + p S(t)
// r = 1 where stopping says nothing of the lesion. Where lesions that cannot be crossed are left `stop_ratio` times as
// fast, with k the rate of stopping on impression: r = exp(-(stop_ratio - 1) k t), times stop_ratio at such a stop.
#pragma once

#include <optional>
#include <vector>

#include "practice/learning/observed.h"

namespace fairlead {

// Of the time to crossing, given that it can be crossed: Weibull (1: exponential), or log-normal with this sigma.
struct TimeShape {
  bool log_normal = false;
  double shape = 1.0;
};

struct Trial {
  double minutes = 0.0;  // above 0
  Ending ending = Ending::kStopped;
  bool planned = false;
};
using TrialGroups = std::vector<std::vector<Trial>>;  // by difficulty

// Normal laws of logit p and of the log of the rate (1 / scale; of the log-normal, 1 / median). Any two groups of one
// strategy share `together` of their variance: what is learnt on easy lesions tells something of hard ones.
struct CurePrior {
  std::vector<double> logit_can, sd_logit, log_rate, sd_log_rate;  // by group
  double together = 0.0;
};

struct CureFit {
  std::vector<double> logit_can, log_rate;         // by group: the mode
  std::vector<double> sd_logit, sd_log_rate, correlation;  // Laplace: from the curvature at the mode
  double log_likelihood = 0.0;                     // at the mode, without the prior
  double log_evidence = 0.0;                       // Laplace; 0 without a prior
  double stop_rate_per_min = 0.0;                  // k; 0 where stop_ratio is 1 or nobody stopped on impression
  bool settled = true;                             // the search came to rest
};

// `prior` may be absent with one group only, and then the data must fix both. Not more than 16 groups.
CureFit FitCure(const TrialGroups& groups, const TimeShape& shape, const std::optional<CurePrior>& prior, double stop_ratio = 1.0);

// log S, and S itself, `log_ratio` = log(minutes x rate).
double SurvivalOf(const TimeShape& shape, double log_ratio);

// Sum over the trials of the log likelihood at given logit p and log rate, with its gradient and curvature.
struct LikelihoodSlope {
  double value = 0.0, a = 0.0, b = 0.0, aa = 0.0, ab = 0.0, bb = 0.0;
};
LikelihoodSlope LogLikelihood(const std::vector<Trial>& trials, const TimeShape& shape, double logit_can, double log_rate, double stop_ratio = 1.0, double stop_rate_per_min = 0.0);

// How many stops were on impression, over all minutes: where the search for k begins.
double CrudeStopRate(const TrialGroups& groups);

}  // namespace fairlead
