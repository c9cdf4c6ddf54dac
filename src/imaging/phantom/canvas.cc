// SPDX-License-Identifier: Apache-2.0
#include "imaging/phantom/canvas.h"

#include <algorithm>
#include <cmath>

namespace fairlead {
namespace {

// Mean chord of a disc, as a share of its diameter, over a pixel whose centre lies `distance` from its middle: three
// samples across the pixel, enough that an edge does not jump from pixel to pixel.
float ChordShare(float distance, float radius) {
  float sum = 0.0f;
  for (const float offset : {-1.0f / 3.0f, 0.0f, 1.0f / 3.0f}) {
    const float x = distance + offset;
    const float inside = radius * radius - x * x;
    if (inside > 0.0f) sum += std::sqrt(inside);
  }
  return sum / (3.0f * radius);
}

}  // namespace

Canvas::Canvas(int rows, int columns)
    : rows_(rows),
      columns_(columns),
      sums_(static_cast<std::size_t>(rows) * static_cast<std::size_t>(columns), 0.0f),
      tube_(sums_.size(), 0.0f),
      left_(columns),
      top_(rows) {}

void Canvas::Clear() { std::fill(sums_.begin(), sums_.end(), 0.0f); }

void Canvas::DrawTube(std::span<const TubePoint> points, bool flat_start, bool flat_end) {
  for (std::size_t i = 1; i < points.size(); ++i) {
    DrawPiece(points[i - 1], points[i], flat_start && i == 1, flat_end && i + 1 == points.size());
  }
  AddTube();
}

void Canvas::DrawPiece(const TubePoint& a, const TubePoint& b, bool flat_start, bool flat_end) {
  const float widest = std::max(a.radius, b.radius) + 0.5f;
  const auto low = [widest](float p, float q) { return static_cast<int>(std::floor(std::clamp(std::min(p, q) - widest, -2.0f, 1e5f))); };
  const auto high = [widest](float p, float q) { return static_cast<int>(std::ceil(std::clamp(std::max(p, q) + widest, -2.0f, 1e5f))); };
  const int left = std::max(0, low(a.x, b.x)), right = std::min(columns_ - 1, high(a.x, b.x));
  const int top = std::max(0, low(a.y, b.y)), bottom = std::min(rows_ - 1, high(a.y, b.y));
  if (left > right || top > bottom || (a.middle <= 0.0f && b.middle <= 0.0f)) return;
  const float dx = b.x - a.x, dy = b.y - a.y, length2 = dx * dx + dy * dy;
  const float per_length = length2 > 1e-6f ? 1.0f / length2 : 0.0f;
  for (int row = top; row <= bottom; ++row) {
    float* line = tube_.data() + static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_);
    const float py = static_cast<float>(row) - a.y;
    for (int column = left; column <= right; ++column) {
      const float px = static_cast<float>(column) - a.x;
      const float along = (px * dx + py * dy) * per_length;
      if ((flat_start && along < 0.0f) || (flat_end && along > 1.0f)) continue;
      const float t = std::clamp(along, 0.0f, 1.0f);
      const float ex = px - t * dx, ey = py - t * dy;
      const float radius = a.radius + t * (b.radius - a.radius);
      const float away2 = ex * ex + ey * ey;
      if (away2 >= (radius + 0.34f) * (radius + 0.34f)) continue;
      const float loss = (a.middle + t * (b.middle - a.middle)) * ChordShare(std::sqrt(away2), radius);
      if (loss > line[column]) line[column] = loss;
    }
  }
  left_ = std::min(left_, left), right_ = std::max(right_, right);
  top_ = std::min(top_, top), bottom_ = std::max(bottom_, bottom);
}

void Canvas::AddTube() {
  for (int row = top_; row <= bottom_; ++row) {
    const std::size_t start = static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_);
    for (int column = left_; column <= right_; ++column) {
      const std::size_t at = start + static_cast<std::size_t>(column);
      sums_[at] += tube_[at];
      tube_[at] = 0.0f;
    }
  }
  left_ = columns_, right_ = -1, top_ = rows_, bottom_ = -1;
}

}  // namespace fairlead
