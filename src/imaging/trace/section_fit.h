// SPDX-License-Identifier: Apache-2.0
// The fit of a blurred lumen to the grey values along one line across a vessel.
#pragma once

#include <Eigen/Core>
#include <optional>
#include <span>
#include <vector>

#include "imaging/trace/chord.h"

namespace fairlead {

// Grey values along a line across the vessel: value i stands at (i - reach / step) * step pixels from the course.
struct Line {
  std::span<const float> values;
  double reach = 0.0, step = 0.5;
};

// Pixels of background that a fit takes on each side, and three times the blur.
inline constexpr double kBackground = 4.0;
constexpr double BackgroundBeyond(double blur) { return kBackground + 3.0 * blur; }

// Another vessel's shadow beside or across: it is fitted along, since shadows add up where greys are logarithms.
struct OtherShadow {
  double middle = 0.0, radius = 0.0;
};

struct SectionFit {
  double middle = 0.0, radius = 0.0;
  double darkness = 0.0, background = 0.0, slope = 0.0;
  double misfit = 0.0;                // mean squared residual, by the weights
  double squares = 0.0;               // the same, all alike
  std::vector<OtherShadow> others;    // fitted along
  double trusted = 1.0;               // share of the samples that were not put aside
  std::vector<double> left_over;      // residuals of the samples used, in order
  Eigen::MatrixX2d influence;         // change of (middle, radius) by each of those samples
};

class SectionFitter {
 public:
  explicit SectionFitter(double blur) : blur_(blur) {}
  double blur() const { return blur_; }

  // With middle and radius held: what is left over, for a coarse search. Samples within radius + `beyond` of the middle.
  SectionFit Held(const Line& line, double middle, double radius, double beyond) const;
  // From a start, by damped Gauss-Newton with samples far off given less weight (Tukey's, at 4.7 sd).
  // With `others` their middle, radius and darkness are free too (two at most).
  SectionFit Refined(const Line& line, double middle, double radius, double beyond, std::span<const OtherShadow> others = {}) const;
  // Several lumens together from a start, over the samples within radius + `beyond` of `about`: the same fit told once for each of them as
  // ours. Empty if a lumen lightens.
  std::vector<SectionFit> Together(const Line& line, const OtherShadow& about, double beyond, std::span<const OtherShadow> lumens) const;
  // What one lumen about `fit` leaves over (mean square, over the samples within radius + `beyond` of `about`) if a thick chord may darken
  // less than in proportion, as scatter and a display's grey curve make it.
  double LeftIfBent(const Line& line, const OtherShadow& about, double beyond, const SectionFit& fit) const;
  // The other shadow that explains most of what `fit` leaves over, if it explains enough to be believed.
  std::optional<OtherShadow> OtherBeside(const Line& line, const SectionFit& fit, double beyond) const;

 private:
  double blur_;
};

}  // namespace fairlead
