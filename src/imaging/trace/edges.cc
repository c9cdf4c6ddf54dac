// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/edges.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>

#include "imaging/trace/section_fit.h"

namespace fairlead {
namespace {

constexpr double kStep = 0.5;           // pixels between samples across
constexpr double kBeyond = 4.0;         // pixels of background on each side, and three times the blur
constexpr double kAlongSd = 1.5;        // pixels along the vessel that one section averages: about 1 mm in all
constexpr double kFirstBlur = 0.95;     // pixels, before it is known; also where the vessel does not show it
constexpr double kAssumedBlurSd = 0.25;
constexpr double kRadiusStep = 0.5, kMiddleStep = 0.75;
constexpr double kMostMove = 4.0;       // pixels: a section that runs further has gone to another vessel
constexpr int kMiddles = 9;             // -3 to 3 pixels

// The vessel laid straight: one line of grey values across at each point of the course, smoothed along it.
struct Straightened {
  int lines = 0, across = 0;
  double reach = 0.0;
  std::vector<float> values;

  Line At(int line) const {
    return {std::span(values).subspan(static_cast<std::size_t>(line) * static_cast<std::size_t>(across), static_cast<std::size_t>(across)), reach, kStep};
  }
};

Straightened Straighten(const Picture& picture, std::span<const PixelPoint> course, std::span<const PixelPoint> normals, double reach) {
  const int half = static_cast<int>(std::ceil(reach / kStep));
  Straightened raw{static_cast<int>(course.size()), 2 * half + 1, half * kStep, {}};
  raw.values.reserve(static_cast<std::size_t>(raw.lines) * static_cast<std::size_t>(raw.across));
  for (std::size_t l = 0; l < course.size(); ++l) {
    for (int i = -half; i <= half; ++i) {
      raw.values.push_back(static_cast<float>(ValueBetween(picture, course[l].x + i * kStep * normals[l].x, course[l].y + i * kStep * normals[l].y)));
    }
  }
  constexpr int kReach = 4;
  std::array<float, 2 * kReach + 1> weights{};
  float sum = 0.0f;
  for (int k = -kReach; k <= kReach; ++k) {
    const auto w = static_cast<float>(std::exp(-0.5 * k * k / (kAlongSd * kAlongSd)));
    weights[static_cast<std::size_t>(k + kReach)] = w;
    sum += w;
  }
  Straightened smooth = raw;
  for (int l = 0; l < raw.lines; ++l) {
    float* out = smooth.values.data() + static_cast<std::size_t>(l) * static_cast<std::size_t>(raw.across);
    std::fill_n(out, raw.across, 0.0f);
    for (int k = -kReach; k <= kReach; ++k) {
      const float* in = raw.values.data() + static_cast<std::size_t>(std::clamp(l + k, 0, raw.lines - 1)) * static_cast<std::size_t>(raw.across);
      const float w = weights[static_cast<std::size_t>(k + kReach)] / sum;
      for (int i = 0; i < raw.across; ++i) out[i] += w * in[i];
    }
  }
  return smooth;
}

struct Start {
  double middle = 0.0, radius = 1.0;
};

double Beyond(double blur) { return kBeyond + 3.0 * blur; }

// Middle and radius on a grid at each line, the cheapest chain of neighbours along the vessel: what the fit starts from.
class CoarseChain {
 public:
  CoarseChain(const Straightened& straight, double expected, double most)
      : straight_(straight), radii_(std::max(2, static_cast<int>((most - 0.75) / kRadiusStep) + 1)), expected_(expected) {}

