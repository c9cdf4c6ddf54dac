// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/vesselness.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>

#include "imaging/trace/vesselness_job.h"

namespace fairlead {
namespace {

constexpr int kSpare = 16;  // the widest vector

using Kernel = void (*)(const ScaleJob&);

Kernel KernelHere() {
#if defined(__x86_64__)
  if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq")) return RunScaleAvx512;
  if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) return RunScaleAvx2;
#endif
  return RunScaleNarrow;
}

struct Weights {
  std::vector<float> g0, g1, g2;
};

// Sampled Gaussian derivatives over 3 sigma. The second sums to exactly nothing: a flat picture has no tubes.
Weights WeightsOf(double sigma) {
  const int radius = static_cast<int>(std::ceil(3.0 * sigma));
  std::vector<double> g0, g1, g2;
  double sum = 0.0;
  for (int k = 0; k <= radius; ++k) {
    const double g = std::exp(-0.5 * k * k / (sigma * sigma));
    sum += k == 0 ? g : 2.0 * g;
    g0.push_back(g);
    g1.push_back(g * k / (sigma * sigma));
    g2.push_back(g * (k * k / (sigma * sigma) - 1.0) / (sigma * sigma));
  }
  double rest = g2[0];
  for (int k = 1; k <= radius; ++k) rest += 2.0 * g2[static_cast<std::size_t>(k)];
  Weights weights;
  for (std::size_t k = 0; k < g0.size(); ++k) {
    weights.g0.push_back(static_cast<float>(g0[k] / sum));
    weights.g1.push_back(static_cast<float>(g1[k] / sum));
    weights.g2.push_back(static_cast<float>((g2[k] - rest / (2 * radius + 1)) / sum));
  }
  return weights;
}

struct Padded {
  int margin = 0;
  std::size_t stride = 0;
  std::vector<float> values;
};

Padded PaddedBy(const Picture& picture, int margin) {
  Padded padded{margin, static_cast<std::size_t>(picture.columns + 2 * margin + kSpare), {}};
  padded.values.resize(padded.stride * static_cast<std::size_t>(picture.rows + 2 * margin));
  for (int row = -margin; row < picture.rows + margin; ++row) {
    const float* in = picture.values.data() + static_cast<std::size_t>(std::clamp(row, 0, picture.rows - 1)) * static_cast<std::size_t>(picture.columns);
    float* out = padded.values.data() + static_cast<std::size_t>(row + margin) * padded.stride;
    std::fill_n(out, margin, in[0]);
    std::copy_n(in, picture.columns, out + margin);
    std::fill(out + margin + picture.columns, out + padded.stride, in[picture.columns - 1]);
  }
  return padded;
}

// Strength and scale with rows long enough for the widest vector.
struct Wide {
  int rows = 0, columns = 0;
  std::size_t stride = 0;
  std::vector<float> strength, scale;
};

// `shrunk`: each scale is 2 sqrt(s^2 + 1/16) pixels of the whole picture, since halving blurs by 1/4 pixel too.
Wide Filter(const Picture& picture, std::span<const float> scales, bool shrunk) {
  const auto within = [shrunk](float sigma) {
    const double s = static_cast<double>(sigma);
    return shrunk ? std::sqrt(std::max(0.25, s * s / 4.0 - 1.0 / 16.0)) : s;
  };
  Wide wide{picture.rows, picture.columns, static_cast<std::size_t>(picture.columns + kSpare), {}, {}};
  wide.strength.assign(wide.stride * static_cast<std::size_t>(picture.rows), 0.0f);
  wide.scale.assign(wide.strength.size(), 0.0f);
  int margin = 1;
  for (const float sigma : scales) margin = std::max(margin, static_cast<int>(std::ceil(3.0 * within(sigma))));
  const Padded padded = PaddedBy(picture, margin);
  std::vector<float> rows(3 * (padded.stride + kSpare));
  const Kernel run = KernelHere();
  for (const float sigma : scales) {
    const Weights weights = WeightsOf(within(sigma));
    ScaleJob job;
    job.padded = padded.values.data();
    job.stride = static_cast<long>(padded.stride);
    job.margin = margin;
    job.rows = picture.rows, job.columns = picture.columns;
    job.radius = static_cast<int>(weights.g0.size()) - 1;
    job.g0 = weights.g0.data(), job.g1 = weights.g1.data(), job.g2 = weights.g2.data();
    job.sigma = sigma;
    job.scale_squared = shrunk ? 0.25f * sigma * sigma : sigma * sigma;  // pixels of this picture
    job.smooth = rows.data();
    job.first = rows.data() + padded.stride + kSpare;
    job.second = rows.data() + 2 * (padded.stride + kSpare);
    job.strength = wide.strength.data(), job.scale = wide.scale.data();
    job.out_stride = static_cast<long>(wide.stride);
    run(job);
  }
  return wide;
}

Vesselness Trimmed(const Wide& wide) {
  Vesselness out{wide.rows, wide.columns, {}, {}};
  const auto columns = static_cast<std::size_t>(wide.columns);
  out.strength.resize(columns * static_cast<std::size_t>(wide.rows));
  out.scale.resize(out.strength.size());
  for (std::size_t row = 0; row < static_cast<std::size_t>(wide.rows); ++row) {
    std::copy_n(wide.strength.data() + row * wide.stride, columns, out.strength.data() + row * columns);
    std::copy_n(wide.scale.data() + row * wide.stride, columns, out.scale.data() + row * columns);
  }
  return out;
}

// Lays the half-size result over the other where it is stronger, by lines between its pixels.
void LayOver(const Wide& half, Vesselness& whole) {
  std::vector<float> line(static_cast<std::size_t>(half.columns) + 2);
  for (int row = 0; row < whole.rows; ++row) {
    const int near = std::min(row / 2, half.rows - 1);
    const int far = std::clamp(row % 2 == 0 ? near - 1 : near + 1, 0, half.rows - 1);
    const float* a = half.strength.data() + static_cast<std::size_t>(near) * half.stride;
    const float* b = half.strength.data() + static_cast<std::size_t>(far) * half.stride;
    float* mid = line.data() + 1;
    for (int c = 0; c < half.columns; ++c) mid[c] = 0.75f * a[c] + 0.25f * b[c];
    mid[-1] = mid[0], mid[half.columns] = mid[half.columns - 1];
    const float* sigma = half.scale.data() + static_cast<std::size_t>(near) * half.stride;
    float* strength = whole.strength.data() + static_cast<std::size_t>(row) * static_cast<std::size_t>(whole.columns);
    float* scale = whole.scale.data() + static_cast<std::size_t>(row) * static_cast<std::size_t>(whole.columns);
    const auto lay = [&](int column, float value) {
      const bool stronger = value > strength[column];
      strength[column] = stronger ? value : strength[column];
      scale[column] = stronger && sigma[column / 2] > 0.0f ? sigma[column / 2] : scale[column];
    };
    for (int c = 0; 2 * c + 1 < whole.columns; ++c) {
      lay(2 * c, 0.75f * mid[c] + 0.25f * mid[c - 1]);
      lay(2 * c + 1, 0.75f * mid[c] + 0.25f * mid[c + 1]);
    }
    if (whole.columns % 2 == 1) lay(whole.columns - 1, 0.75f * mid[whole.columns / 2] + 0.25f * mid[whole.columns / 2 - 1]);
  }
}

}  // namespace

