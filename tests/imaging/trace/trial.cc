// SPDX-License-Identifier: Apache-2.0
#include "tests/imaging/trace/trial.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "imaging/phantom/random.h"
#include "imaging/phantom/scene.h"
#include "tests/imaging/trace/other_runs.h"

namespace fairlead {
namespace {

struct TruePoint {
  PixelPoint at;
  double wide_px = 0.0, per_mm = 1.0, along_mm = 0.0;
};

struct Setup {
  Scene scene;
  RunPlan plan;
  std::size_t vessel = 0;
  std::size_t first = 0, last = 0;   // nodes of the stretch
  std::vector<TruePoint> truth;      // of the stretch and a little beyond
  std::size_t begin = 0, end = 0;    // of the stretch in `truth`
  double healthy_least_mm = 0.0;     // diameter where the narrowing is deepest, without it
  double narrow_at_mm = 0.0;
};

constexpr std::array<std::string_view, 3> kScenes = {"open-left", "open-right", "open-left"};

void Narrow(Vessel& vessel, std::size_t middle, double depth, double width_mm) {
  double along = 0.0;
  std::vector<double> at(vessel.nodes.size(), 0.0);
  for (std::size_t i = 1; i < vessel.nodes.size(); ++i) at[i] = along += Norm(vessel.nodes[i].at - vessel.nodes[i - 1].at);
  for (std::size_t i = 0; i < vessel.nodes.size(); ++i) {
    const double off = (at[i] - at[middle]) / width_mm;
    vessel.nodes[i].radius *= 1.0 - depth * std::exp(-0.5 * off * off);
  }
}

std::vector<TruePoint> Truth(const Vessel& vessel, const Moment& moment, const Projector& project) {
  std::vector<TruePoint> truth;
  double along = 0.0;
  for (std::size_t i = 0; i < vessel.nodes.size(); ++i) {
    const Vec3 here = PlaceOf(vessel.nodes[i], moment);
    if (i > 0) along += Norm(here - PlaceOf(vessel.nodes[i - 1], moment));
    const auto hit = project(here);
    truth.push_back({{hit.at.column, hit.at.row}, 2.0 * vessel.nodes[i].radius * hit.pixels_per_mm, hit.pixels_per_mm, along});
  }
  return truth;
}

Moment MomentOf(const Setup& s) { return MomentAt(s.scene, s.plan.frame_time * (s.plan.frames - 1), s.plan.grade != Grade::kClean); }

bool InsidePicture(const TruePoint& p, const View& view) {
  return p.at.x > 25 && p.at.y > 20 && p.at.x < view.columns - 25 && p.at.y < view.rows - 20;
}

// A stretch of 20 to 40 mm that is inside the picture, at least 1 mm wide, and not seen end-on.
bool ChooseStretch(Setup& s, SeededRandom& random) {
  const Vessel& vessel = s.scene.vessels[s.vessel];
  const auto truth = Truth(vessel, MomentOf(s), Projector(s.plan.view));
  const double wanted = random.Within(20.0, 40.0), total = truth.back().along_mm;
  if (total < wanted + 6.0) return false;
  const double from = random.Within(3.0, total - wanted - 3.0);
  s.first = s.last = 0;
  double px = 0.0;
  for (std::size_t i = 0; i < truth.size(); ++i) {
    if (truth[i].along_mm < from) s.first = i + 1;
    if (truth[i].along_mm <= from + wanted) s.last = i;
  }
  for (std::size_t i = s.first; i <= s.last; ++i) {
    if (!InsidePicture(truth[i], s.plan.view) || truth[i].wide_px < truth[i].per_mm * 0.8) return false;
    if (i > s.first) px += std::hypot(truth[i].at.x - truth[i - 1].at.x, truth[i].at.y - truth[i - 1].at.y);
  }
  const double seen = px / truth[s.first].per_mm;
  return seen > 0.7 * wanted;
}

std::optional<Setup> SetUp(const TrialOrder& order) {
  SeededRandom random(order.seed * 1000003 + static_cast<std::uint64_t>(order.grade) * 77 + (order.narrowed ? 5 : 0));
  for (int attempt = 0; attempt < 40; ++attempt) {
    Setup s;
    const std::uint64_t tree = random.Next() % 100000;  // drawn first, so that a seed's run stays the same with every compiler
    auto scene = MakeScene(order.other ? OtherSceneName(random) : kScenes[random.Next() % kScenes.size()], tree);
    if (!scene.ok()) return std::nullopt;
    s.scene = std::move(*scene);
    const double primary = random.Within(-45.0, 55.0);
    s.plan.view = UsualView(Angle::Degrees(primary), Angle::Degrees(random.Within(-30.0, 30.0)));
    for (const GuideCatheter& catheter : s.scene.catheters) s.plan.injections.push_back({catheter.ostium, Duration{}, Duration::Seconds(3.0)});
    s.plan.frames = 2;
    s.plan.frame_time = Duration::Milliseconds(random.Within(850.0, 1000.0));
    s.plan.grade = order.grade;
    s.plan.seed = random.Next() % 1000000;
    if (order.other) MakeOther(s.scene, s.plan, random);
    std::vector<std::size_t> arteries;
    for (std::size_t v = 0; v < s.scene.vessels.size(); ++v) {
      const Vessel& vessel = s.scene.vessels[v];
      const bool filled = std::any_of(s.scene.catheters.begin(), s.scene.catheters.end(), [](const GuideCatheter&) { return true; });
      if (vessel.kind == VesselKind::kArtery && filled && vessel.nodes.size() > 40 && vessel.nodes.front().radius > 0.7) arteries.push_back(v);
    }
    if (arteries.empty()) continue;
    s.vessel = arteries[random.Next() % arteries.size()];
    if (!ChooseStretch(s, random)) continue;
    if (order.other && !FilledBetween(s.scene, s.vessel, s.first, s.last)) continue;
    if (order.narrowed) {
      const std::size_t middle = s.first + (s.last - s.first) * 2 / 5 + random.Next() % std::max<std::size_t>(1, (s.last - s.first) / 5);
      s.healthy_least_mm = 2.0 * s.scene.vessels[s.vessel].nodes[middle].radius;
      Narrow(s.scene.vessels[s.vessel], middle, random.Within(0.25, 0.6), random.Within(1.5, 3.0));
    }
    s.truth = Truth(s.scene.vessels[s.vessel], MomentOf(s), Projector(s.plan.view));
    s.begin = s.first, s.end = s.last;
    return s;
  }
  return std::nullopt;
}

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

struct Nearest {
  double away_px = 1e9, along_mm = 0.0, per_mm = 1.0;
};

Nearest NearestOf(const std::vector<TruePoint>& truth, PixelPoint p, std::size_t from, std::size_t to) {
  Nearest nearest;
  for (std::size_t i = from; i < to; ++i) {
    const TruePoint &a = truth[i], &b = truth[i + 1];
    const double dx = b.at.x - a.at.x, dy = b.at.y - a.at.y, l2 = dx * dx + dy * dy;
    const double t = l2 > 0.0 ? std::clamp(((p.x - a.at.x) * dx + (p.y - a.at.y) * dy) / l2, 0.0, 1.0) : 0.0;
    const double away = std::hypot(p.x - a.at.x - t * dx, p.y - a.at.y - t * dy);
    if (away < nearest.away_px) nearest = {away, a.along_mm + t * (b.along_mm - a.along_mm), a.per_mm};
  }
  return nearest;
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
  explicit Others(const Setup& s) : own_(s.truth) {
    const Projector project(s.plan.view);
    const Moment moment = MomentOf(s);
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

std::optional<TrialPicture> Render(const Setup& s) {
  const auto run = RenderRun(s.scene, s.plan);
  if (!run.ok()) return std::nullopt;
  TrialPicture picture;
  picture.rows = s.plan.view.rows, picture.columns = s.plan.view.columns;
  const std::size_t size = static_cast<std::size_t>(picture.rows) * static_cast<std::size_t>(picture.columns);
  picture.bytes_per_value = s.plan.bits_stored > 8 ? 2 : 1;
  for (std::size_t i = 0; i < size; ++i) {
    const std::uint16_t value = run->pixels[size * static_cast<std::size_t>(s.plan.frames - 1) + i];
    picture.bytes.push_back(static_cast<std::uint8_t>(value & 0xff));
    if (picture.bytes_per_value == 2) picture.bytes.push_back(static_cast<std::uint8_t>(value >> 8));
  }
  picture.inside = {run->left + 2, run->right - 2, run->top + 2, run->bottom - 2};
  return picture;
}

std::vector<PixelPoint> Clicks(const Setup& s, const TrialOrder& order) {
  SeededRandom random(order.seed * 31 + 7);
  std::vector<std::size_t> at{s.begin};
  if (s.truth[s.end].along_mm - s.truth[s.begin].along_mm > 27.0) at.push_back((s.begin + s.end) / 2);
  at.push_back(s.end);
  std::vector<PixelPoint> clicks;
  for (const std::size_t i : at) {
    const double dx = order.click_sd_px * static_cast<double>(random.Noise());
    clicks.push_back({s.truth[i].at.x + dx, s.truth[i].at.y + order.click_sd_px * static_cast<double>(random.Noise())});
  }
  return clicks;
}

// One more click where the tool asks for it: on the true course at the place nearest to the one named, as badly as the others.
std::vector<PixelPoint> Answered(const Setup& s, const TrialOrder& order, std::vector<PixelPoint> clicks, PixelPoint asked, int more) {
  SeededRandom random(order.seed * 31 + 1000 + static_cast<std::uint64_t>(more));
  const double along = NearestOf(s.truth, asked, s.begin, s.end).along_mm;
  std::size_t at = s.begin;
  while (at < s.end && s.truth[at].along_mm < along) ++at;
  const double dx = order.click_sd_px * static_cast<double>(random.Noise());
  const PixelPoint click{s.truth[at].at.x + dx, s.truth[at].at.y + order.click_sd_px * static_cast<double>(random.Noise())};
  const auto along_of = [&](PixelPoint p) { return NearestOf(s.truth, p, s.begin, s.end).along_mm; };
  clicks.insert(std::find_if(clicks.begin() + 1, clicks.end() - 1, [&](PixelPoint p) { return along_of(p) > along; }), click);
  return clicks;
}

void Compare(const Setup& s, const VesselTrace& trace, TrialResult& result) {
  const Others others(s);
  std::size_t kept = 0;
  for (const TracedPoint& point : trace.points) {
    const Nearest nearest = NearestOf(s.truth, point.centre, s.begin > 3 ? s.begin - 3 : 0, std::min(s.end + 3, s.truth.size() - 1));
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
  const double from = NearestOf(s.truth, trace.points.front().centre, all.first, all.second).along_mm;
  const double to = NearestOf(s.truth, trace.points.back().centre, all.first, all.second).along_mm;
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

void CompareNarrowing(const Setup& s, const VesselTrace& trace, TrialResult& result) {
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

TrialResult Compared(const Setup& s, const TrialOrder& order, const Result<VesselTrace>& trace) {
  TrialResult result;
  result.vessel = s.scene.vessels[s.vessel].name;
  if (!trace.ok()) {
    result.off_course_mm.push_back(100.0);  // a refusal counts as lost
    return result;
  }
  Compare(s, *trace, result);
  if (order.narrowed) CompareNarrowing(s, *trace, result);
  result.asks = trace->ask.has_value();
  return result;
}

}  // namespace

std::optional<TrialPicture> PictureOfTrial(const TrialOrder& order) {
  const auto setup = SetUp(order);
  if (!setup) return std::nullopt;
  auto picture = Render(*setup);
  if (picture) picture->clicks = Clicks(*setup, order);
  return picture;
}

std::optional<TrialResult> RunTrial(const TrialOrder& order) {
  auto both = RunTrials(order, 0);
  return both ? std::optional(std::move(both->plain)) : std::nullopt;
}

std::optional<AskedTrial> RunTrials(const TrialOrder& order, int most) {
  const auto setup = SetUp(order);
  if (!setup) return std::nullopt;
  auto picture = Render(*setup);
  if (!picture) return std::nullopt;
  const Picture seen = AbsorptionOf(picture->frame(), picture->inside);
  const Vesselness vesselness = VesselnessOf(seen);
  TraceRequest request;
  request.through = Clicks(*setup, order);
  // The true size of a pixel at the middle of the vessel: the errors are the image's alone.
  PixelSize pixel;
  pixel.per_pixel = Length::Millimetres(1.0 / setup->truth[(setup->begin + setup->end) / 2].per_mm);
  pixel.method = "true";
  request.pixel = pixel;
  AskedTrial trial;
  auto trace = TraceVessel(seen, vesselness, request);
  trial.plain = trial.answered = Compared(*setup, order, trace);
  trial.clicks_first = static_cast<int>(request.through.size());
  while (trial.clicks_given < most && trace.ok() && trace->ask) {
    request.through = Answered(*setup, order, request.through, trace->ask->at, trial.clicks_given++);
    trace = TraceVessel(seen, vesselness, request);
    trial.answered = Compared(*setup, order, trace);
  }
  return trial;
}

}  // namespace fairlead