  std::vector<Start> Find() {
    const int states = radii_ * kMiddles;
    const SectionFitter fitter(kFirstBlur);
    std::vector<double> total(static_cast<std::size_t>(states), 0.0), next(total.size());
    std::vector<std::int16_t> from(static_cast<std::size_t>(states) * static_cast<std::size_t>(straight_.lines));
    for (int l = 0; l < straight_.lines; ++l) {
      const std::vector<double> own = CostsAt(fitter, l);
      for (int s = 0; s < states; ++s) {
        const int best = l == 0 ? s : Cheapest(total, s);
        from[static_cast<std::size_t>(l * states + s)] = static_cast<std::int16_t>(best);
        next[static_cast<std::size_t>(s)] = own[static_cast<std::size_t>(s)] + (l == 0 ? 0.0 : total[static_cast<std::size_t>(best)] + Step(best, s));
      }
      total.swap(next);
    }
    std::vector<Start> chain(static_cast<std::size_t>(straight_.lines));
    int state = static_cast<int>(std::min_element(total.begin(), total.end()) - total.begin());
    for (int l = straight_.lines - 1; l >= 0; --l) {
      chain[static_cast<std::size_t>(l)] = {MiddleAt(state), RadiusAt(state)};
      state = from[static_cast<std::size_t>(l * states + state)];
    }
    return chain;
  }

 private:
  double RadiusAt(int state) const { return 0.75 + kRadiusStep * (state / kMiddles); }
  static double MiddleAt(int state) { return kMiddleStep * (state % kMiddles - kMiddles / 2); }
  double Step(int a, int b) const {
    return 0.06 * (std::abs(a / kMiddles - b / kMiddles) + std::abs(a % kMiddles - b % kMiddles));
  }
  int Cheapest(const std::vector<double>& total, int state) const {
    int best = state;
    double least = std::numeric_limits<double>::infinity();
    for (int dr = -1; dr <= 1; ++dr) {
      for (int dm = -1; dm <= 1; ++dm) {
        const int r = state / kMiddles + dr, m = state % kMiddles + dm;
        if (r < 0 || r >= radii_ || m < 0 || m >= kMiddles) continue;
        const int other = r * kMiddles + m;
        const double cost = total[static_cast<std::size_t>(other)] + Step(other, state);
        if (cost < least) least = cost, best = other;
      }
    }
    return best;
  }
  // What is left over as a share of the line's own spread, plus a little for a radius or a middle far from expected.
  std::vector<double> CostsAt(const SectionFitter& fitter, int l) const {
    const Line line = straight_.At(l);
    double sum = 0.0, squares = 0.0;
    for (const float v : line.values) sum += static_cast<double>(v), squares += static_cast<double>(v) * static_cast<double>(v);
    const double n = static_cast<double>(line.values.size());
    const double spread = std::max(1e-6, squares / n - sum / n * (sum / n));
    std::vector<double> costs;
    for (int s = 0; s < radii_ * kMiddles; ++s) {
      const SectionFit fit = fitter.Held(line, MiddleAt(s), RadiusAt(s), kBeyond);
      const double off = std::log(RadiusAt(s) / expected_);
      const double wrong = fit.darkness > 0.0 ? 0.0 : 1.0;
      costs.push_back(fit.misfit / spread + wrong + 0.03 * off * off + 0.004 * MiddleAt(s) * MiddleAt(s));
    }
    return costs;
  }