Vesselness VesselnessAtFullSize(const Picture& picture, std::span<const float> scales) { return Trimmed(Filter(picture, scales, false)); }

Vesselness VesselnessOf(const Picture& picture) {
  const std::span<const float> scales(kVesselScales);
  const auto first = std::find_if(scales.begin(), scales.end(), [](float s) { return s >= kHalvedFrom; });
  const auto fine = static_cast<std::size_t>(first - scales.begin());
  Vesselness whole = Trimmed(Filter(picture, scales.first(fine), false));
  LayOver(Filter(Halved(picture), scales.subspan(fine), true), whole);
  return whole;
}

float StrengthAtShare(const Vesselness& vesselness, double share) {
  constexpr std::size_t kBins = 2048;
  float most = 0.0f;
  for (const float v : vesselness.strength) most = std::max(most, v);
  if (!(most > 0.0f)) return 0.0f;
  std::array<std::uint32_t, kBins> counts{};
  const float bins = static_cast<float>(kBins - 1) / most;
  for (const float v : vesselness.strength) ++counts[static_cast<std::size_t>(v * bins)];
  const double wanted = share * static_cast<double>(vesselness.strength.size());
  double sum = 0.0;
  for (std::size_t i = 0; i < kBins; ++i) {
    sum += counts[i];
    if (sum >= wanted) return (static_cast<float>(i) + 1.0f) / bins;
  }
  return most;
}

}  // namespace fairlead
