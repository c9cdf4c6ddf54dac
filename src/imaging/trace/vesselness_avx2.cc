// SPDX-License-Identifier: Apache-2.0
// Compiled with -mavx2 -mfma; see vesselness_lanes.h for what that forbids here.
#if defined(__x86_64__)
#include <immintrin.h>

#include "imaging/trace/vesselness_lanes.h"

namespace fairlead {
namespace {

struct Eight {
  using Vector = __m256;
  static constexpr int kWidth = 8;
  static Vector Load(const float* from) { return _mm256_loadu_ps(from); }
  static void Store(float* to, Vector v) { _mm256_storeu_ps(to, v); }
  static Vector Set(float x) { return _mm256_set1_ps(x); }
  static Vector Fma(Vector a, Vector b, Vector c) { return _mm256_fmadd_ps(a, b, c); }
  static Vector Sqrt(Vector v) { return _mm256_sqrt_ps(v); }
  static Vector Chosen(Vector a, Vector b, Vector x, Vector y) { return _mm256_blendv_ps(y, x, _mm256_cmp_ps(a, b, _CMP_GT_OQ)); }
  static Vector Larger(Vector a, Vector b) { return _mm256_max_ps(a, b); }
};

}  // namespace

void RunScaleAvx2(const ScaleJob& job) { ScaleKernel<Eight>::Run(job); }
void LayOverAvx2(const float* laid, const float* sigma, int columns, float* strength, float* scale) {
  ScaleKernel<Eight>::LayOver(laid, sigma, columns, strength, scale);
}

}  // namespace fairlead
#endif
