// SPDX-License-Identifier: Apache-2.0
// Compiled with -mavx512f -mavx512dq -mfma; see vesselness_lanes.h for what that forbids here.
#if defined(__x86_64__)
#include <immintrin.h>

#include "imaging/trace/vesselness_lanes.h"

namespace fairlead {
namespace {

struct Sixteen {
  using Vector = __m512;
  static constexpr int kWidth = 16;
  static Vector Load(const float* from) { return _mm512_loadu_ps(from); }
  static void Store(float* to, Vector v) { _mm512_storeu_ps(to, v); }
  static Vector Set(float x) { return _mm512_set1_ps(x); }
  static Vector Fma(Vector a, Vector b, Vector c) { return _mm512_fmadd_ps(a, b, c); }
  static Vector Sqrt(Vector v) { return _mm512_maskz_sqrt_ps(0xFFFF, v); }  // gcc 12 warns of the plain one (its bug 105593)
  static Vector Chosen(Vector a, Vector b, Vector x, Vector y) { return _mm512_mask_blend_ps(_mm512_cmp_ps_mask(a, b, _CMP_GT_OQ), y, x); }
  static Vector Larger(Vector a, Vector b) { return _mm512_mask_blend_ps(_mm512_cmp_ps_mask(a, b, _CMP_GT_OQ), b, a); }
};

}  // namespace

void RunScaleAvx512(const ScaleJob& job) { ScaleKernel<Sixteen>::Run(job); }
void LayOverAvx512(const float* laid, const float* sigma, int columns, float* strength, float* scale) {
  ScaleKernel<Sixteen>::LayOver(laid, sigma, columns, strength, scale);
}

}  // namespace fairlead
#endif
