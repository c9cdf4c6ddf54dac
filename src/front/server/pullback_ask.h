// SPDX-License-Identifier: Apache-2.0
// What is asked of a pullback (docs/wire.md, POST /api/pullback), and the answer, for the page and the command line.
#pragma once

#include <atomic>
#include <cstdint>
#include <optional>
#include <span>
#include <stop_token>
#include <string>
#include <string_view>
#include <vector>

#include "front/server/pullback_json.h"
#include "imaging/dicom/run.h"

namespace fairlead {

struct PullbackAsk {
  std::string image;                             // the run's hash; empty on the command line
  std::optional<double> pixel_mm, speed_mm_s;    // where the file does not say, or says it wrongly
  std::vector<BorderPoint> corrections;
  std::vector<WireClick> clicks;
  std::optional<SpaceOdds> near_wire, far_wire;  // a person's marks win over what was measured
  bool borders = true;                           // with both borders of each frame
};

// Errors: no object; an unknown member; a value of another kind; `image` missing where it is needed.
Result<PullbackAsk> ParsePullbackAsk(std::string_view json, bool with_image);

struct PullbackAnswer {
  PullbackReading reading;
  PullbackScale scale;
  int frame = 0;             // of interest
  std::optional<double> mm_per_frame;
  bool two_wires = false;    // read or marked
  JoiningQuestion question;
  JoiningAnswer joining;
};

// `frames`: the stored values of all frames. Errors: no ultrasound of 8 bits; the size of a pixel not known; what
// ReadPullback and HowToJoin say.
// `share` is told how much is done.
Result<PullbackAnswer> AnswerPullback(const PullbackAsk& ask, const Run& run, std::span<const std::uint8_t> frames,
                                      std::stop_token stop, std::atomic<float>* share = nullptr);

// The run's frames as a picture round the catheter; without the size of a pixel unless `scale` has one.
PictureStack StackOf(const Run& run, std::span<const std::uint8_t> frames, const PullbackScale* scale);

std::string PullbackAnswerJson(const PullbackAnswer& answer, bool borders);

}  // namespace fairlead
