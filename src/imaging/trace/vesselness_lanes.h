// SPDX-License-Identifier: Apache-2.0
// The kernel behind vesselness.h, written once for any width of vector. A file that includes this is compiled for one
// kind of processor; so that none of its code is taken by the linker for another, it uses nothing of the standard
// library, and its template is instantiated with a type of its own.
#pragma once

#include "imaging/trace/vesselness_job.h"

namespace fairlead {

// `Lanes` gives Vector, kWidth, Load, Store, Set, Fma (a b + c), Sqrt, Larger, Chosen (a > b ? x : y).
template <typename Lanes>
class ScaleKernel {
 public:
  using V = typename Lanes::Vector;
  static constexpr int kWidth = Lanes::kWidth;

  static void Run(const ScaleJob& job) {
    for (int row = 0; row < job.rows; ++row) {
      Down(job, row);
      Across(job, row);
    }
  }

 private:
  // Sums along columns for one row of output: the picture smoothed, and its first and second derivative, over the row's
  // whole padded width. Symmetric taps are folded; the three sums stay in registers.
  static void Down(const ScaleJob& job, int row) {
    const int width = job.columns + 2 * job.radius;
    const float* middle = job.padded + (row + job.margin) * job.stride + (job.margin - job.radius);
    for (int c = 0; c < width; c += kWidth) {
      const float* at = middle + c;
      const V m = Lanes::Load(at);
      V s0 = Lanes::Set(job.g0[0]) * m, s1 = Lanes::Set(0.0f), s2 = Lanes::Set(job.g2[0]) * m;
      for (int k = 1; k <= job.radius; ++k) {
        const V up = Lanes::Load(at - k * job.stride), down = Lanes::Load(at + k * job.stride);
        const V even = down + up, odd = down - up;
        s0 = Lanes::Fma(Lanes::Set(job.g0[k]), even, s0);
        s1 = Lanes::Fma(Lanes::Set(job.g1[k]), odd, s1);
        s2 = Lanes::Fma(Lanes::Set(job.g2[k]), even, s2);
      }
      Lanes::Store(job.smooth + c, s0);
      Lanes::Store(job.first + c, s1);
      Lanes::Store(job.second + c, s2);
    }
  }

  static void Across(const ScaleJob& job, int row) {
    float* strength = job.strength + row * job.out_stride;
    float* scale = job.scale + row * job.out_stride;
    for (int c = 0; c < job.columns; c += kWidth) {
      const float* s = job.smooth + c + job.radius;
      const float* f = job.first + c + job.radius;
      const float* d = job.second + c + job.radius;
      V xx = Lanes::Set(job.g2[0]) * Lanes::Load(s), xy = Lanes::Set(0.0f), yy = Lanes::Set(job.g0[0]) * Lanes::Load(d);
      for (int k = 1; k <= job.radius; ++k) {
        xx = Lanes::Fma(Lanes::Set(job.g2[k]), Lanes::Load(s + k) + Lanes::Load(s - k), xx);
        xy = Lanes::Fma(Lanes::Set(job.g1[k]), Lanes::Load(f + k) - Lanes::Load(f - k), xy);
        yy = Lanes::Fma(Lanes::Set(job.g0[k]), Lanes::Load(d + k) + Lanes::Load(d - k), yy);
      }
      const V tube = Tube(xx, xy, yy, job.scale_squared);
      const V best = Lanes::Load(strength + c);
      Lanes::Store(scale + c, Lanes::Chosen(tube, best, Lanes::Set(job.sigma), Lanes::Load(scale + c)));
      Lanes::Store(strength + c, Lanes::Larger(tube, best));
    }
  }

  // With m the mean of the diagonal and r the distance of the eigenvalues from it: a bright ridge has m < 0, and then
  // l2 = m - r is the larger in size. Elsewhere `low` is held at 0, which makes the whole zero.
  static V Tube(V xx, V xy, V yy, float scale_squared) {
    const V half = Lanes::Set(0.5f), zero = Lanes::Set(0.0f);
    const V mean = half * (xx + yy), difference = half * (xx - yy);
    const V r = Lanes::Sqrt(Lanes::Fma(difference, difference, xy * xy));
    const V size = Lanes::Chosen(zero, mean, r - mean, zero);  // -l2 where m < 0
    const V l1 = mean + r, squared = size * size;
    const V below = Lanes::Fma(l1 + l1, l1, squared) + Lanes::Set(1e-20f);
    return Lanes::Set(scale_squared) * size * squared / below;
  }
};

}  // namespace fairlead
