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

  static void LayOver(const float* laid, const float* sigma, int columns, float* strength, float* scale) {
    const V zero = Lanes::Set(0.0f);
    for (int c = 0; c < columns; c += kWidth) {
      const V other = Lanes::Load(laid + c), best = Lanes::Load(strength + c), own = Lanes::Load(scale + c), its = Lanes::Load(sigma + c);
      Lanes::Store(scale + c, Lanes::Chosen(other, best, Lanes::Chosen(its, zero, its, own), own));
      Lanes::Store(strength + c, Lanes::Larger(other, best));
    }
  }

 private:
  // Sums along columns for one row of output: the picture smoothed, and its first and second derivative, with `radius`
  // columns more on each side. Symmetric taps are folded; the sums of two vectors stay in registers and share the weights.
  static void Down(const ScaleJob& job, int row) {
    const float* middle = job.middle + row * job.stride;
    for (int c = -WholeVectors(job.radius); c < job.columns + job.radius; c += 2 * kWidth) {
      const float* at = middle + c;
      const V m = Lanes::Load(at), n = Lanes::Load(at + kWidth), zero = Lanes::Set(0.0f);
      V s0 = Lanes::Set(job.g0[0]) * m, s1 = zero, s2 = Lanes::Set(job.g2[0]) * m;
      V t0 = Lanes::Set(job.g0[0]) * n, t1 = zero, t2 = Lanes::Set(job.g2[0]) * n;
      const float* above = at;
      const float* below = at;
      for (int k = 1; k <= job.radius; ++k) {
        above -= job.stride, below += job.stride;
        const V g0 = Lanes::Set(job.g0[k]), g1 = Lanes::Set(job.g1[k]), g2 = Lanes::Set(job.g2[k]);
        const V up = Lanes::Load(above), down = Lanes::Load(below);
        s0 = Lanes::Fma(g0, down + up, s0), s1 = Lanes::Fma(g1, down - up, s1), s2 = Lanes::Fma(g2, down + up, s2);
        const V high = Lanes::Load(above + kWidth), low = Lanes::Load(below + kWidth);
        t0 = Lanes::Fma(g0, low + high, t0), t1 = Lanes::Fma(g1, low - high, t1), t2 = Lanes::Fma(g2, low + high, t2);
      }
      Lanes::Store(job.smooth + c, s0), Lanes::Store(job.smooth + c + kWidth, t0);
      Lanes::Store(job.first + c, s1), Lanes::Store(job.first + c + kWidth, t1);
      Lanes::Store(job.second + c, s2), Lanes::Store(job.second + c + kWidth, t2);
    }
  }

  static void Across(const ScaleJob& job, int row) {
    float* strength = job.strength + row * job.out_stride;
    float* scale = job.scale + row * job.out_stride;
    for (int c = 0; c < job.columns; c += 2 * kWidth) {
      const float* s = job.smooth + c;
      const float* f = job.first + c;
      const float* d = job.second + c;
      V xx = Lanes::Set(job.g2[0]) * Lanes::Load(s), xy = Lanes::Set(0.0f), yy = Lanes::Set(job.g0[0]) * Lanes::Load(d);
      V xx2 = Lanes::Set(job.g2[0]) * Lanes::Load(s + kWidth), xy2 = xy, yy2 = Lanes::Set(job.g0[0]) * Lanes::Load(d + kWidth);
      for (int k = 1; k <= job.radius; ++k) {
        const V g0 = Lanes::Set(job.g0[k]), g1 = Lanes::Set(job.g1[k]), g2 = Lanes::Set(job.g2[k]);
        xx = Lanes::Fma(g2, Lanes::Load(s + k) + Lanes::Load(s - k), xx);
        xy = Lanes::Fma(g1, Lanes::Load(f + k) - Lanes::Load(f - k), xy);
        yy = Lanes::Fma(g0, Lanes::Load(d + k) + Lanes::Load(d - k), yy);
        xx2 = Lanes::Fma(g2, Lanes::Load(s + kWidth + k) + Lanes::Load(s + kWidth - k), xx2);
        xy2 = Lanes::Fma(g1, Lanes::Load(f + kWidth + k) - Lanes::Load(f + kWidth - k), xy2);
        yy2 = Lanes::Fma(g0, Lanes::Load(d + kWidth + k) + Lanes::Load(d + kWidth - k), yy2);
      }
      Keep(job, Tube(xx, xy, yy, job.scale_squared), strength + c, scale + c);
      Keep(job, Tube(xx2, xy2, yy2, job.scale_squared), strength + c + kWidth, scale + c + kWidth);
    }
  }

  static void Keep(const ScaleJob& job, V tube, float* strength, float* scale) {
    const V zero = Lanes::Set(0.0f), best = job.is_first ? zero : Lanes::Load(strength);
    Lanes::Store(scale, Lanes::Chosen(tube, best, Lanes::Set(job.sigma), job.is_first ? zero : Lanes::Load(scale)));
    Lanes::Store(strength, Lanes::Larger(tube, best));
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
