// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/align.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

namespace fairlead {
namespace {

constexpr double kUneven = 0.25;             // of the speed between neighbouring pairs, from which they are questioned; practice

Status CheckPairs(const AlignQuestion& question, const std::vector<PlacePair>& pairs) {
  if (pairs.empty()) return Error{"no place is named in both", "pairs", "name a branch's origin in the pullback and on the traced vessel"};
  for (const PlacePair& pair : pairs) {
    if (pair.frame < 0 || pair.frame >= question.frames) return Error{fmt::format("the pullback has {} frames", question.frames), "pairs", "name a frame of it, counted from 0"};
    if (!(pair.along_mm >= 0.0 && pair.along_mm <= question.vessel_mm)) return Error{fmt::format("the traced vessel is {:.1f} mm long", question.vessel_mm), "pairs", "name a place on it"};
  }
  if (pairs.size() == 1 && !question.mm_per_frame) {
    return Error{"one place alone needs the pullback's speed", "pairs", "name a second place, or give the speed"};
  }
  for (std::size_t i = 1; i < pairs.size(); ++i) {
    if (pairs[i].frame == pairs[i - 1].frame) return Error{fmt::format("frame {} is named twice", pairs[i].frame + 1), "pairs", "take one of them back"};
    const bool grows = pairs[1].along_mm > pairs[0].along_mm;
    if (pairs[i].along_mm == pairs[i - 1].along_mm || (pairs[i].along_mm > pairs[i - 1].along_mm) != grows) {
      return Error{fmt::format("the places cross: frames {} and {} do not follow each other along the vessel as the others do", pairs[i - 1].frame + 1, pairs[i].frame + 1), "pairs",
                   "one of them is another branch: take it back"};
    }
  }
  return Done{};
}

double Slope(const PlacePair& a, const PlacePair& b) { return (b.along_mm - a.along_mm) / (b.frame - a.frame); }

AlignedPlace PlaceOf(const Alignment& alignment, double frame) {
  const auto& pairs = alignment.pairs;
  AlignedPlace place;
  double away = 0.0;                           // mm to the nearest named place
  if (frame <= pairs.front().frame) {
    place.along_mm = pairs.front().along_mm + (frame - pairs.front().frame) * alignment.before_mm;
    away = std::abs(place.along_mm - pairs.front().along_mm);
    place.beyond = frame < pairs.front().frame;
  } else if (frame >= pairs.back().frame) {
    place.along_mm = pairs.back().along_mm + (frame - pairs.back().frame) * alignment.after_mm;
    away = std::abs(place.along_mm - pairs.back().along_mm);
    place.beyond = frame > pairs.back().frame;
  } else {
    const auto next = std::ranges::find_if(pairs, [&](const PlacePair& pair) { return pair.frame >= frame; });
    const PlacePair& b = *next;
    const PlacePair& a = *(next - 1);
    place.along_mm = a.along_mm + (frame - a.frame) * Slope(a, b);
    away = std::min(std::abs(place.along_mm - a.along_mm), std::abs(place.along_mm - b.along_mm));
  }
  place.sd_mm = std::hypot(kPlaceSd, kPullbackLengthSd * away);
  return place;
}

void RemarkOnSpeed(const AlignQuestion& question, Alignment& alignment) {
  const auto& pairs = alignment.pairs;
  if (pairs.size() == 1) {
    alignment.remarks.emplace_back(question.grows ? "One place is named: the rest goes by the pullback's speed, frames lying farther along the trace the later they are."
                                                  : "One place is named: the rest goes by the pullback's speed, for a catheter that was drawn back along a trace begun at the vessel's origin.");
    return;
  }
  for (std::size_t i = 2; i < pairs.size(); ++i) {
    const double a = std::abs(Slope(pairs[i - 2], pairs[i - 1])), b = std::abs(Slope(pairs[i - 1], pairs[i]));
    if (std::abs(a - b) > kUneven * std::max(a, b)) {
      alignment.remarks.push_back(fmt::format("Before and after frame {} the speed along the vessel differs by {:.0f} %: is it the same branch in both?", pairs[i - 1].frame + 1, 100.0 * std::abs(a - b) / std::max(a, b)));
    }
  }
  if (!question.mm_per_frame) return;
  const double mean = std::abs(Slope(pairs.front(), pairs.back())), off = mean / *question.mm_per_frame - 1.0;
  if (std::abs(off) > kUneven) {
    alignment.remarks.push_back(fmt::format("The named places lie {:.0f} % {} apart than the pullback's speed says: is the trace foreshortened, or a branch another one?", 100.0 * std::abs(off), off > 0.0 ? "farther" : "less far"));
  }
}

}  // namespace

Result<Alignment> AlignPullback(const AlignQuestion& question) {
  Alignment alignment;
  alignment.pairs = question.pairs;
  alignment.frames = question.frames;
  std::ranges::stable_sort(alignment.pairs, {}, &PlacePair::frame);
  if (Status good = CheckPairs(question, alignment.pairs); !good.ok()) return good.error();
  const auto& pairs = alignment.pairs;
  if (pairs.size() == 1) {
    alignment.before_mm = alignment.after_mm = (question.grows ? 1.0 : -1.0) * *question.mm_per_frame;
  } else {
    alignment.before_mm = Slope(pairs[0], pairs[1]);
    alignment.after_mm = Slope(pairs[pairs.size() - 2], pairs.back());
  }
  for (int frame = 0; frame < question.frames; ++frame) alignment.places.push_back(PlaceOf(alignment, frame));
  RemarkOnSpeed(question, alignment);
  return alignment;
}

std::optional<AlignedFrame> FrameAt(const Alignment& alignment, double along_mm) {
  const auto& pairs = alignment.pairs;
  const bool grows = alignment.before_mm > 0.0;
  const auto before = [&](double a, double b) { return grows ? a < b : a > b; };  // along the frames
  AlignedFrame at;
  double slope = alignment.before_mm;
  if (before(along_mm, pairs.front().along_mm)) {
    at = {pairs.front().frame + (along_mm - pairs.front().along_mm) / slope, 0.0, true};
  } else if (before(pairs.back().along_mm, along_mm)) {
    slope = alignment.after_mm;
    at = {pairs.back().frame + (along_mm - pairs.back().along_mm) / slope, 0.0, true};
  } else {
    for (std::size_t i = 0; i < pairs.size(); ++i) {
      if (pairs[i].along_mm == along_mm) at = {static_cast<double>(pairs[i].frame), 0.0, false};
      if (i == 0 || before(along_mm, pairs[i - 1].along_mm) || before(pairs[i].along_mm, along_mm)) continue;
      slope = Slope(pairs[i - 1], pairs[i]);
      at = {pairs[i - 1].frame + (along_mm - pairs[i - 1].along_mm) / slope, 0.0, false};
    }
  }
  if (at.frame < -0.5 || at.frame > alignment.frames - 0.5) return std::nullopt;
  at.sd_frames = PlaceOf(alignment, at.frame).sd_mm / std::abs(slope);
  return at;
}

}  // namespace fairlead
