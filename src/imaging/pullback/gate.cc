// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/gate.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace fairlead {
namespace {

constexpr double kSlowest = 42.0 / 60.0, kFastest = 150.0 / 60.0;  // beats a second that are looked for
constexpr double kLeastSeconds = 4.0, kLeastRate = 8.0;            // chosen: three beats at the slowest; above twice the fastest with room
constexpr int kLeastFrames = 40;
// Times the median power. Of noise alone some 20 independent waves lie in the band, each exponential: one of them passes 15
// medians once in 1,500 pullbacks (20 exp(-15 ln 2)).
constexpr double kStandsOut = 15.0;
constexpr double kMoreAlike = 0.1;                                 // of correlation; chosen on made-up swings
constexpr double kStep = 0.01;                                     // Hz between the waves that are tried

// One less the correlation of two frames within the ring.
double Differs(const Polar& polar, int frame, int from, int to) {
  double sum_a = 0, sum_b = 0, aa = 0, bb = 0, ab = 0, n = 0;
  for (int ray = 0; ray < kAngles; ++ray) {
    const auto a = polar.Ray(frame, ray), b = polar.Ray(frame + 1, ray);
    for (int i = from; i < to; ++i) {
      const double x = a[static_cast<std::size_t>(i)], y = b[static_cast<std::size_t>(i)];
      sum_a += x, sum_b += y, aa += x * x, bb += y * y, ab += x * y, n += 1.0;
    }
  }
  const double va = aa - sum_a * sum_a / n, vb = bb - sum_b * sum_b / n;
  if (va <= 0.0 || vb <= 0.0) return 0.0;
  return std::clamp(1.0 - (ab - sum_a * sum_b / n) / std::sqrt(va * vb), 0.0, 2.0) / 2.0;
}

// What changes more slowly than the heart is taken off: the mean of one and a half seconds round each frame.
std::vector<double> WithoutDrift(const std::vector<double>& values, double frame_ms) {
  const int half = std::max(1, static_cast<int>(750.0 / frame_ms));
  const int n = static_cast<int>(values.size());
  std::vector<double> sums(values.size() + 1, 0.0), out(values.size());
  for (int i = 0; i < n; ++i) sums[static_cast<std::size_t>(i) + 1] = sums[static_cast<std::size_t>(i)] + values[static_cast<std::size_t>(i)];
  for (int i = 0; i < n; ++i) {
    const int from = std::max(0, i - half), to = std::min(n, i + half + 1);
    out[static_cast<std::size_t>(i)] = values[static_cast<std::size_t>(i)] - (sums[static_cast<std::size_t>(to)] - sums[static_cast<std::size_t>(from)]) / (to - from);
  }
  return out;
}

// Power of a wave of `hertz`, under a raised cosine so that a short pullback does not leak into its neighbours.
double PowerAt(const std::vector<double>& values, double hertz, double frame_ms) {
  const double turn = 2.0 * std::numbers::pi * hertz * frame_ms / 1000.0, n = static_cast<double>(values.size());
  double re = 0.0, im = 0.0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double at = static_cast<double>(i), soft = 0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * (at + 0.5) / n);
    re += soft * values[i] * std::cos(turn * at), im += soft * values[i] * std::sin(turn * at);
  }
  return re * re + im * im;
}

struct Wave {
  double hertz = 0.0, clear = 0.0;
};

// How alike the signal is to itself `lag` frames later, -1 to 1; the best within a twentieth of the lag.
double AlikeAfter(const std::vector<double>& values, double lag) {
  const int n = static_cast<int>(values.size());
  double best = -1.0;
  for (int k = std::max(1, static_cast<int>(std::lround(0.95 * lag))); k <= static_cast<int>(std::lround(1.05 * lag)) && k < n; ++k) {
    double ab = 0.0, aa = 0.0, bb = 0.0;
    for (int i = 0; i + k < n; ++i) {
      const double a = values[static_cast<std::size_t>(i)], b = values[static_cast<std::size_t>(i + k)];
      ab += a * b, aa += a * a, bb += b * b;
    }
    if (aa > 0.0 && bb > 0.0) best = std::max(best, ab / std::sqrt(aa * bb));
  }
  return best;
}

Wave Strongest(const std::vector<double>& values, double frame_ms) {
  std::vector<double> power;
  for (double hertz = kSlowest; hertz <= kFastest; hertz += kStep) power.push_back(PowerAt(values, hertz, frame_ms));
  const auto best = std::ranges::max_element(power) - power.begin();
  auto sorted = power;
  std::ranges::sort(sorted);
  Wave wave{kSlowest + kStep * static_cast<double>(best), power[static_cast<std::size_t>(best)] / std::max(1e-12, sorted[sorted.size() / 2])};
  // The catheter is still at both ends of its swing, so that the strongest wave may have twice the heart's rate. Systole
  // and diastole differ: then every second rest is more alike than each next one.
  const double lag = 1000.0 / wave.hertz / frame_ms;
  if (wave.hertz / 2.0 >= kSlowest && AlikeAfter(values, 2.0 * lag) > AlikeAfter(values, lag) + kMoreAlike) wave.hertz /= 2.0;
  return wave;
}

}  // namespace

std::vector<double> Unrest(const Polar& polar, double from_mm, double to_mm) {
  std::vector<double> unrest;
  const int from = std::clamp(static_cast<int>(from_mm / polar.step_mm) + 1, 0, polar.depth - 2);
  const int to = std::clamp(static_cast<int>(to_mm / polar.step_mm), from + 1, polar.depth);
  for (int frame = 0; frame + 1 < polar.frames; ++frame) unrest.push_back(Differs(polar, frame, from, to));
  return unrest;
}

std::optional<HeartGate> GateOn(const std::vector<double>& unrest, double frame_ms) {
  const int n = static_cast<int>(unrest.size());
  if (n + 1 < kLeastFrames || !(frame_ms > 0.0) || n * frame_ms < 1000.0 * kLeastSeconds || 1000.0 / frame_ms < kLeastRate) return std::nullopt;
  const auto values = WithoutDrift(unrest, frame_ms);
  const Wave wave = Strongest(values, frame_ms);
  if (wave.clear < kStandsOut) return std::nullopt;
  HeartGate gate{{}, 60.0 * wave.hertz, wave.clear};
  const double beat = 1000.0 / wave.hertz / frame_ms;  // frames
  // Softened over three frames: one quiet pair is chance.
  const auto soft = [&](int i) {
    const auto k = [&](int j) { return values[static_cast<std::size_t>(std::clamp(j, 0, n - 1))]; };
    return 0.25 * k(i - 1) + 0.5 * k(i) + 0.25 * k(i + 1);
  };
  const auto least = [&](double from, double to) {
    int best = std::clamp(static_cast<int>(std::lround(from)), 0, n - 1);
    for (int i = best; i <= std::min(n - 1, static_cast<int>(std::lround(to))); ++i) {
      if (soft(i) < soft(best)) best = i;
    }
    return best;
  };
  int at = least(0.0, beat);
  gate.frames.push_back(at);
  while (at + 0.75 * beat < n - 1) {
    at = least(at + 0.75 * beat, at + 1.25 * beat);
    gate.frames.push_back(at);
  }
  return gate;
}

}  // namespace fairlead
