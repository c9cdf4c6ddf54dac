// SPDX-License-Identifier: Apache-2.0
#include "imaging/phantom/canvas.h"

#include <algorithm>
#include <array>
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

void Canvas::DrawTube(std::span<const TubePoint> points, bool flat_start, bool flat_end, float weight) {
  if (points.size() < 2) return;
  std::vector<float> at(points.size(), 0.0f);
  for (std::size_t i = 1; i < points.size(); ++i) {
    const float dx = points[i].x - points[i - 1].x, dy = points[i].y - points[i - 1].y;
    at[i] = at[i - 1] + std::sqrt(dx * dx + dy * dy);
  }
  // The direction of an end is taken over its own radius, or the last two points where the course is shorter.
  const std::size_t last = points.size() - 1;
  std::size_t inner_start = 1, inner_end = last - 1;
  while (inner_start < last && at[inner_start] < points[0].radius) ++inner_start;
  while (inner_end > 0 && at[last] - at[inner_end] < points[last].radius) --inner_end;
  const Cut start{points[0].x, points[0].y, points[0].x - points[inner_start].x, points[0].y - points[inner_start].y};
  const Cut end{points[last].x, points[last].y, points[last].x - points[inner_end].x, points[last].y - points[inner_end].y};
  // Further away than two diameters a piece may pass the other side of the cut: the course has turned.
  for (std::size_t i = 1; i < points.size(); ++i) {
    std::array<Cut, 2> cuts;
    std::size_t count = 0;
    if (flat_start && at[i - 1] < 4.0f * points[0].radius) cuts[count++] = start;
    if (flat_end && at[last] - at[i] < 4.0f * points[last].radius) cuts[count++] = end;
    DrawPiece(points[i - 1], points[i], std::span(cuts).first(count));
  }
  AddTube(weight);
}

void Canvas::DrawPiece(const TubePoint& a, const TubePoint& b, std::span<const Cut> cuts) {
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
      const float t = std::clamp(along, 0.0f, 1.0f);
      const float ex = px - t * dx, ey = py - t * dy;
      const float radius = a.radius + t * (b.radius - a.radius);
      const float away2 = ex * ex + ey * ey;
      if (away2 >= (radius + 0.34f) * (radius + 0.34f)) continue;
      const float x = static_cast<float>(column), y = static_cast<float>(row);
      bool outside = false;
      for (const Cut& cut : cuts) outside = outside || (x - cut.x) * cut.dx + (y - cut.y) * cut.dy > 0.0f;
      if (outside) continue;
      const float loss = (a.middle + t * (b.middle - a.middle)) * ChordShare(std::sqrt(away2), radius);
      line[column] = std::max(line[column], loss);
    }
  }
  left_ = std::min(left_, left), right_ = std::max(right_, right);
  top_ = std::min(top_, top), bottom_ = std::max(bottom_, bottom);
}

void Canvas::AddTube(float weight) {
  for (int row = top_; row <= bottom_; ++row) {
    const std::size_t start = static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_);
    for (int column = left_; column <= right_; ++column) {
      const std::size_t at = start + static_cast<std::size_t>(column);
      sums_[at] += weight * tube_[at];
      tube_[at] = 0.0f;
    }
  }
  left_ = columns_, right_ = -1, top_ = rows_, bottom_ = -1;
}

}  // namespace fairlead
