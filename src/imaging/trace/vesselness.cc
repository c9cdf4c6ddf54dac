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

struct Kernels {
  void (*run)(const ScaleJob&);
  void (*lay)(const float* laid, const float* sigma, int columns, float* strength, float* scale);
};

Kernels KernelsHere() {
#if defined(__x86_64__)
  if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq")) return {RunScaleAvx512, LayOverAvx512};
  if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) return {RunScaleAvx2, LayOverAvx2};
#endif
  return {RunScaleNarrow, LayOverNarrow};
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

// `length` floats from a 64-byte boundary, held by `store`.
float* Aligned(std::vector<float>& store, std::size_t length) {
  store.resize(length + kWidestVector);
  const auto address = reinterpret_cast<std::uintptr_t>(store.data()) / sizeof(float);
  return store.data() + (kWidestVector - address % kWidestVector) % kWidestVector;
}

constexpr int kBand = 64;  // rows at a time: what a band needs stays in the second cache (0.5 MB at 512 columns)

// Some scales over one picture, band by band.
class ScaleBank {
 public:
  // `shrunk`: each scale is 2 sqrt(s^2 + 1/16) pixels of the whole picture, since halving blurs by 1/4 pixel too.
  ScaleBank(const Picture& picture, std::span<const float> scales, bool shrunk) : picture_(picture), run_(KernelsHere().run) {
    for (const float sigma : scales) {
      const double s = static_cast<double>(sigma), within = shrunk ? std::sqrt(std::max(0.25, s * s / 4.0 - 1.0 / 16.0)) : s;
      weights_.push_back(WeightsOf(within));
      ScaleJob job;
      job.columns = picture.columns;
      job.radius = static_cast<int>(weights_.back().g0.size()) - 1;
      job.sigma = sigma;
      job.scale_squared = shrunk ? 0.25f * sigma * sigma : sigma * sigma;  // pixels of this picture
      jobs_.push_back(job);
      radius_ = std::max(radius_, job.radius);
    }
    before_ = WholeVectors(radius_);
    stride_ = static_cast<std::size_t>(before_ + WholeVectors(picture.columns + radius_ + 2 * kWidestVector));
    padded_ = Aligned(padded_store_, stride_ * static_cast<std::size_t>(kBand + 2 + 2 * radius_));
    rows_ = Aligned(rows_store_, 3 * stride_);
    strength_ = Aligned(strength_store_, stride_ * (kBand + 2));
    scale_ = Aligned(scale_store_, stride_ * (kBand + 2));
  }

  // Works out `rows` (at most kBand + 2) rows from `first`.
  void Run(int first, int rows) {
    first_ = first;
    Pad(first, rows);
    for (std::size_t i = 0; i < jobs_.size(); ++i) {
      ScaleJob job = jobs_[i];
      job.middle = padded_ + static_cast<std::size_t>(radius_) * stride_ + before_;
      job.stride = static_cast<long>(stride_);
      job.rows = rows;
      job.is_first = i == 0;
      job.g0 = weights_[i].g0.data(), job.g1 = weights_[i].g1.data(), job.g2 = weights_[i].g2.data();
      job.smooth = rows_ + before_, job.first = job.smooth + stride_, job.second = job.first + stride_;
      job.strength = strength_, job.scale = scale_;
      job.out_stride = job.stride;
      run_(job);
    }
  }

  // Of a row of the picture that the last band held.
  float* strength(int row) { return strength_ + static_cast<std::size_t>(row - first_) * stride_; }
  float* scale(int row) { return scale_ + static_cast<std::size_t>(row - first_) * stride_; }

 private:
  void Pad(int first, int rows) {
    const auto columns = static_cast<std::size_t>(picture_.columns);
    for (int row = -radius_; row < rows + radius_; ++row) {
      const float* in = picture_.values.data() + static_cast<std::size_t>(std::clamp(first + row, 0, picture_.rows - 1)) * columns;
      float* out = padded_ + static_cast<std::size_t>(row + radius_) * stride_;
      std::fill_n(out, before_, in[0]);
      std::copy_n(in, columns, out + before_);
      std::fill(out + before_ + columns, out + stride_, in[columns - 1]);
    }
  }

  const Picture& picture_;
  void (*run_)(const ScaleJob&);
  std::vector<Weights> weights_;
  std::vector<ScaleJob> jobs_;
  int radius_ = 0, before_ = 0, first_ = 0;
  std::size_t stride_ = 0;
  std::vector<float> padded_store_, rows_store_, strength_store_, scale_store_;
  float *padded_ = nullptr, *rows_ = nullptr, *strength_ = nullptr, *scale_ = nullptr;
};

