// SPDX-License-Identifier: Apache-2.0
// What is asked of a pullback (docs/wire.md, POST /api/pullback), and the answer, for the page and the command line.
#pragma once

#include <atomic>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <stop_token>
#include <string>
#include <string_view>
#include <vector>

#include "front/server/pullback_json.h"
#include "imaging/dicom/run.h"
#include "imaging/pullback/align.h"

namespace fairlead {

struct PullbackAsk {
  std::string image;                             // the run's hash; empty on the command line
  std::optional<double> pixel_mm, speed_mm_s;    // where the file does not say, or says it wrongly
  std::vector<BorderPoint> corrections;
  std::vector<StentPoint> stent_points;
  std::vector<WireClick> clicks;
  std::optional<SpaceOdds> near_wire, far_wire;  // a person's marks win over what was measured
  bool borders = true;                           // with both borders of each frame
  std::vector<PlacePair> pairs;                  // named places on a traced vessel; kept with the marks, not read
  std::string vessel;                            // the entry of the fact that holds the trace
  std::optional<std::int64_t> after;             // a reading that the asker has: only frames that differ from it are sent
};

// Errors: no object; an unknown member; a value of another kind; `image` missing where it is needed.
Result<PullbackAsk> ParsePullbackAsk(std::string_view json, bool with_image);

// What a reader sets by hand and is kept of a run: pixel_mm (the scale at that time), speed_mm_s, corrections, clicks.
std::string PullbackMarksJson(const PullbackAsk& marks);

// The body of POST /api/pullback/{hash}/marks: {"after": version, "by", "marks"}.
struct PullbackMarksBody {
  int after = 0;
  std::string by;
  PullbackAsk marks;
};
Result<PullbackMarksBody> ParsePullbackMarks(std::string_view json);

// The body of POST /api/pullback/align: {"frames", "mm_per_frame"?, "vessel_mm", "pairs", "grows"?}.
Result<AlignQuestion> ParsePullbackAlign(std::string_view json);
std::string PullbackAlignJson(const Alignment& alignment);

struct PullbackAnswer {
  std::int64_t number = 0;   // tells readings apart, also across a restart
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
// `share` is told how much is done. `study`: what was made of the same pictures at the same scale; where it is empty it
// is made and put there.
Result<PullbackAnswer> AnswerPullback(const PullbackAsk& ask, const Run& run, std::span<const std::uint8_t> frames, std::stop_token stop,
                                      std::atomic<float>* share, std::shared_ptr<const PullbackStudy>& study);
// The same once, with nothing kept for the next point.
Result<PullbackAnswer> AnswerPullback(const PullbackAsk& ask, const Run& run, std::span<const std::uint8_t> frames, std::stop_token stop,
                                      std::atomic<float>* share = nullptr);
// The run and the scale at which `ask` reads it, as a key of studies.
std::string StudyKey(const PullbackAsk& ask, const Run& run);

// The run's frames as a picture round the catheter; without the size of a pixel unless `scale` has one.
PictureStack StackOf(const Run& run, std::span<const std::uint8_t> frames, const PullbackScale* scale);

// `before`: only sections that differ from it, if it is of the same scale and of as many frames.
std::string PullbackAnswerJson(const PullbackAnswer& answer, bool borders, const PullbackAnswer* before = nullptr);

}  // namespace fairlead
