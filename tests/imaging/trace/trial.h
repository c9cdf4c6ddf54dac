// SPDX-License-Identifier: Apache-2.0
// One phantom run, one vessel traced on it, and how far the trace is from the generator's own parameters. Nothing here
// looks at the picture for the truth.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "imaging/phantom/render.h"
#include "imaging/trace/trace.h"

namespace fairlead {

struct TrialOrder {
  Grade grade = Grade::kClean;
  std::uint64_t seed = 1;
  bool narrowed = false;       // a narrowing is made in the vessel
  double click_sd_px = 1.0;    // how badly the reader clicks
  bool other = false;          // other parameters than any grade's (other_runs.h)
};

struct SampleError {
  double true_mm = 0.0;        // diameter, mean over 1 mm of vessel
  double error_mm = 0.0;       // measured - true
  double stated_mm = 0.0;      // sd
  double off_course_mm = 0.0;  // distance from the true centreline
  bool alone = true;           // no other contrast within two diameters of the axis, by the truth
};

struct TrialResult {
  std::string vessel;
  std::vector<SampleError> samples;              // of the points that were measured
  std::vector<double> off_course_mm;             // of all points
  double course_error_share = 0.0;               // of the length: the line against the true one between the line's ends
  double true_length_mm = 0.0, length_error_mm = 0.0, length_stated_mm = 0.0;
  double kept_share = 1.0;                       // of the points: measured, not interpolated
  // With a narrowing: least diameter and percent stenosis.
  std::optional<SampleError> least;
  double true_stenosis_pct = 0.0, stenosis_error_pct = 0.0, stenosis_stated_pct = 0.0;
  bool narrowing_found = false;
  bool asks = false;                             // the trace asks for one more click
};

// The same run once more with the clicks that the trace asked for, put on the true course as badly as the others.
struct AskedTrial {
  TrialResult plain, answered;                   // the same where nothing was asked
  int clicks_first = 0, clicks_given = 0;        // by the reader at once; more, where asked
};

struct TrialPicture {
  GreyFrame frame() const { return {bytes, rows, columns, bytes_per_value}; }
  std::vector<std::uint8_t> bytes;
  int rows = 0, columns = 0, bytes_per_value = 1;
  InsideShutter inside;
  std::vector<PixelPoint> clicks;
};

// Nothing where the vessel drawn by lot is not long enough in that view.
std::optional<TrialResult> RunTrial(const TrialOrder& order);

// `most` clicks are given at most where the trace asks for one.
std::optional<AskedTrial> RunTrials(const TrialOrder& order, int most);

// The picture and clicks of a trial, for whoever wants to see it.
std::optional<TrialPicture> PictureOfTrial(const TrialOrder& order);

}  // namespace fairlead
