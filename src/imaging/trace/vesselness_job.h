// SPDX-License-Identifier: Apache-2.0
// One scale of the filter over one picture, as plain pointers: what passes between vesselness.cc and the kernels.
#pragma once

namespace fairlead {

struct ScaleJob {
  const float* padded = nullptr;  // the picture with `margin` repeated edge values on each side, and 16 more at the right
  long stride = 0;                // of a padded row
  int margin = 0;                 // at least `radius`
  int rows = 0, columns = 0;      // of the picture
  int radius = 0;                 // taps on each side
  const float* g0 = nullptr;      // Gaussian, and its first and second derivative: weights 0 to radius
  const float* g1 = nullptr;
  const float* g2 = nullptr;
  float sigma = 0.0f, scale_squared = 0.0f;
  float* smooth = nullptr;        // three rows to work in, each columns + 2 radius + 32 long
  float* first = nullptr;
  float* second = nullptr;
  float* strength = nullptr;      // the largest so far, and at which scale; rows of out_stride >= columns + 16
  float* scale = nullptr;
  long out_stride = 0;
};

void RunScaleNarrow(const ScaleJob& job);  // any processor
#if defined(__x86_64__)
void RunScaleAvx2(const ScaleJob& job);    // needs avx2 and fma
void RunScaleAvx512(const ScaleJob& job);  // needs avx512f and avx512dq
#endif

}  // namespace fairlead
