// SPDX-License-Identifier: Apache-2.0
// Four floats at once, for the searches: SSE2 on x86-64, the compilers' own vectors elsewhere.
#pragma once

#if defined(__x86_64__)
#include <emmintrin.h>
#endif

namespace fairlead {

#if defined(__x86_64__)
using FourFloats = __m128;
inline FourFloats LoadFour(const float* from) { return _mm_loadu_ps(from); }
inline void StoreFour(float* to, FourFloats v) { _mm_storeu_ps(to, v); }
inline FourFloats SetFour(float x) { return _mm_set1_ps(x); }
inline FourFloats LesserOf(FourFloats a, FourFloats b) { return _mm_min_ps(a, b); }
// A bit for each of the four in which a is below b.
inline unsigned BitsBelow(FourFloats a, FourFloats b) { return static_cast<unsigned>(_mm_movemask_ps(_mm_cmplt_ps(a, b))); }
#else
using FourFloats = float __attribute__((vector_size(16)));
inline FourFloats LoadFour(const float* from) {
  FourFloats v;
  __builtin_memcpy(&v, from, sizeof v);
  return v;
}
inline void StoreFour(float* to, FourFloats v) { __builtin_memcpy(to, &v, sizeof v); }
inline FourFloats SetFour(float x) { return FourFloats{x, x, x, x}; }
inline FourFloats LesserOf(FourFloats a, FourFloats b) { return a < b ? a : b; }
inline unsigned BitsBelow(FourFloats a, FourFloats b) {
  using Bits = int __attribute__((vector_size(16)));
  const Bits bits = (a < b) & Bits{1, 2, 4, 8};
  return static_cast<unsigned>(bits[0] | bits[1] | bits[2] | bits[3]);
}
#endif

// The last of `before` and the first three of `four`; the last three of `four` and the first of `after`.
inline FourFloats OneLater(FourFloats before, FourFloats four) { return __builtin_shufflevector(before, four, 3, 4, 5, 6); }
inline FourFloats OneSooner(FourFloats four, FourFloats after) { return __builtin_shufflevector(four, after, 1, 2, 3, 4); }

}  // namespace fairlead