  const Straightened& straight_;
  int radii_;
  double expected_;
};

double Median(std::vector<double> values) {
  if (values.empty()) return 0.0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

struct BlurFound {
  double blur = kFirstBlur, sd = kAssumedBlurSd;
};

// What every few sections leave over, as one function of the blur.
class BlurSearch {
 public:
  BlurSearch(const Straightened& straight, std::span<const Start> chain) : straight_(straight), chain_(chain), every_(std::max<std::size_t>(3, chain.size() / 40)) {
    for (const double blur : kBlurs) tried_.push_back(LeftOver(blur));
    for (std::size_t i = 0; i < tried_.front().size(); ++i) {
      std::vector<double> own;
      for (const auto& row : tried_) own.push_back(row[i]);
      usual_.push_back(std::max(1e-12, Median(own)));
    }
  }

  // By a parabola through the least of a coarse grid and its neighbours, and once more closer by. Nothing where the
  // least lies at an end: the vessel is too thin, or the picture not of this kind.
  std::optional<BlurFound> Find() const {
    std::array<double, kBlurs.size()> costs{};
    for (std::size_t b = 0; b < kBlurs.size(); ++b) costs[b] = Sum(tried_[b]);
    const auto least = static_cast<std::size_t>(std::min_element(costs.begin(), costs.end()) - costs.begin());
    if (least == 0 || least + 1 == kBlurs.size()) return std::nullopt;
    const Parabola coarse = Through({kBlurs[least - 1], kBlurs[least], kBlurs[least + 1]}, {costs[least - 1], costs[least], costs[least + 1]});
    const double low = coarse.top - kCloser, high = coarse.top + kCloser;
    const double middle = Sum(LeftOver(coarse.top));
    const Parabola fine = Through({low, coarse.top, high}, {Sum(LeftOver(low)), middle, Sum(LeftOver(high))});
    // The chi-square of the samples rises by one at one sd; about a third of the samples are independent.
    double samples = 0.0;
    for (std::size_t l = every_ / 2; l < chain_.size(); l += every_) samples += 2.0 * (chain_[l].radius + Beyond(1.0)) / kStep / 3.0;
    const double sd = fine.bend > 0.0 ? std::sqrt(std::max(0.0, middle) / (samples * fine.bend)) : kAssumedBlurSd;
    return BlurFound{std::clamp(fine.top, low, high), std::clamp(sd, kLeastBlurSd, kAssumedBlurSd)};
  }

 private:
  static constexpr std::array<double, 9> kBlurs = {0.45, 0.6, 0.75, 0.9, 1.05, 1.25, 1.5, 1.8, 2.1};
  static constexpr double kCloser = 0.08, kLeastBlurSd = 0.03;

  struct Parabola {
    double top = 0.0, bend = 0.0;
  };
  static Parabola Through(const std::array<double, 3>& x, const std::array<double, 3>& y) {
    const double d1 = (y[1] - y[0]) / (x[1] - x[0]), d2 = (y[2] - y[1]) / (x[2] - x[1]), bend = 2.0 * (d2 - d1) / (x[2] - x[0]);
    if (!(bend > 0.0)) return {x[1], 0.0};
    return {std::clamp(0.5 * (x[0] + x[1]) - d1 / bend, x[0], x[2]), bend};
  }
  std::vector<double> LeftOver(double blur) const {
    const SectionFitter fitter(blur);
    std::vector<double> misfits;
    for (std::size_t l = every_ / 2; l < chain_.size(); l += every_) {
      misfits.push_back(fitter.Refined(straight_.At(static_cast<int>(l)), chain_[l].middle, chain_[l].radius, Beyond(1.0)).misfit);
    }
    return misfits;
  }
  // Each section against its own usual misfit, so that one under another shadow does not decide.
  double Sum(const std::vector<double>& misfits) const {
    double sum = 0.0;
    for (std::size_t i = 0; i < misfits.size(); ++i) sum += std::sqrt(misfits[i] / usual_[i]);
    return sum;
  }

  const Straightened& straight_;
  std::span<const Start> chain_;
  std::size_t every_;
  std::vector<std::vector<double>> tried_;
  std::vector<double> usual_;
};

// By how much the radius changes with the blur that is assumed, as the median over a few sections.
double RadiusByBlur(const Straightened& straight, std::span<const SectionFit> fits, double blur) {
  constexpr double kStepOfBlur = 0.1;
  const SectionFitter other(blur + kStepOfBlur);
  std::vector<double> slopes;
  const std::size_t every = std::max<std::size_t>(3, fits.size() / 20);
  for (std::size_t l = every / 2; l < fits.size(); l += every) {
    slopes.push_back((other.Refined(straight.At(static_cast<int>(l)), fits[l].middle, fits[l].radius, Beyond(blur)).radius - fits[l].radius) / kStepOfBlur);
  }
  return Median(slopes);
}

// A section alone; if it leaves over what looks like another vessel's shadow, with that one, and once more.
SectionFit FitOf(const SectionFitter& fitter, const Line& line, const Start& start) {
  const double beyond = Beyond(fitter.blur());
  SectionFit fit = fitter.Refined(line, start.middle, start.radius, beyond);
  std::vector<OtherShadow> others;
  while (others.size() < 2) {
    const auto other = fitter.OtherBeside(line, fit, beyond);
    if (!other) break;
    others.push_back(*other);
    const SectionFit more = fitter.Refined(line, fit.middle, fit.radius, beyond, others);
    if (!(more.misfit < fit.misfit) || std::abs(more.middle - start.middle) > kMostMove) break;
    fit = more;
  }
  return fit;
}

// Correlation of neighbouring residuals, 0 to 8 samples apart, from all sections: the noise has passed a detector.
std::vector<double> Correlation(std::span<const SectionFit> fits) {
  constexpr std::size_t kLags = 9;
  std::vector<double> sums(kLags, 0.0);
  for (const SectionFit& fit : fits) {
    if (!(fit.misfit > 0.0)) continue;
    for (std::size_t lag = 0; lag < kLags; ++lag) {
      for (std::size_t i = 0; i + lag < fit.left_over.size(); ++i) sums[lag] += fit.left_over[i] * fit.left_over[i + lag] / fit.misfit;
    }
  }
  const double whole = std::max(1e-9, sums[0]);
  for (double& s : sums) s /= whole;
  return sums;
}

double RadiusSd(const SectionFit& fit, std::span<const double> correlation) {
  double sum = 0.0;
  const auto n = static_cast<std::size_t>(fit.influence.rows());
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t lag = 0; lag < correlation.size() && i + lag < n; ++lag) {
      const double pair = fit.influence(static_cast<Eigen::Index>(i), 1) * fit.influence(static_cast<Eigen::Index>(i + lag), 1);
      sum += (lag == 0 ? 1.0 : 2.0) * correlation[lag] * pair;
    }
  }
  // The fit has swallowed part of the noise: as much as its parameters of the samples that are independent.
  double together = 1.0;
  for (std::size_t lag = 1; lag < correlation.size(); ++lag) together += 2.0 * std::max(0.0, correlation[lag]);
  const double looks = static_cast<double>(n) / together, parameters = 5.0 + 3.0 * fit.others;
  return std::sqrt(std::max(0.0, sum) * fit.misfit * looks / std::max(0.25 * looks, looks - parameters));
}

// Sections that another shadow spoils, or in which nothing stands out, against the vessel as a whole.
void Judge(Edges& edges, std::span<const SectionFit> fits) {
  std::vector<double> misfits, depths;
  for (const SectionFit& fit : fits) misfits.push_back(fit.misfit), depths.push_back(fit.darkness * fit.radius);
  const double usual = Median(misfits), depth = Median(depths);
  for (std::size_t i = 0; i < fits.size(); ++i) {
    CrossSection& section = edges.sections[i];
    const double noise = std::sqrt(fits[i].misfit);
    section.signs = {fits[i].misfit / std::max(1e-12, usual), fits[i].trusted, fits[i].others, depth > 0.0 ? depths[i] / depth : 1.0};
    if (!(fits[i].darkness > 0.0) || depths[i] < std::max(0.12 * depth, 0.75 * noise)) section.kind = SectionKind::kNotSeen;
    else if (fits[i].misfit > 9.0 * usual || fits[i].trusted < 0.6 || std::abs(section.middle) > 4.5 || section.radius_sd > 0.5 * section.radius) {
      section.kind = SectionKind::kInterpolated;
    }
  }
}

// Values of the sections between which one lies, by lines; sd grows by half of their difference.
void FillIn(Edges& edges) {
  auto& sections = edges.sections;
  std::size_t i = 0;
  const auto good = [&](std::size_t k) { return sections[k].kind == SectionKind::kMeasured; };
  while (i < sections.size()) {
    if (sections[i].kind != SectionKind::kInterpolated) {
      ++i;
      continue;
    }
    std::size_t end = i;
    while (end < sections.size() && sections[end].kind == SectionKind::kInterpolated) ++end;
    const bool before = i > 0 && good(i - 1), after = end < sections.size() && good(end);
    for (std::size_t k = i; k < end; ++k) {
      if (!before && !after) {
        sections[k].kind = SectionKind::kNotSeen;
        continue;
      }
      const CrossSection& a = before ? sections[i - 1] : sections[end];
      const CrossSection& b = after ? sections[end] : sections[i - 1];
      const double t = static_cast<double>(k - i + 1) / static_cast<double>(end - i + 1);
      sections[k].middle = a.middle + t * (b.middle - a.middle);
      sections[k].radius = a.radius + t * (b.radius - a.radius);
      sections[k].radius_sd = std::hypot(std::max(a.radius_sd, b.radius_sd), 0.5 * std::abs(a.radius - b.radius));
    }
    i = end;
  }
}

void SetEdges(CrossSection& section) {
  section.left = section.middle - section.radius;
  section.right = section.middle + section.radius;
}

}  // namespace

