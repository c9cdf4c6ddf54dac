// SPDX-License-Identifier: Apache-2.0
// One scale of the filter over a band of rows, as plain pointers: what passes between vesselness.cc and the kernels.
#pragma once

namespace fairlead {

inline constexpr int kWidestVector = 16;  // floats; rows begin at a multiple of it in memory, so that no load of a column is split
constexpr int WholeVectors(int floats) { return (floats + kWidestVector - 1) / kWidestVector * kWidestVector; }

struct ScaleJob {
  const float* middle = nullptr;  // place 0,0 of the band, 64-byte aligned; `radius` rows of repeated edge values above and below,
  long stride = 0;                // WholeVectors(radius) columns before each row, radius and 32 behind it; a multiple of kWidestVector
  int rows = 0, columns = 0;      // of the band
  int radius = 0;                 // taps on each side
  const float* g0 = nullptr;      // Gaussian, and its first and second derivative: weights 0 to radius
  const float* g1 = nullptr;
  const float* g2 = nullptr;
  float sigma = 0.0f, scale_squared = 0.0f;
  float* smooth = nullptr;        // column 0 of three rows to work in, with as many columns before and behind
  float* first = nullptr;
  float* second = nullptr;
  bool is_first = false;          // then what strength and scale held does not count
  float* strength = nullptr;      // the largest so far, and at which scale; rows of out_stride >= columns + 32
  float* scale = nullptr;
  long out_stride = 0;
};

void RunScaleNarrow(const ScaleJob& job);  // any processor
#if defined(__x86_64__)
void RunScaleAvx2(const ScaleJob& job);    // needs avx2 and fma
void RunScaleAvx512(const ScaleJob& job);  // needs avx512f and avx512dq
#endif

// Where `laid` is larger than `strength` it takes its place, and `sigma`, where that is not 0, the scale's. Rows with
// kWidestVector columns to spare.
void LayOverNarrow(const float* laid, const float* sigma, int columns, float* strength, float* scale);
#if defined(__x86_64__)
void LayOverAvx2(const float* laid, const float* sigma, int columns, float* strength, float* scale);
void LayOverAvx512(const float* laid, const float* sigma, int columns, float* strength, float* scale);
#endif

}  // namespace fairlead
