// SPDX-License-Identifier: Apache-2.0
#include "imaging/phantom/exposure.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "geometry/trigonometry.h"

namespace fairlead {
namespace {

constexpr int kExpSteps = 256;      // per unit of attenuation
constexpr float kLongestPath = 24;  // attenuation beyond which nothing passes
constexpr float kBehindLead = 0.004f;  // of the beam, outside the collimator; chosen

std::vector<float> Gaussian(double sd) {
  const int half = std::max(1, static_cast<int>(std::ceil(2.5 * sd)));
  std::vector<double> weights;
  double sum = 0.0;
  for (int i = -half; i <= half; ++i) {
    weights.push_back(ExpOf(-0.5 * i * i / (sd * sd)));
    sum += weights.back();
  }
  std::vector<float> out;
  for (const double w : weights) out.push_back(static_cast<float>(w / sum));
  return out;
}

// One line blurred with its ends repeated; `padded` is working space.
void BlurLine(const float* in, float* out, int count, std::span<const float> weights, std::vector<float>& padded) {
  const int half = static_cast<int>(weights.size() / 2);
  padded.resize(static_cast<std::size_t>(count + 2 * half));
  std::fill_n(padded.begin(), half, in[0]);
  std::copy_n(in, count, padded.begin() + half);
  std::fill_n(padded.begin() + half + count, half, in[count - 1]);
  const float* p = padded.data();
  for (int i = 0; i < count; ++i) out[i] = weights[0] * p[i];
  for (std::size_t k = 1; k < weights.size(); ++k) {
    const float w = weights[k];
    for (int i = 0; i < count; ++i) out[i] += w * p[i + static_cast<int>(k)];
  }
}

}  // namespace

Exposure::Exposure(const RunPlan& plan, std::span<const float> empty, std::vector<float> inside)
    : rows_(plan.view.rows),
      columns_(plan.view.columns),
      level_(LevelOf(plan)),
      inside_(std::move(inside)),
      scatter_(empty.size()),
      picture_(empty.size()),
      work_(empty.size()),
      blur_(Gaussian(level_.blur)) {
  for (int i = 0; i <= static_cast<int>(kLongestPath) * kExpSteps; ++i) exp_.push_back(static_cast<float>(ExpOf(-static_cast<double>(i) / kExpSteps)));
  // The exposure control holds the mean of the middle half of the picture at `quanta`.
  double sum = 0.0;
  int count = 0;
  for (int row = rows_ / 4; row < 3 * rows_ / 4; ++row) {
    for (int column = columns_ / 4; column < 3 * columns_ / 4; ++column, ++count) {
      sum += ExpOf(-static_cast<double>(empty[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(column)]));
    }
  }
  const double mean = sum / std::max(1, count);
  gain_ = static_cast<float>(level_.quanta / (mean * (1.0 + level_.scatter)));
  // Scatter is the primary beam spread so wide that a quadratic bowl over the picture describes it.
  const double middle = level_.quanta * level_.scatter / (1.0 + level_.scatter);
  for (int row = 0; row < rows_; ++row) {
    for (int column = 0; column < columns_; ++column) {
      const double x = 2.0 * column / columns_ - 1.0, y = 2.0 * row / rows_ - 1.0;
      scatter_[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(column)] =
          static_cast<float>(middle * (1.0 - 0.22 * (x * x + y * y)));
    }
  }
  const double brightest = kBrightest * level_.quanta;
  steps_ = static_cast<float>(32768.0 / brightest);
  for (int i = 0; i <= 32768; ++i) {
    const double value = StoredValueOf(std::max(1e-6, i / static_cast<double>(steps_)), plan);
    stored_of_.push_back(static_cast<std::uint16_t>(std::floor(value + 0.5)));
  }
}

void Exposure::Blur(std::span<const float> weights) {
  std::vector<float> padded;
  const auto width = static_cast<std::size_t>(columns_);
  for (std::size_t row = 0; row < static_cast<std::size_t>(rows_); ++row) {
    BlurLine(picture_.data() + row * width, work_.data() + row * width, columns_, weights, padded);
  }
  const int half = static_cast<int>(weights.size() / 2);
  for (int row = 0; row < rows_; ++row) {
    float* out = picture_.data() + static_cast<std::size_t>(row) * width;
    for (int k = -half; k <= half; ++k) {
      const float w = weights[static_cast<std::size_t>(k + half)];
      const float* in = work_.data() + static_cast<std::size_t>(std::clamp(row + k, 0, rows_ - 1)) * width;
      if (k == -half) {
        for (std::size_t i = 0; i < width; ++i) out[i] = w * in[i];
      } else {
        for (std::size_t i = 0; i < width; ++i) out[i] += w * in[i];
      }
    }
  }
}

void Exposure::Take(std::span<const float> attenuation, SeededRandom* random, std::span<std::uint16_t> stored) {
  for (std::size_t i = 0; i < picture_.size(); ++i) {
    const float steps = std::clamp(attenuation[i], 0.0f, kLongestPath - 0.01f) * kExpSteps;
    const auto whole = static_cast<std::size_t>(steps);
    const float left = (steps - static_cast<float>(whole)) / kExpSteps;
    const float passed = exp_[whole] * (1.0f - left * (1.0f - 0.5f * left));
    picture_[i] = (gain_ * passed + scatter_[i]) * (kBehindLead + (1.0f - kBehindLead) * inside_[i]);
  }
  Blur(blur_);
  if (random != nullptr) {
    const auto electronic2 = static_cast<float>(level_.electronic * level_.electronic);
    for (float& quanta : picture_) quanta += std::sqrt(quanta + electronic2) * random->Noise();
    const float w = kDetectorSpread;
    const std::vector<float> spread{w, 1.0f - 2.0f * w, w};
    Blur(spread);
  }
  Quantise(stored);
}

void Exposure::Quantise(std::span<std::uint16_t> stored) const {
  for (std::size_t i = 0; i < stored.size(); ++i) {
    const float place = std::clamp(picture_[i] * steps_, 0.0f, 32768.0f);
    stored[i] = stored_of_[static_cast<std::size_t>(place)];
  }
}

}  // namespace fairlead
