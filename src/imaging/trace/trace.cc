// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/trace.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

#include "imaging/trace/doubt.h"
#include "imaging/trace/turning_path.h"
#include "imaging/trace/warnings.h"

namespace fairlead {
namespace {

// A click by hand along the vessel, per click: practice, no source (as for the ruler).
constexpr double kClickSdPx = 1.0;
// A length's variance: of the clicks'; of its own square; of the squares of what another shadow hides and of what is not
// seen of it; of its own square again while one more click is asked for and not given.
constexpr double kOfClicks = 1.0, kOfLength = 0.00008, kOfInterpolated = 0.002, kOfNotSeen = 0.01, kOfAsked = 0.0009;
constexpr double kOneLook = 100.0;     // pixels over which the errors of neighbouring diameters stay alike
constexpr double kDoubted = 0.2;         // of a diameter: chosen on phantoms of seeds 3001 to 3060
constexpr double kOtherLumen = 0.1;      // of a diameter, that it would change by: chosen on seeds 13001 to 13200
constexpr double kMostInterpolated = 0.75; // of what is seen: chosen
constexpr double kNothingMeasured = 0.9; // of the length: chosen
constexpr int kLeastSide = 16;           // pixels: a vessel and its background

std::optional<Error> Check(const Picture& picture, const TraceRequest& request) {
  if (picture.rows < kLeastSide || picture.columns < kLeastSide) {
    return Error{fmt::format("a picture of {} x {} pixels is too small to trace a vessel in", picture.columns, picture.rows), "picture", "choose a frame of at least 16 x 16 pixels"};
  }
  const auto [least, most] = std::minmax_element(picture.values.begin(), picture.values.end());
  if (*least == *most) return Error{"every pixel of this frame has the same grey, so no vessel can be seen", "frame", "choose a frame with contrast"};
  if (request.through.size() < 2 || request.through.size() > 40) {
    return Error{"a trace goes through 2 to 40 points", "through", "click the start and the end of the vessel, and between them where it needs help"};
  }
  for (const PixelPoint& p : request.through) {
    if (!std::isfinite(p.x) || !std::isfinite(p.y)) return Error{"a point has no place", "through", "click it again"};
    if (p.x < -0.5 || p.y < -0.5 || p.x > picture.columns - 0.5 || p.y > picture.rows - 0.5) {
      return Error{"a point lies outside the picture", "through", fmt::format("the picture has columns 0 to {} and rows 0 to {}", picture.columns - 1, picture.rows - 1)};
    }
  }
  if (request.pixel && (!(request.pixel->per_pixel > Length{}) || request.pixel->sd < Length{})) {
    return Error{"the size of a pixel is not known", "pixel_size", "calibrate on a catheter first"};
  }
  return std::nullopt;
}

Pixel Rounded(const Picture& picture, PixelPoint p) {
  return {std::clamp(static_cast<int>(std::lround(p.x)), 0, picture.columns - 1), std::clamp(static_cast<int>(std::lround(p.y)), 0, picture.rows - 1)};
}

// Radius that the vesselness expects along a path.
double ExpectedRadius(const Vesselness& vesselness, std::span<const Pixel> path) {
  std::vector<float> scales;
  for (const Pixel& p : path) {
    const float scale = vesselness.scale[static_cast<std::size_t>(p.row) * static_cast<std::size_t>(vesselness.columns) + static_cast<std::size_t>(p.column)];
    if (scale > 0.0f) scales.push_back(scale);
  }
  if (scales.empty()) return 2.0;
  const auto upper = scales.begin() + static_cast<std::ptrdiff_t>(scales.size() * 3 / 4);
  std::nth_element(scales.begin(), upper, scales.end());
  return static_cast<double>(*upper) * kRadiusOfScale;
}

void SetPoints(VesselTrace& trace, const Edges& edges, std::span<const PixelPoint> centre, std::span<const PlaceSigns> signs) {
  double along = 0.0;
  for (std::size_t i = 0; i < edges.sections.size(); ++i) {
    const CrossSection& s = edges.sections[i];
    const auto at = [&s](double across) { return PixelPoint{s.on_course.x + across * s.normal.x, s.on_course.y + across * s.normal.y}; };
    if (i > 0) along += std::hypot(centre[i].x - centre[i - 1].x, centre[i].y - centre[i - 1].y);
    trace.points.push_back({centre[i], at(s.left), at(s.right), along, signs[i].wide, DiameterSd(signs[i]), s.kind});
    const double step = i > 0 ? along - trace.points[i - 1].along_px : 0.0;
    if (s.kind == SectionKind::kNotSeen) trace.not_seen_px += step;
    if (s.kind == SectionKind::kInterpolated) trace.interpolated_px += step;
  }
  trace.length_px = along;
  trace.blur_px = edges.blur, trace.blur_assumed = edges.blur_assumed;
  trace.shared_sd_px = 2.0 * edges.shared_radius_sd;
}

bool Counts(const TracedPoint& point) { return point.kind == SectionKind::kMeasured || point.kind == SectionKind::kByHand; }

// Where next to all that is seen follows other shadows, the few places that were measured may be those of another vessel: none of
// them counts as measured, as no diameter is given. What the reader drew stays.
void TrustNoneOfAFew(VesselTrace& trace) {
  if (!(trace.interpolated_px > kMostInterpolated * (trace.length_px - trace.not_seen_px))) return;
  for (TracedPoint& p : trace.points) {
    if (p.kind == SectionKind::kMeasured) p.kind = SectionKind::kInterpolated;
  }
}

void SetLengthSd(VesselTrace& trace) {
  const double own = kOfLength + (trace.ask ? kOfAsked : 0.0);
  trace.length_sd_px = std::sqrt(kOfClicks * 2.0 * kClickSdPx * kClickSdPx + own * trace.length_px * trace.length_px +
                                 kOfInterpolated * trace.interpolated_px * trace.interpolated_px + kOfNotSeen * trace.not_seen_px * trace.not_seen_px +
                                 trace.runs_back_px * trace.runs_back_px);
}

// Not on the way from an end that was clicked beside the vessel.
bool BetweenEnds(const VesselTrace& trace, const TracedPoint& point) {
  return point.along_px >= trace.beside.first_px && point.along_px <= trace.length_px - trace.beside.last_px;
}

bool OnVessel(const VesselTrace& trace, const TracedPoint& point) { return Counts(point) && BetweenEnds(trace, point); }

// Most of what lies between the ends was measured.
bool FollowsAVessel(const VesselTrace& trace) {
  double all = 0.0, measured = 0.0;
  for (const TracedPoint& p : trace.points) {
    if (!BetweenEnds(trace, p)) continue;
    all += 1.0, measured += Counts(p) ? 1.0 : 0.0;
  }
  return measured >= (1.0 - kMostUnmeasured) * all;
}

// Where no edge was measured, its diameter is known to no better than a fifth, or another lumen may as well be ours.
std::vector<bool> InDoubt(const VesselTrace& trace, std::span<const PlaceSigns> signs) {
  std::vector<bool> doubted;
  for (std::size_t i = 0; i < trace.points.size(); ++i) {
    const TracedPoint& p = trace.points[i];
    doubted.push_back(!Counts(p) || p.sd_px > kDoubted * p.diameter_px || signs[i].otherwise > kOtherLumen * p.diameter_px);
  }
  return doubted;
}

void SetLength(VesselTrace& trace) {
  const PixelSize& pixel = *trace.pixel;
  // The ruler's own parts for a straight line of that length, its clicks replaced by those of the trace.
  const std::vector<PixelPoint> ends{{0.0, 0.0}, {trace.length_px, 0.0}};
  auto length = MeasureLength(ends, pixel);
  if (!length.ok()) return;
  for (auto& part : length->reading.parts) {
    if (part.name == "clicks") part.sd = pixel.per_pixel * trace.length_sd_px, part.name = "clicks, and what is not seen of the course";
  }
  length->reading.sd = RootSumOfSquares(length->reading.parts);
  length->reading.origin.method = std::string(kTraceMethod) + ", one view; " + pixel.method;
  trace.length = std::move(*length);
}

void SetMean(VesselTrace& trace) {
  double sum = 0.0, weights = 0.0;  // each by its own sd, so that doubted places say little
  int n = 0;
  for (const TracedPoint& p : trace.points) {
    if (!OnVessel(trace, p)) continue;
    const double weight = 1.0 / std::max(1e-6, p.sd_px * p.sd_px);
    sum += weight * p.diameter_px, weights += weight;
    ++n;
  }
  if (n < 3) return;
  const PixelSize& pixel = *trace.pixel;
  Reading<Length> mean;
  mean.value = pixel.per_pixel * (sum / weights);
  const double looks = std::max(1.0, n / kOneLook);
  mean.parts = {{"edges", pixel.per_pixel * std::sqrt(n / weights / looks)}, {"size of a pixel", mean.value * (pixel.sd / pixel.per_pixel)}};
  mean.sd = RootSumOfSquares(mean.parts);
  mean.origin.method = std::string(kTraceMethod) + "; " + pixel.method;
  trace.mean = std::move(mean);
}

// None is looked for within a radius of an end: there the click may stand on a catheter's tip, a cap or an ostium.
void SetNarrowing(VesselTrace& trace, std::span<const HealthyStretch> healthy, double radius) {
  std::vector<ProfilePoint> profile;
  const auto inside = [&](const TracedPoint& p) { return OnVessel(trace, p) && p.along_px >= radius && p.along_px <= trace.length_px - radius; };
  const Length pixel = trace.pixel->per_pixel;
  for (const TracedPoint& p : trace.points) profile.push_back({pixel * p.along_px, pixel * p.diameter_px, pixel * p.sd_px, inside(p)});
  auto narrowing = NarrowingOf(profile, healthy);
  if (narrowing.ok()) trace.narrowing = *narrowing;
  else trace.warnings.push_back("No narrowing is given: " + Sentence(narrowing.error()) + ".");
}

}  // namespace

Result<VesselTrace> TraceVessel(const Picture& picture, const Vesselness& vesselness, const TraceRequest& request) {
  if (const auto error = Check(picture, request)) return *error;
  VesselTrace trace;
  std::vector<Pixel> stops;
  for (const PixelPoint& click : request.through) {
    const Pixel stop = request.snap ? SnapToRidge(vesselness, click) : Rounded(picture, click);
    if (stops.empty() || !(stop == stops.back())) stops.push_back(stop);
    trace.through.push_back({static_cast<double>(stop.column), static_cast<double>(stop.row)});
  }
  const CostMap cost = CostOf(vesselness);
  const std::vector<Pixel> path = stops.size() > 1 ? SmoothestPath(cost, stops) : std::vector<Pixel>{};
  if (path.size() < 8) return Error{"the points lie on each other", "through", "click the start and the end of the vessel, at least 8 pixels apart"};
  const double expected = ExpectedRadius(vesselness, path);
  // The course by the ridge finds the edges; their middle is the better course, and the edges are found once more on it.
  Edges edges = FindEdges(picture, AlongRidge(vesselness, path), expected, request.through);
  edges = FindEdges(picture, Evenly(MiddleOf(edges), 1.0), edges.usual_radius, request.through);
  const Course centre = MiddleOf(edges);
  DrawEdges(edges, request.brush);
  trace.pixel = request.pixel;
  const std::vector<PlaceSigns> signs = SignsOf(edges, centre, vesselness);
  SetPoints(trace, edges, centre, signs);
  trace.ask = SecondRoute(cost, stops, path, edges.usual_radius);
  if (!trace.ask) trace.ask = SharpCorner(path, stops);
  if (!trace.ask) trace.ask = DoubtedStretch(InDoubt(trace, signs), centre, request.through);
  if (trace.ask) trace.ask->at = {std::clamp(trace.ask->at.x, 0.0, picture.columns - 1.0), std::clamp(trace.ask->at.y, 0.0, picture.rows - 1.0)};
  trace.runs_back_px = RunsBackPx(path, edges.usual_radius);
  trace.beside = EndsBeside(path, edges.usual_radius);
  SetLengthSd(trace);
  const bool followed = FollowsAVessel(trace);
  if (trace.pixel) {
    SetLength(trace);
    if (followed) SetMean(trace), SetNarrowing(trace, request.healthy, edges.usual_radius);
  }
  AddWarnings(trace, picture, followed);
  TrustNoneOfAFew(trace);
  // Where next to nothing was measured, one more click would not help.
  if (trace.not_seen_px + trace.interpolated_px > kNothingMeasured * trace.length_px) trace.ask.reset();
  return trace;
}

Reading<Length> DiameterAt(const VesselTrace& trace, std::size_t point) {
  const TracedPoint& p = trace.points[point];
  Reading<Length> reading;
  reading.value = trace.pixel->per_pixel * p.diameter_px;
  reading.parts = {{"edges", trace.pixel->per_pixel * p.sd_px}, {"size of a pixel", trace.pixel->sd * p.diameter_px}};
  reading.sd = RootSumOfSquares(reading.parts);
  reading.origin.method = std::string(kTraceMethod) + "; " + trace.pixel->method;
  return reading;
}

}  // namespace fairlead
