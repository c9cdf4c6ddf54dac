// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/vesselness_lanes.h"

namespace fairlead {
namespace {

// Four floats by the compilers' own vectors: SSE2 on x86-64, NEON on arm64.
struct Four {
  using Vector = float __attribute__((vector_size(16)));
  using Mask = int __attribute__((vector_size(16)));
  static constexpr int kWidth = 4;
  static Vector Load(const float* from) {
    Vector v;
    __builtin_memcpy(&v, from, sizeof v);
    return v;
  }
  static void Store(float* to, Vector v) { __builtin_memcpy(to, &v, sizeof v); }
  static Vector Set(float x) { return Vector{x, x, x, x}; }
  static Vector Fma(Vector a, Vector b, Vector c) { return a * b + c; }
  static Vector Sqrt(Vector v) {
    return Vector{__builtin_sqrtf(v[0]), __builtin_sqrtf(v[1]), __builtin_sqrtf(v[2]), __builtin_sqrtf(v[3])};
  }
  static Vector Chosen(Vector a, Vector b, Vector x, Vector y) {
    const Mask mask = a > b;
    Mask xi, yi;
    __builtin_memcpy(&xi, &x, sizeof xi);
    __builtin_memcpy(&yi, &y, sizeof yi);
    const Mask chosen = (mask & xi) | (~mask & yi);
    Vector out;
    __builtin_memcpy(&out, &chosen, sizeof out);
    return out;
  }
  static Vector Larger(Vector a, Vector b) { return Chosen(a, b, a, b); }
};

}  // namespace

void RunScaleNarrow(const ScaleJob& job) { ScaleKernel<Four>::Run(job); }
void LayOverNarrow(const float* laid, const float* sigma, int columns, float* strength, float* scale) {
  ScaleKernel<Four>::LayOver(laid, sigma, columns, strength, scale);
}

}  // namespace fairlead
