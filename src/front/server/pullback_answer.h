// SPDX-License-Identifier: Apache-2.0
// The answer to what is asked of a pullback, whole or near the frame that is looked at.
#pragma once

#include <atomic>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <stop_token>
#include <string>

#include "front/server/pullback_ask.h"
#include "imaging/dicom/run.h"

namespace fairlead {

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

// What is visible first: the frames near one of them, read by themselves while the whole pullback waits. Their borders differ a
// little from those of the whole reading, which learns from all frames; no space, heart or stent is told.
FrameSpan FramesNear(const Run& run, int frame);
// `frames`: the stored values of `span` alone. Errors: as AnswerPullback.
Result<std::string> PullbackNearJson(const PullbackAsk& ask, const Run& run, std::span<const std::uint8_t> frames, FrameSpan span, std::stop_token stop);

}  // namespace fairlead
