// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include "imaging/ruler/ruler.h"
#include "imaging/ruler/shaft_fit.h"
#include "measure/source.h"

namespace fairlead {
namespace {

// The labelled French size against the measured outer diameter: spread of 0.02 to 0.03 mm between catheters of one
// label, and a true size that tends to lie below the label (source ccd-1994-catheter-label).
constexpr Length kLabelSd = Length::Millimetres(0.03);
// What remains of the edge's place after the fit (wall opacity, filling of the lumen, halo): practice, no source.
constexpr Length kEdgeSd = Length::Millimetres(0.05);
// A click by hand on an edge, per click and axis: practice, no source.
constexpr double kClickSdPx = 0.5;
// Lesion against the catheter in the ostium, along the beam: 20 mm sd at 750 mm from the source. Practice, no source.
constexpr double kDepthShare = 20.0 / 750.0;
// An empty lumen makes the shaft read wide, contrast in it narrow. Two studies of guide catheters disagree on which to
// calibrate on: -8.9 to +4 % with water and -15.5 to -3.9 % with contrast; -9.9 to -12.4 % empty and +0.4 to +1.0 %
// filled in modern low-opacity ones. The fit weighs what the bore may hold; no less than this remains.
constexpr double kFillingShare = 0.035;
// Narrower than this an empty bore does not show, and costs that much: computed, the test draws them.
constexpr double kNarrowPx = 7.0, kNarrowShare = 0.15;
// Beyond this residual (share of the shaft's contrast) the edges are not believed: practice, no source.
constexpr double kWorstResidual = 0.10;

double Distance(PixelPoint a, PixelPoint b) { return std::hypot(b.x - a.x, b.y - a.y); }

std::string FrenchText(Length catheter) { return fmt::format("{:.3g} French", catheter.french()); }

std::optional<Error> Check(PixelPoint a, PixelPoint b, Length catheter) {
  for (double v : {a.x, a.y, b.x, b.y})
    if (!std::isfinite(v)) return Error{"a click has no place", "points", "click the catheter again"};
  if (!(catheter >= Length::French(3.99) && catheter <= Length::French(10.01)))
    return Error{"a catheter of " + FrenchText(catheter) + " is not expected here", "french", "give a size from 4 to 10 French"};
  return std::nullopt;
}

// Pixel size and its parts from a width in pixels known to width_sd_px.
PixelSize FromWidth(double width_px, double width_sd_px, Length edge_sd, Length catheter) {
  PixelSize size;
  size.per_pixel = catheter / width_px;
  size.parts = {{"catheter's true size against its label", kLabelSd / width_px},
                {"place of the catheter's edges", size.per_pixel * std::hypot(width_sd_px / width_px, edge_sd / catheter)},
                {"depth of the lesion against the catheter", size.per_pixel * kDepthShare}};
  size.sd = RootSumOfSquares(size.parts);
  size.sources = {"ccd-1994-catheter-label"_source, "practice"_source};
  return size;
}

// Values across the line a-b at distance s from a, shifted sideways by `shift` pixels.
std::vector<double> Across(const GreyFrame& frame, PixelPoint a, PixelPoint b, double s, double shift, int reach) {
  const double length = Distance(a, b);
  const double ux = (b.x - a.x) / length, uy = (b.y - a.y) / length;
  std::vector<double> values(static_cast<std::size_t>(2 * reach + 1));
  for (int t = -reach; t <= reach; ++t) {
    const double across = t + shift;
    values[static_cast<std::size_t>(t + reach)] = ValueAt(frame, a.x + s * ux - across * uy, a.y + s * uy + across * ux);
  }
  return values;
}

// A stretch of the shaft: pixels from `from` up to, not including, `to`, counted from the first click.
struct Stretch {
  std::size_t from, to;
};

// Mean of the profiles of a stretch, each shifted by the course found so far.
ShaftProfile MeanProfile(const GreyFrame& frame, PixelPoint a, PixelPoint b, std::span<const double> course, Stretch stretch,
                    int reach) {
  const auto [from, to] = stretch;
  ShaftProfile mean{std::vector<double>(static_cast<std::size_t>(2 * reach + 1), 0.0), reach};
  for (std::size_t s = from; s < to; ++s) {
    const auto row = Across(frame, a, b, static_cast<double>(s), course[s], reach);
    for (std::size_t i = 0; i < row.size(); ++i) mean.values[i] += row[i] / static_cast<double>(to - from);
  }
  return mean;
}

// Sideways shift that lays `row` best on `mean`, within +-2 pixels of `start`.
double BestShift(const GreyFrame& frame, PixelPoint a, PixelPoint b, double s, double start, const ShaftProfile& mean) {
  double best = start, least = std::numeric_limits<double>::infinity();
  for (double shift = start - 2.0; shift <= start + 2.0; shift += 0.25) {
    double cost = 0.0;
    for (double ds : {-2.0, -1.0, 0.0, 1.0, 2.0}) {
      const auto row = Across(frame, a, b, s + ds, shift, mean.reach);
      for (std::size_t i = 0; i < row.size(); ++i) cost += (row[i] - mean.values[i]) * (row[i] - mean.values[i]);
    }
    if (cost < least) least = cost, best = shift;
  }
  return best;
}

// The shaft's sideways course between the clicks: from the middle outwards each place is laid on the mean so far.
std::vector<double> FollowShaft(const GreyFrame& frame, PixelPoint a, PixelPoint b, int reach) {
  const auto n = static_cast<std::size_t>(Distance(a, b)) + 1;
  std::vector<double> course(n, 0.0);
  const std::size_t middle = n / 2, core = std::max<std::size_t>(3, n / 10);
  const ShaftProfile mean = MeanProfile(frame, a, b, course, {middle - std::min(middle, core), std::min(n, middle + core)}, reach);
  for (std::size_t s = middle; s + 1 < n; ++s)
    course[s + 1] = BestShift(frame, a, b, static_cast<double>(s + 1), course[s], mean);
  for (std::size_t s = middle; s > 0; --s)
    course[s - 1] = BestShift(frame, a, b, static_cast<double>(s - 1), course[s], mean);
  return course;
}

struct Seen {
  ShaftWidth width;
  double scatter = 0.0;  // of the width, pixels
};

// Nothing if what lies within `reach` of the line is no shaft with two clear edges.
std::optional<Seen> SeeShaft(const GreyFrame& frame, PixelPoint a, PixelPoint b, int reach) {
  const std::vector<double> course = FollowShaft(frame, a, b, reach);
  const ShaftWidth width = FitShaft(MeanProfile(frame, a, b, course, {0, course.size()}, reach));
  if (!(width.best.depth > 0.0) || std::sqrt(width.best.cost) > kWorstResidual * width.best.depth) return std::nullopt;
  // Four stretches of the shaft are fitted apart: their scatter is what noise and curvature leave.
  constexpr std::size_t kStretches = 4;
  double sum = 0.0, squares = 0.0;
  for (std::size_t k = 0; k < kStretches; ++k) {
    const Stretch stretch = {k * course.size() / kStretches, (k + 1) * course.size() / kStretches};
    const double each = 2.0 * RefineShaft(MeanProfile(frame, a, b, course, stretch, reach), width.best).radius;
    sum += each;
    squares += each * each;
  }
  const double mean = sum / kStretches;
  const double scatter = std::sqrt(std::max(0.0, squares / kStretches - mean * mean) / (kStretches - 1));
  if (scatter > 0.25 * width.radius) return std::nullopt;
  return Seen{width, scatter};
}

}  // namespace

double ValueAt(const GreyFrame& frame, double x, double y) {
  const auto value = [&frame](int column, int row) {
    const auto at = static_cast<std::size_t>(std::clamp(row, 0, frame.rows - 1)) * static_cast<std::size_t>(frame.columns) +
                    static_cast<std::size_t>(std::clamp(column, 0, frame.columns - 1));
    if (frame.bytes_per_value == 1) return static_cast<double>(frame.bytes[at]);
    return static_cast<double>(frame.bytes[2 * at]) + 256.0 * static_cast<double>(frame.bytes[2 * at + 1]);
  };
  const double cx = std::clamp(x, 0.0, frame.columns - 1.0), cy = std::clamp(y, 0.0, frame.rows - 1.0);
  const int x0 = static_cast<int>(cx), y0 = static_cast<int>(cy);
  const double fx = cx - x0, fy = cy - y0;
  return (1 - fy) * ((1 - fx) * value(x0, y0) + fx * value(x0 + 1, y0)) +
         fy * ((1 - fx) * value(x0, y0 + 1) + fx * value(x0 + 1, y0 + 1));
}

Result<PixelSize> PixelSizeAcross(PixelPoint a, PixelPoint b, Length catheter) {
  if (const auto error = Check(a, b, catheter)) return *error;
  const double width = Distance(a, b);
  if (width < 2.0) return Error{"the two clicks lie on each other", "points", "click the two edges of the catheter"};
  PixelSize size = FromWidth(width, std::numbers::sqrt2 * kClickSdPx, Length{}, catheter);
  size.method = "catheter " + FrenchText(catheter) + ", two clicks on its edges";
  size.warnings.emplace_back("Two clicks on the edges are coarse; dragging along the shaft lets the program find the edges.");
  return size;
}

Result<PixelSize> PixelSizeAlong(const GreyFrame& frame, PixelPoint a, PixelPoint b, Length catheter) {
  if (const auto error = Check(a, b, catheter)) return *error;
  for (const PixelPoint& p : {a, b})
    if (p.x < 0 || p.y < 0 || p.x > frame.columns - 1 || p.y > frame.rows - 1)
      return Error{"a click lies outside the picture", "points", "click on the catheter"};
  const double along = Distance(a, b);
  if (along < 12.0)
    return Error{"the two clicks are too close to follow the shaft", "points", "drag along at least 12 pixels of the catheter"};
  // The widest window that shows a shaft and a straight background: beside another catheter or a rib only a narrow one does.
  std::optional<Seen> seen;
  int last = 0;
  for (const double widest : {24.0, 18.0, 14.0, 11.0}) {
    const int reach = static_cast<int>(std::clamp(0.5 * along, 10.0, widest));
    if (reach == last) continue;
    last = reach;
    seen = SeeShaft(frame, a, b, reach);
    if (seen) break;
  }
  if (!seen)
    return Error{"no catheter with two clear edges lies between the clicks", "points",
                 "drag along a straight, well seen piece of the shaft, away from vessels and ribs"};
  PixelSize size = FromWidth(2.0 * seen->width.radius, seen->scatter, kEdgeSd, catheter);
  const double width = 2.0 * seen->width.radius;
  const double least = width < kNarrowPx ? kNarrowShare : kFillingShare;
  const double share = std::max(least, seen->width.radius_sd / seen->width.radius);
  if (width < kNarrowPx)
    size.warnings.emplace_back("The shaft is too narrow in this picture to see whether it is filled: take the size by geometry, or a wider catheter.");
  size.parts.push_back({"wall and filling of the catheter, not known", size.per_pixel * share});
  size.sd = RootSumOfSquares(size.parts);
  size.sources.insert(size.sources.end(), {"ccd-1994-catheter-filling"_source, "invest-radiol-2001-catheter"_source});
  size.method = "catheter " + FrenchText(catheter) + ", along the shaft";
  return size;
}

void CompareSizes(PixelSize& size, const PixelSize& by_geometry) {
  constexpr double kTooFar = 2.0;  // practice, no source: 1 in 20 sound pairs
  const double apart = size.per_pixel / by_geometry.per_pixel - 1.0;
  const double sd = std::hypot(size.sd / size.per_pixel, by_geometry.sd / by_geometry.per_pixel);
  if (std::abs(apart) <= kTooFar * sd) return;
  size.warnings.push_back(fmt::format(
      "This is {:.0f} % {} than the picture's geometry gives ({:.3f} mm): look whether one catheter of that size lies "
      "between the clicks, alone.",
      100.0 * std::abs(apart), apart < 0.0 ? "less" : "more", by_geometry.per_pixel.millimetres()));
}

}  // namespace fairlead
