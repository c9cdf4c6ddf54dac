// SPDX-License-Identifier: Apache-2.0
// When each frame was taken (DICOM PS3.3 C.7.6.5, C.8.7.5, C.7.6.16.2.2) and what to do where a file does not say.
#include <algorithm>
#include <charconv>
#include <chrono>
#include <string_view>

#include "imaging/dicom/header.h"
#include "imaging/dicom/tags.h"
#include "measure/source.h"

namespace fairlead {
namespace {

constexpr double kFallbackRate = 15.0;  // practice: the usual rate of coronary cine
constexpr double kShortestFrame = 20.0, kLongestFrame = 1000.0;  // ms; practice

// "20260131120000.250" -> milliseconds since a fixed day; digits beyond milliseconds are read too.
std::optional<double> MomentMs(std::string_view text) {
  constexpr std::size_t kToSeconds = 14;
  if (text.size() < kToSeconds) return std::nullopt;
  const auto number = [&](std::size_t at, std::size_t count) {
    int value = -1;
    const auto [end, fault] = std::from_chars(text.data() + at, text.data() + at + count, value);
    return fault == std::errc{} && end == text.data() + at + count ? value : -1;
  };
  using namespace std::chrono;
  const year_month_day day{year(number(0, 4)), month(static_cast<unsigned>(number(4, 2))), std::chrono::day(static_cast<unsigned>(number(6, 2)))};
  const int hours = number(8, 2), minutes = number(10, 2), seconds = number(12, 2);
  if (!day.ok() || hours < 0 || minutes < 0 || seconds < 0) return std::nullopt;
  double fraction = 0.0;
  if (text.size() > kToSeconds + 1 && text[kToSeconds] == '.') {
    std::from_chars(text.data() + kToSeconds, text.data() + text.size(), fraction);
  }
  const double days = static_cast<double>(sys_days(day).time_since_epoch().count());
  return ((days * 24.0 + hours) * 60.0 + minutes) * 60'000.0 + seconds * 1000.0 + fraction * 1000.0;
}

bool Evenly(Run& run, double interval_ms, std::string how) {
  if (!(interval_ms > 0.0) || interval_ms > kLongestFrame) return false;
  if (interval_ms < kShortestFrame) {
    Warn(run, "The frames are said to be only " + Plain(interval_ms) + " ms apart; the speed of the run may be wrong.");
  }
  for (int i = 0; i < run.frames; ++i) run.frame_ms.push_back(interval_ms * i);
  run.timing = std::move(how);
  return true;
}

// Increments from frame to frame; the first should be 0. One value too few is taken as a missing first 0.
bool FromVector(const Item& dataset, Run& run) {
  bool dropped = false;
  std::vector<double> steps = NumbersOf(dataset, tags::kFrameTimeVector, &dropped);
  const auto frames = static_cast<std::size_t>(run.frames);
  if (steps.empty() || dropped) return false;
  if (steps.size() + 1 == frames) steps.insert(steps.begin(), 0.0);
  if (steps.size() != frames) {
    Warn(run, "The list of frame times has " + std::to_string(steps.size()) + " values for " + std::to_string(frames) + " frames; it was not used.");
    return false;
  }
  steps.front() = 0.0;  // a first value other than 0 delays the whole run
  double sum = 0.0;
  std::vector<double> starts;
  for (const double step : steps) {
    if (step < 0.0 || step > 60'000.0) return false;
    starts.push_back(sum += step);
  }
  if (!(sum > 0.0)) return false;
  run.frame_ms = std::move(starts);
  run.timing = "frame time vector of the file";
  return true;
}

bool FromFrameTime(const Item& dataset, Run& run) {
  return Evenly(run, NumberOf(dataset, tags::kFrameTime).value_or(0.0), "frame time of the file");
}

bool FromRate(const Item& dataset, Run& run, Tag tag, const char* how) {
  const double rate = NumberOf(dataset, tag).value_or(0.0);
  return rate > 0.0 && Evenly(run, 1000.0 / rate, how);
}

bool FromFrameContent(const Item& dataset, Run& run) {
  std::vector<double> starts;
  for (int i = 0; i < run.frames; ++i) {
    const Item* content = GroupItem(dataset, tags::kFrameContent, i);
    if (content == nullptr) return false;
    std::optional<double> moment = MomentMs(TextOf(*content, tags::kFrameReferenceDateTime));
    if (!moment) moment = MomentMs(TextOf(*content, tags::kFrameAcquisitionDateTime));
    if (!moment || (!starts.empty() && *moment < starts.back())) return false;
    starts.push_back(*moment);
  }
  const double first = starts.front();
  if (!(starts.back() > first)) return false;
  for (double& start : starts) start -= first;
  run.frame_ms = std::move(starts);
  run.timing = "date and time of each frame";
  return true;
}

bool FromFile(const Item& dataset, Run& run) {
  const double pointer = NumberOf(dataset, tags::kFramePointer).value_or(0.0);
  if (pointer == static_cast<double>(tags::kFrameTime) && FromFrameTime(dataset, run)) return true;
  return FromVector(dataset, run) || FromFrameTime(dataset, run) || FromFrameContent(dataset, run) ||
         FromRate(dataset, run, tags::kCineRate, "cine rate of the file") ||
         FromRate(dataset, run, tags::kRecommendedRate, "recommended display rate of the file");
}

}  // namespace

void FillTiming(const Item& dataset, Run& run) {
  run.frame_ms.clear();
  if (run.frames == 1) {
    run.frame_ms = {0.0};
    run.timing = "one frame";
    return;
  }
  if (!FromFile(dataset, run)) {
    Evenly(run, 1000.0 / kFallbackRate, "assumed: 15 frames a second");
    Warn(run, "The file does not say how fast the frames follow; 15 a second is assumed.");
  }
  run.rate_hz = 1000.0 * (run.frames - 1) / run.frame_ms.back();
  for (const double number : NumbersOf(dataset, tags::kRWavePointer)) {
    if (number >= 1.0 && number <= run.frames) run.r_wave_frames.push_back(static_cast<int>(number) - 1);
  }
}

}  // namespace fairlead
