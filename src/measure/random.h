// SPDX-License-Identifier: Apache-2.0
// Our own seeded generator: the standard library's distributions differ between libraries.
#pragma once

#include <cstdint>

namespace fairlead {

class SeededRandom {
 public:
  explicit constexpr SeededRandom(std::uint64_t seed) : state_(seed) {}

  // The finaliser of splitmix64: ACM SIGPLAN Not 2014;49(10):453-472, doi 10.1145/2714064.2660195.
  constexpr std::uint64_t Next() {
    state_ += UINT64_C(0x9E3779B97F4A7C15);
    std::uint64_t z = state_;
    z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
    return z ^ (z >> 31);
  }
  // In [0, 1), in steps of 2^-53.
  constexpr double Share() { return static_cast<double>(Next() >> 11) * 0x1p-53; }
  constexpr double Within(double low, double high) { return low + (high - low) * Share(); }

  // Nearly normal, mean 0 and variance 1: the sum of four uniform 16-bit numbers (kurtosis 2.7 instead of 3).
  constexpr float Noise() {
    const std::uint64_t z = Next();
    const auto sum = static_cast<std::int32_t>((z & 0xFFFF) + ((z >> 16) & 0xFFFF) + ((z >> 32) & 0xFFFF) + (z >> 48));
    return static_cast<float>(sum - 131070) * kScale;
  }

 private:
  static constexpr float kScale = 1.0f / 37837.23f;  // 65536 / sqrt(3): the standard deviation of such a sum
  std::uint64_t state_;
};

}  // namespace fairlead
