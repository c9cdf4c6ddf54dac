// SPDX-License-Identifier: Apache-2.0
#include "tests/imaging/trace/trial_compare.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace fairlead {
namespace {

// Diameter in mm, mean over 1 mm of vessel around a place of the truth.
double MeanDiameter(const std::vector<TruePoint>& truth, double along_mm) {
  double sum = 0.0;
  int n = 0;
  for (int k = -5; k <= 5; ++k) {
    const double at = std::clamp(along_mm + 0.1 * k, 0.0, truth.back().along_mm);
    const auto next = std::lower_bound(truth.begin() + 1, truth.end() - 1, at, [](const TruePoint& p, double v) { return p.along_mm < v; });
    const TruePoint &b = *next, &a = *(next - 1);
    const double t = b.along_mm > a.along_mm ? (at - a.along_mm) / (b.along_mm - a.along_mm) : 0.0;
    sum += (a.wide_px + t * (b.wide_px - a.wide_px)) / (a.per_mm + t * (b.per_mm - a.per_mm));
    ++n;
  }
  return sum / n;
}

// Length in the picture between two places of the truth.
double PixelsBetween(const std::vector<TruePoint>& truth, double from_mm, double to_mm) {
  double px = 0.0;
  for (std::size_t i = 0; i + 1 < truth.size(); ++i) {
    const TruePoint &a = truth[i], &b = truth[i + 1];
    const double low = std::max(from_mm, a.along_mm), high = std::min(to_mm, b.along_mm);
    if (high > low) px += std::hypot(b.at.x - a.at.x, b.at.y - a.at.y) * (high - low) / (b.along_mm - a.along_mm);
  }
  return px;
}

// Everything else that is dark: other vessels, the vessel itself further along, catheters.
class Others {
 public:
  explicit Others(const TrialSetup& s) : own_(s.truth) {
    const Projector project(s.plan.view);
    const Moment moment = TrialMoment(s);
    for (std::size_t v = 0; v < s.scene.vessels.size(); ++v) {
      if (v != s.vessel) Add(s.scene.vessels[v].nodes, moment, project);
    }
    for (const GuideCatheter& catheter : s.scene.catheters) Add(catheter.course, moment, project);
  }
  bool Near(PixelPoint p, double within_px, double along_mm, double per_mm) const {
    for (const auto& [at, radius] : points_) {
      if (std::hypot(at.x - p.x, at.y - p.y) - radius < within_px) return true;
    }
    for (const TruePoint& t : own_) {
      if (std::abs(t.along_mm - along_mm) > 2.5 * within_px / per_mm && std::hypot(t.at.x - p.x, t.at.y - p.y) - 0.5 * t.wide_px < within_px) return true;
    }
    return false;
  }

 private:
  void Add(const std::vector<Node>& nodes, const Moment& moment, const Projector& project) {
    for (const Node& node : nodes) {
      const auto hit = project(PlaceOf(node, moment));
      points_.push_back({{hit.at.column, hit.at.row}, node.radius * hit.pixels_per_mm});
    }
  }
  std::vector<std::pair<PixelPoint, double>> points_;
  std::vector<TruePoint> own_;
};

void Compare(const TrialSetup& s, const VesselTrace& trace, TrialResult& result) {
  const Others others(s);
  std::size_t kept = 0;
  for (const TracedPoint& point : trace.points) {
    const PlaceOfTruth nearest = NearestTruth(s.truth, point.centre, s.begin > 3 ? s.begin - 3 : 0, std::min(s.end + 3, s.truth.size() - 1));
    result.off_course_mm.push_back(nearest.away_px / nearest.per_mm);
    if (point.kind != SectionKind::kMeasured) continue;
    ++kept;
    SampleError error;
    error.true_mm = MeanDiameter(s.truth, nearest.along_mm);
    error.error_mm = point.diameter_px / nearest.per_mm - error.true_mm;
    error.stated_mm = point.sd_px / nearest.per_mm;
    error.off_course_mm = nearest.away_px / nearest.per_mm;
    error.alone = !others.Near(point.centre, 2.0 * error.true_mm * nearest.per_mm, nearest.along_mm, nearest.per_mm);
    result.samples.push_back(error);
  }
  // The true line between the places nearest to the ends of the traced one.
  const auto all = std::pair{s.begin > 6 ? s.begin - 6 : 0, std::min(s.end + 6, s.truth.size() - 1)};
  const double from = NearestTruth(s.truth, trace.points.front().centre, all.first, all.second).along_mm;
  const double to = NearestTruth(s.truth, trace.points.back().centre, all.first, all.second).along_mm;
  const double between = PixelsBetween(s.truth, from, to);
  if (between > 0.0) result.course_error_share = trace.length_px / between - 1.0;
  result.kept_share = static_cast<double>(kept) / static_cast<double>(trace.points.size());
  double length = 0.0;
  for (std::size_t i = s.begin + 1; i <= s.end; ++i) length += std::hypot(s.truth[i].at.x - s.truth[i - 1].at.x, s.truth[i].at.y - s.truth[i - 1].at.y);
  const double per_mm = s.truth[(s.begin + s.end) / 2].per_mm;
  result.true_length_mm = length / per_mm;
  result.length_error_mm = (trace.length_px - length) / per_mm;
  result.length_stated_mm = trace.length_sd_px / per_mm;
}

void CompareNarrowing(const TrialSetup& s, const VesselTrace& trace, TrialResult& result) {
  if (!trace.narrowing) return;
  result.narrowing_found = true;
  double least = 1e9;
  for (double along = s.truth[s.begin].along_mm; along < s.truth[s.end].along_mm; along += 0.1) least = std::min(least, MeanDiameter(s.truth, along));
  SampleError error;
  error.true_mm = least;
  error.error_mm = trace.narrowing->least.millimetres() - least;
  error.stated_mm = trace.narrowing->least_sd.millimetres();
  result.least = error;
  result.true_stenosis_pct = 100.0 * (1.0 - least / s.healthy_least_mm);
  result.stenosis_error_pct = trace.narrowing->stenosis_pct - result.true_stenosis_pct;
  result.stenosis_stated_pct = trace.narrowing->stenosis_sd_pct;
}

}  // namespace

PlaceOfTruth NearestTruth(const std::vector<TruePoint>& truth, PixelPoint p, std::size_t from, std::size_t to) {
  PlaceOfTruth nearest;
  for (std::size_t i = from; i < to; ++i) {
    const TruePoint &a = truth[i], &b = truth[i + 1];
    const double dx = b.at.x - a.at.x, dy = b.at.y - a.at.y, l2 = dx * dx + dy * dy;
    const double t = l2 > 0.0 ? std::clamp(((p.x - a.at.x) * dx + (p.y - a.at.y) * dy) / l2, 0.0, 1.0) : 0.0;
    const double away = std::hypot(p.x - a.at.x - t * dx, p.y - a.at.y - t * dy);
    if (away < nearest.away_px) nearest = {away, a.along_mm + t * (b.along_mm - a.along_mm), a.per_mm};
  }
  return nearest;
}

TrialResult CompareWithTruth(const TrialSetup& s, bool narrowed, const Result<VesselTrace>& trace) {
  TrialResult result;
  result.vessel = s.scene.vessels[s.vessel].name;
  if (!trace.ok()) {
    result.off_course_mm.push_back(100.0);  // a refusal counts as lost
    return result;
  }
  Compare(s, *trace, result);
  if (narrowed) CompareNarrowing(s, *trace, result);
  result.asks = trace->ask.has_value();
  return result;
}

}  // namespace fairlead