// Rows of the halved picture laid over those of the whole one where they are stronger, by lines between their pixels.
class Overlay {
 public:
  explicit Overlay(int half_columns) : half_columns_(half_columns) {
    const auto length = static_cast<std::size_t>(half_columns);
    mid_.resize(length + 2), laid_.resize(2 * length + kWidestVector), sigma_.resize(laid_.size());
  }

  // A row of the whole picture lies a quarter of a row of the half from `near`, three quarters from `far`.
  void Lay(const float* near, const float* far, const float* near_scale, int columns, float* strength, float* scale) {
    float* mid = mid_.data() + 1;
    Mix(near, far, half_columns_, mid);
    mid[-1] = mid[0], mid[half_columns_] = mid[half_columns_ - 1];
    Spread(mid, near_scale, half_columns_, laid_.data(), sigma_.data());
    kernels_.lay(laid_.data(), sigma_.data(), columns, strength, scale);
  }

 private:
  // Loops that compilers turn into vectors.
  static void Mix(const float* __restrict near, const float* __restrict far, int length, float* __restrict mid) {
    for (int c = 0; c < length; ++c) mid[c] = 0.75f * near[c] + 0.25f * far[c];
  }
  static void Spread(const float* __restrict mid, const float* __restrict scale, int length, float* __restrict laid, float* __restrict sigma) {
    for (int c = 0; c < length; ++c) {
      laid[2 * c] = 0.75f * mid[c] + 0.25f * mid[c - 1];
      laid[2 * c + 1] = 0.75f * mid[c] + 0.25f * mid[c + 1];
      sigma[2 * c] = sigma[2 * c + 1] = scale[c];
    }
  }
  int half_columns_;
  Kernels kernels_ = KernelsHere();
  std::vector<float> mid_, laid_, sigma_;
};

void Clear(const Picture& picture, Vesselness& out) {
  out.rows = picture.rows, out.columns = picture.columns;
  out.strength.clear(), out.scale.clear();
  const std::size_t size = static_cast<std::size_t>(picture.rows) * static_cast<std::size_t>(picture.columns);
  out.strength.reserve(size), out.scale.reserve(size);
}

void AddRow(const float* strength, const float* scale, Vesselness& out) {
  out.strength.insert(out.strength.end(), strength, strength + out.columns);
  out.scale.insert(out.scale.end(), scale, scale + out.columns);
}

}  // namespace

Vesselness VesselnessAtFullSize(const Picture& picture, std::span<const float> scales) {
  Vesselness out;
  Clear(picture, out);
  ScaleBank bank(picture, scales, false);
  for (int first = 0; first < picture.rows; first += kBand) {
    const int rows = std::min(kBand, picture.rows - first);
    bank.Run(first, rows);
    for (int row = first; row < first + rows; ++row) AddRow(bank.strength(row), bank.scale(row), out);
  }
  return out;
}

void VesselnessInto(const Picture& picture, Vesselness& out) {
  const std::span<const float> scales(kVesselScales);
  const auto coarse_from = std::find_if(scales.begin(), scales.end(), [](float s) { return s >= kHalvedFrom; });
  const auto fine = static_cast<std::size_t>(coarse_from - scales.begin());
  const Picture half = Halved(picture);
  ScaleBank whole(picture, scales.first(fine), false), coarse(half, scales.subspan(fine), true);
  Overlay overlay(half.columns);
  Clear(picture, out);
  for (int first = 0; first < picture.rows; first += kBand) {
    const int end = std::min(first + kBand, picture.rows);
    whole.Run(first, end - first);
    const int half_first = std::max(0, first / 2 - 1), half_end = std::min(half.rows, (end + 1) / 2 + 1);
    coarse.Run(half_first, half_end - half_first);
    for (int row = first; row < end; ++row) {
      const int near = row / 2, far = std::clamp(row % 2 == 0 ? near - 1 : near + 1, 0, half.rows - 1);
      overlay.Lay(coarse.strength(near), coarse.strength(far), coarse.scale(near), picture.columns, whole.strength(row), whole.scale(row));
      AddRow(whole.strength(row), whole.scale(row), out);
    }
  }
}

Vesselness VesselnessOf(const Picture& picture) {
  Vesselness out;
  VesselnessInto(picture, out);
  return out;
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
