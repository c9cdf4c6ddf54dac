// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/wire.h"

#include <algorithm>
#include <cmath>
#include <thread>

#include "imaging/pullback/section.h"

namespace fairlead {
namespace {

constexpr double kRidingReach = 0.45;        // mm from the catheter's wall in which the wire that it rides on lies
constexpr double kBehind = 1.0;              // mm behind an echo that are looked at for a shadow, or what the picture holds,
constexpr double kBehindAtLeast = 0.4;       // but no less than this
constexpr int kBeside = 5;                   // rays to each side (14 degrees): wider shadows are calcium
constexpr int kOwnEcho = 4;                  // rays (11 degrees) on each side over which the first wire's echo spreads
constexpr float kNearTheFirst = 0.3f;        // score by which a place beside them is the less likely a second wire; chosen
constexpr float kJump = 12.0f;                // price of a turn at once: three frames' worth of a wire's score; chosen
constexpr float kStep = 0.35f;               // price of a ray's step between frames, squared
constexpr int kReach = 5;                    // rays between neighbouring frames (14 degrees)
constexpr double kSeen = 1.6;                // score, averaged over five frames, from which a wire is seen
constexpr double kFoundShare = 0.25;         // of the frames in which a wire must be seen to be claimed
constexpr double kClaimedApart = 25.0;       // degrees from the first wire: nearer ones are followed, but claim nothing alone; chosen
constexpr double kSecondBegins = 0.2;        // mm from the catheter's wall: nearer is ring-down
constexpr double kAxialSd = 0.05;            // mm: place of an echo's near side

using Score = WireScore;

int Wrapped(int ray) { return ((ray % kAngles) + kAngles) % kAngles; }

// Best echo on each ray between two distances: brighter than tissue, dark behind.
Score ScoreFrame(const Polar& polar, const Borders& borders, int frame, bool riding) {
  Score raw;
  if (borders.too_bright[static_cast<std::size_t>(frame)]) return raw;  // everything is white: the path is carried over
  const auto& borders_here = borders.frames[static_cast<std::size_t>(frame)];
  const int first = static_cast<int>((riding ? borders.catheter_mm : borders.catheter_mm + kSecondBegins) / polar.step_mm) + 1;
  const int behind = static_cast<int>(kBehind / polar.step_mm), skip = static_cast<int>(0.25 / polar.step_mm);
  std::vector<float> sum(static_cast<std::size_t>(polar.depth) + 1);
  for (int ray = 0; ray < kAngles; ++ray) {
    const auto k = static_cast<std::size_t>(ray);
    const auto grey = polar.Ray(frame, ray);
    for (std::size_t i = 0; i < grey.size(); ++i) sum[i + 1] = sum[i] + static_cast<float>(grey[i]);
    const double reach = riding ? borders.catheter_mm + kRidingReach : std::max(2.5, static_cast<double>(borders_here.eem[k]) + 0.9);
    const int last = std::min(static_cast<int>(reach / polar.step_mm), polar.depth - skip - static_cast<int>(kBehindAtLeast / polar.step_mm) - 1);
    float best = -9.0f;
    for (int i = first; i < last; ++i) {
      const auto at = static_cast<std::size_t>(i);
      const float echo = (sum[at + 4] - sum[at]) / 4.0f;
      const auto from = static_cast<std::size_t>(i + skip);
      const auto to = static_cast<std::size_t>(std::min(i + skip + behind, polar.depth));
      const float dark = (sum[to] - sum[from]) / static_cast<float>(to - from);
      const auto usual = static_cast<float>(borders.levels.adventitia);
      const float score = std::clamp((echo - usual) / 25.0f, -1.0f, 2.5f) + std::clamp((usual - dark) / 25.0f, -1.0f, 2.0f);
      if (score > best) best = score, raw.sample[k] = static_cast<float>(i);
    }
    raw.value[k] = best;
  }
  Score narrow = raw;  // what also holds beside it is no wire
  narrow.alone = raw.value;
  for (int ray = 0; ray < kAngles; ++ray) {
    float beside = 0.0f;
    for (const int offset : {-kBeside, 1 - kBeside, kBeside - 1, kBeside}) beside = std::max(beside, raw.value[static_cast<std::size_t>(Wrapped(ray + offset))]);
    narrow.value[static_cast<std::size_t>(ray)] -= beside;
  }
  return narrow;
}

// A second wire near the first: what stands beside it on the first one's rays is that one's echo and says nothing against it.
void FreeOfTheFirst(Score& score, int middle) {
  const auto of_the_first = [&](int ray) { return std::min(Wrapped(ray - middle), Wrapped(middle - ray)) <= kOwnEcho; };
  for (int offset = -kOwnEcho - kBeside; offset <= kOwnEcho + kBeside; ++offset) {
    const int ray = Wrapped(middle + offset);
    const auto k = static_cast<std::size_t>(ray);
    if (of_the_first(ray)) {
      score.value[k] -= 3.0f;
      continue;
    }
    float beside = 0.0f;
    for (const int away : {-kBeside, 1 - kBeside, kBeside - 1, kBeside}) {
      // Calcium goes on beyond the first wire's echo: there it is looked at instead.
      const int beyond = offset > 0 ? middle - kOwnEcho - 1 : middle + kOwnEcho + 1;
      beside = std::max(beside, score.alone[static_cast<std::size_t>(Wrapped(of_the_first(ray + away) ? beyond : ray + away))]);
    }
    score.value[k] = score.alone[k] - beside - kNearTheFirst;
  }
}

// The best path over frames; -1 a frame where nothing is allowed cannot happen, scores are finite.
std::vector<int> BestPath(const std::vector<Score>& scores) {
  const std::size_t frames = scores.size();
  std::vector<std::array<std::int8_t, kAngles>> came(frames);
  std::array<float, kAngles> sum = scores.front().value;
  for (std::size_t f = 1; f < frames; ++f) {
    std::array<float, kAngles> next{};
    // Where the catheter leaves one space for another, or the heart turns it, everything round it turns at once.
    const int far = static_cast<int>(std::max_element(sum.begin(), sum.end()) - sum.begin());
    const float jumped = sum[static_cast<std::size_t>(far)] - kJump;
    for (int ray = 0; ray < kAngles; ++ray) {
      float best = -1e30f;
      for (int step = -kReach; step <= kReach; ++step) {
        const float value = sum[static_cast<std::size_t>(Wrapped(ray + step))] - kStep * static_cast<float>(step * step);
        if (value > best) best = value, came[f][static_cast<std::size_t>(ray)] = static_cast<std::int8_t>(step);
      }
      if (jumped > best) best = jumped, came[f][static_cast<std::size_t>(ray)] = static_cast<std::int8_t>(std::remainder(far - ray, kAngles));
      next[static_cast<std::size_t>(ray)] = best + scores[f].value[static_cast<std::size_t>(ray)];
    }
    sum = next;
  }
  std::vector<int> path(frames);
  int at = static_cast<int>(std::max_element(sum.begin(), sum.end()) - sum.begin());
  for (std::size_t f = frames; f-- > 0;) {
    path[f] = at;
    at = Wrapped(at + came[f][static_cast<std::size_t>(at)]);
  }
  return path;
}

// In which frames the wire itself is seen, not only carried over.
std::vector<bool> SeenAlong(const std::vector<Score>& scores, const std::vector<int>& path) {
  std::vector<bool> seen(path.size());
  const auto frames = static_cast<int>(path.size());
  for (int f = 0; f < frames; ++f) {
    const int from = std::max(0, f - 2), to = std::min(frames - 1, f + 2);
    double sum = 0.0;
    for (int g = from; g <= to; ++g) {
      const auto at = static_cast<std::size_t>(g);
      sum += std::min(5.0, static_cast<double>(scores[at].value[static_cast<std::size_t>(path[at])]));
    }
    seen[static_cast<std::size_t>(f)] = sum >= kSeen * (to - from + 1);
  }
  return seen;
}

// Frames in which it is seen away from the first wire: beside that one a wire is followed, but none is claimed from there alone.
double SeenApart(const std::vector<bool>& seen, const std::vector<int>& path, const WireTrack* first) {
  double count = 0.0;
  for (std::size_t f = 0; f < seen.size(); ++f) {
    const bool beside = first != nullptr && !first->frames.empty() && std::abs(std::remainder(first->frames[f].angle_deg - path[f] * 360.0 / kAngles, 360.0)) <= kClaimedApart;
    if (seen[f] && !beside) count += 1.0;
  }
  return count;
}

WireTrack Track(const Polar& polar, std::vector<Score>& scores, const std::vector<WireClick>& clicks, const WireTrack* first) {
  const bool second = first != nullptr;

  bool clicked = false;
  for (const WireClick& click : clicks) {
    if (click.second != second || click.frame < 0 || click.frame >= polar.frames) continue;
    clicked = true;
    scores[static_cast<std::size_t>(click.frame)].value[static_cast<std::size_t>(Wrapped(static_cast<int>(std::lround(click.angle_deg / 360.0 * kAngles))))] += 1000.0f;
  }
  const std::vector<int> path = BestPath(scores);
  const std::vector<bool> seen = SeenAlong(scores, path);
  if (!clicked && SeenApart(seen, path, first) < kFoundShare * static_cast<double>(path.size())) return {};
  WireTrack track;
  for (std::size_t f = 0; f < path.size(); ++f) {
    // The middle of the echo between rays: weights above the frame's usual score.
    double weight = 0.0, shift = 0.0;
    for (int offset = -2; offset <= 2; ++offset) {
      const double w = std::max(0.0, static_cast<double>(std::min(6.0f, scores[f].value[static_cast<std::size_t>(Wrapped(path[f] + offset))])));
      weight += w, shift += w * offset;
    }
    const double ray = path[f] + (weight > 0.0 ? shift / weight : 0.0);
    double degrees = ray * 360.0 / kAngles;
    degrees -= 360.0 * std::floor(degrees / 360.0);
    float other = -9.0f;
    for (int r = 0; r < kAngles; ++r) {
      if (std::min(Wrapped(r - path[f]), Wrapped(path[f] - r)) > 7) other = std::max(other, scores[f].value[static_cast<std::size_t>(r)]);
    }
    const auto k = static_cast<std::size_t>(path[f]);
    track.frames.push_back({degrees, static_cast<double>(scores[f].sample[k]) * polar.step_mm, static_cast<double>(scores[f].value[k] - other), seen[f]});
  }
  return track;
}

}  // namespace

WireScores ScoreWires(const Polar& polar, const Borders& borders) {
  WireScores scores;
  const auto frames = static_cast<std::size_t>(polar.frames);
  scores.riding.resize(frames), scores.second.resize(frames);
  const auto work = [&](int first) {
    for (int frame = first; frame < polar.frames; frame += 2) {
      scores.riding[static_cast<std::size_t>(frame)] = ScoreFrame(polar, borders, frame, true);
      scores.second[static_cast<std::size_t>(frame)] = ScoreFrame(polar, borders, frame, false);
    }
  };
  std::jthread other(work, 1);
  work(0);
  other.join();
  return scores;
}

void ScoreSecondWire(const Polar& polar, const Borders& borders, const std::vector<int>& frames, WireScores& scores) {
  for (const int frame : frames) scores.second[static_cast<std::size_t>(frame)] = ScoreFrame(polar, borders, frame, false);
}

Wires FindWires(const Polar& polar, const WireScores& scores, const std::vector<WireClick>& clicks) {
  Wires wires;
  std::vector<Score> own = scores.riding;
  wires.riding = Track(polar, own, clicks, nullptr);
  own = scores.second;
  for (std::size_t f = 0; f < own.size() && !wires.riding.frames.empty(); ++f) {
    const int middle = static_cast<int>(std::lround(wires.riding.frames[f].angle_deg / 360.0 * kAngles));
    FreeOfTheFirst(own[f], middle);
  }
  wires.second = Track(polar, own, clicks, &wires.riding);
  return wires;
}

std::vector<TissueReading> TissueBetween(const Borders& borders, const Wires& wires) {
  std::vector<TissueReading> readings;
  const double channel = std::hypot(kChannelSd, kChannelContrast / std::max(10.0, borders.levels.plaque - borders.levels.blood));
  for (std::size_t f = 0; f < wires.second.frames.size(); ++f) {
    const WireEcho& wire = wires.second.frames[f];
    const auto k = static_cast<std::size_t>(Wrapped(static_cast<int>(std::lround(wire.angle_deg / 360.0 * kAngles))));
    const BorderFrame& frame = borders.frames[f];
    TissueReading reading;
    reading.seen = wire.seen;
    reading.thickness_mm = std::max(0.0, wire.distance_mm - static_cast<double>(frame.lumen[k]));
    const double size = kSizeSd * reading.thickness_mm;
    reading.sd_mm = std::sqrt(kAxialSd * kAxialSd + channel * channel + size * size);
    reading.angle_deg = wire.angle_deg;
    reading.beyond_media_mm = wire.distance_mm - static_cast<double>(frame.eem[k]);
    readings.push_back(reading);
  }
  return readings;
}

}  // namespace fairlead
