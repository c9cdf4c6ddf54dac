// SPDX-License-Identifier: Apache-2.0
// From attenuation to stored values: the beam, scatter, blur, quantum noise, the detector's steps.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "imaging/phantom/random.h"
#include "imaging/phantom/render.h"

namespace fairlead {

// The detector's own blur after the quanta are counted: weights (w, 1 - 2w, w) on each axis.
inline constexpr float kDetectorSpread = 0.12f;
// What is left of the variance of independent pixels after it: the square of the sum of squared weights.
constexpr double KeptVariance() {
  const double w = 0.12, sum = 1.0 - 4.0 * w + 6.0 * w * w;
  return sum * sum;
}

// Works out once a run what its frames share.
class Exposure {
 public:
  // `empty` is the attenuation of a frame without contrast, `inside` 1 inside the collimator and 0 outside.
  Exposure(const RunPlan& plan, std::span<const float> empty, std::vector<float> inside);

  // Stored values of one frame. No noise at all when `random` is null.
  void Take(std::span<const float> attenuation, SeededRandom* random, std::span<std::uint16_t> stored);

 private:
  void Blur(std::span<const float> weights);
  void Quantise(std::span<std::uint16_t> stored) const;

  int rows_, columns_;
  NoiseLevel level_;
  float gain_ = 1.0f;
  std::vector<float> inside_, scatter_, picture_, work_;
  std::vector<float> blur_;                 // weights, odd number
  std::vector<std::uint16_t> stored_of_;    // by quanta x steps
  float steps_ = 0.0f;
  std::vector<float> exp_;                  // e^-x for x in steps of 1/256
};

}  // namespace fairlead
