// SPDX-License-Identifier: Apache-2.0
// Invented pullbacks as the tests and benches of this room read them, and how well borders agree with the truth.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "imaging/pullback/invented.h"
#include "imaging/pullback/pullback.h"

namespace fairlead {

inline PullbackOrder OrderOf(const char* scene, Grade grade, unsigned seed, int frames, int size) {
  PullbackOrder order;
  order.scene = scene;
  order.grade = grade;
  order.seed = seed;
  order.frames = frames;
  order.size = size;
  return order;
}

inline PullbackQuestion QuestionOf(const InventedPullback& made) {
  PullbackQuestion question;
  question.stack.bytes = made.pixels;
  question.stack.rows = question.stack.columns = made.order.size;
  question.stack.frames = made.order.frames;
  question.stack.row_spacing = question.stack.column_spacing = made.order.pixel;
  question.stack.centre_x = question.stack.centre_y = 0.5 * (made.order.size - 1);
  question.mm_per_frame = made.order.speed_mm_s * made.order.frame_time.seconds();
  return question;
}

// Shared area over united area, and the area's relative error, both in polar form.
struct Agreement {
  double jaccard = 0.0, area_error = 0.0;
};
inline Agreement AgreementOf(const std::array<float, kAngles>& found, const std::array<float, kRays>& truth) {
  double both = 0.0, either = 0.0, mine = 0.0, true_area = 0.0;
  for (std::size_t k = 0; k < kAngles; ++k) {
    const double a = static_cast<double>(found[k]), b = static_cast<double>(truth[k * (kRays / kAngles)]);
    both += std::min(a, b) * std::min(a, b), either += std::max(a, b) * std::max(a, b), mine += a * a, true_area += b * b;
  }
  return {both / either, mine / true_area - 1.0};
}

inline double DegreesApart(double a, double b) { return std::abs(std::remainder(a - b, 360.0)); }

}  // namespace fairlead
