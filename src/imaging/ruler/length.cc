// SPDX-License-Identifier: Apache-2.0
#include <cmath>
#include <numbers>

#include "imaging/ruler/ruler.h"

namespace fairlead {
namespace {

// A click by hand on a cap or along a course, per click and axis: practice, no source.
constexpr double kClickSdPx = 1.0;
// How far a line that a reader chose to measure leans out of the picture, sd: practice, no source.
constexpr Angle kLeanSd = Angle::Degrees(15.0);

// The true length is L / cos(lean). For a lean of N(0, s) the excess is lean^2/2 to second order, whose root mean
// square is sqrt(3)/2 s^2.
double LeanShare() { return std::sqrt(3.0) / 2.0 * kLeanSd.radians() * kLeanSd.radians(); }

struct Step {
  double x, y, length;
};

Step Towards(PixelPoint from, PixelPoint to) {
  const double dx = to.x - from.x, dy = to.y - from.y, length = std::hypot(dx, dy);
  return length > 0.0 ? Step{dx / length, dy / length, length} : Step{0.0, 0.0, 0.0};
}

}  // namespace

Result<MeasuredLength> MeasureLength(std::span<const PixelPoint> points, const PixelSize& pixel) {
  if (points.size() < 2 || points.size() > 200)
    return Error{"a length needs 2 to 200 points", "points", "click the two caps, and the course between them if it bends"};
  for (const PixelPoint& p : points)
    if (!std::isfinite(p.x) || !std::isfinite(p.y)) return Error{"a point has no place", "points", "click it again"};
  if (!(pixel.per_pixel > Length{}) || pixel.sd < Length{})
    return Error{"the size of a pixel is not known", "pixel_size", "calibrate on a catheter first"};

  // dL/dp of each point is the difference of the unit steps into and out of it; its square, summed, carries the clicks.
  double length_px = 0.0, gradient_squared = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Step in = i > 0 ? Towards(points[i - 1], points[i]) : Step{0, 0, 0};
    const Step out = i + 1 < points.size() ? Towards(points[i], points[i + 1]) : Step{0, 0, 0};
    length_px += out.length;
    gradient_squared += (in.x - out.x) * (in.x - out.x) + (in.y - out.y) * (in.y - out.y);
  }
  if (!(length_px > 0.0)) return Error{"the points lie on each other", "points", "click the two caps"};

  MeasuredLength measured;
  Reading<Length>& reading = measured.reading;
  reading.value = pixel.per_pixel * length_px;
  reading.parts = {{"clicks", pixel.per_pixel * (kClickSdPx * std::sqrt(gradient_squared))},
                   {"size of a pixel", reading.value * (pixel.sd / pixel.per_pixel)},
                   {"lean out of the picture (assumed within 15 degrees)", reading.value * LeanShare()}};
  reading.sd = RootSumOfSquares(reading.parts);
  reading.origin.method = "ruler, one view; " + pixel.method;
  measured.warnings = {"One view: the true length is this or longer. A line that leans 30 degrees out of the picture is "
                       "15 % longer than it looks, at 45 degrees 41 %. A second view decides."};
  return measured;
}

}  // namespace fairlead
