// SPDX-License-Identifier: Apache-2.0
// The normal law: the shape of every measured uncertainty here.
#pragma once

namespace fairlead {

// P(X <= x) for X ~ N(mean, sd). With sd 0 the law is one point: 1 if mean <= x, else 0.
double NormalCdf(double x, double mean, double sd);

}  // namespace fairlead
