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
inline FourFloats LoadFour(const float* from) { return FourFloats{from[0], from[1], from[2], from[3]}; }
inline void StoreFour(float* to, FourFloats v) {
  for (int i = 0; i < 4; ++i) to[i] = v[i];
}
inline FourFloats SetFour(float x) { return FourFloats{x, x, x, x}; }
inline FourFloats LesserOf(FourFloats a, FourFloats b) {
  FourFloats least = b;
  for (int i = 0; i < 4; ++i) least[i] = a[i] < b[i] ? a[i] : b[i];
  return least;
}
inline unsigned BitsBelow(FourFloats a, FourFloats b) {
  unsigned bits = 0;
  for (int i = 0; i < 4; ++i) bits |= a[i] < b[i] ? 1U << i : 0U;
  return bits;
}
#endif

// The last of `before` and the first three of `four`; the last three of `four` and the first of `after`.
inline FourFloats OneLater(FourFloats before, FourFloats four) { return __builtin_shufflevector(before, four, 3, 4, 5, 6); }
inline FourFloats OneSooner(FourFloats four, FourFloats after) { return __builtin_shufflevector(four, after, 1, 2, 3, 4); }

}  // namespace fairlead