Edges FindEdges(const Picture& picture, std::span<const PixelPoint> course, double expected_radius) {
  const double expected = std::clamp(expected_radius, 1.0, 20.0);
  const double most = std::clamp(2.0 * expected + 2.0, 4.0, 30.0);
  const auto normals = Normals(course);
  const Straightened straight = Straighten(picture, course, normals, most + kBeyond + 7.0);
  const std::vector<Start> chain = CoarseChain(straight, expected, most).Find();
  Edges edges;
  std::vector<double> radii;
  for (const Start& start : chain) radii.push_back(start.radius);
  const auto blur = Median(radii) >= 2.0 ? BlurSearch(straight, chain).Find() : std::nullopt;
  edges.blur_assumed = !blur;
  edges.blur = blur.value_or(BlurFound{}).blur, edges.blur_sd = blur.value_or(BlurFound{}).sd;
  const SectionFitter fitter(edges.blur);
  std::vector<SectionFit> fits;
  for (std::size_t l = 0; l < chain.size(); ++l) {
    fits.push_back(FitOf(fitter, straight.At(static_cast<int>(l)), chain[l]));
  }
  edges.shared_radius_sd = std::abs(RadiusByBlur(straight, fits, edges.blur)) * edges.blur_sd;
  const std::vector<double> correlation = Correlation(fits);
  for (std::size_t l = 0; l < fits.size(); ++l) {
    edges.sections.push_back({.on_course = course[l], .normal = normals[l], .middle = fits[l].middle, .radius = fits[l].radius,
                              .radius_sd = std::hypot(RadiusSd(fits[l], correlation), edges.shared_radius_sd), .darkness = fits[l].darkness});
  }
  Judge(edges, fits);
  FillIn(edges);
  for (CrossSection& section : edges.sections) SetEdges(section);
  return edges;
}

Course MiddleOf(const Edges& edges) {
  Course course;
  std::vector<double> across, weights;
  for (const CrossSection& section : edges.sections) {
    const bool seen = section.kind == SectionKind::kMeasured || section.kind == SectionKind::kByHand;
    across.push_back(seen ? 0.5 * (section.left + section.right) : 0.0);
    weights.push_back(seen ? 1.0 : 0.02);
  }
  across = Smoothed(across, weights, 14.0);
  for (std::size_t i = 0; i < edges.sections.size(); ++i) {
    const CrossSection& section = edges.sections[i];
    const double move = std::clamp(across[i], -3.0, 3.0);
    course.push_back({section.on_course.x + move * section.normal.x, section.on_course.y + move * section.normal.y});
  }
  return course;
}

}  // namespace fairlead
