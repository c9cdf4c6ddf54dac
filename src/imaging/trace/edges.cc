// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/edges.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>

#include "imaging/trace/blur_search.h"
#include "imaging/trace/edge_chain.h"
#include "imaging/trace/explanations.h"
#include "imaging/trace/lumen_choice.h"
#include "imaging/trace/section_fit.h"
#include "imaging/trace/straightened.h"

namespace fairlead {
namespace {

// What the fits leave over, of the vessel's depth: beyond, no edge is measured. Chosen.
constexpr double kMostNoise = 0.3;
// How near a fit must stay to what both edges say, pixels; of the radius a quarter at least. Chosen.
constexpr double kSameMiddle = 1.0, kSameRadius = 0.75, kSameShare = 0.25;

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
  const double looks = static_cast<double>(n) / together, parameters = 5.0 + 3.0 * static_cast<double>(fit.others.size());
  return std::sqrt(std::max(0.0, sum) * fit.misfit * looks / std::max(0.25 * looks, looks - parameters));
}

// Sections that another shadow spoils, that do not agree with the edges' chain, or in which nothing stands out, against the vessel as a whole.
void Judge(Edges& edges, const LumenChoice& choice, std::span<const SectionStart> chain) {
  const std::vector<SectionFit>& fits = choice.fits;
  std::vector<double> misfits, depths;
  for (const SectionFit& fit : fits) misfits.push_back(fit.misfit), depths.push_back(fit.darkness * fit.radius);
  const double usual = MedianOf(misfits), depth = MedianOf(depths);
  const bool stands_out = std::sqrt(usual) < kMostNoise * depth;
  for (std::size_t i = 0; i < fits.size(); ++i) {
    CrossSection& section = edges.sections[i];
    const double noise = std::sqrt(fits[i].misfit);
    section.signs = {fits[i].misfit / std::max(1e-12, usual), fits[i].trusted, depth > 0.0 ? std::sqrt(usual) / depth : 1.0, choice.otherwise[i]};
    const bool own = std::abs(fits[i].middle - chain[i].middle) <= kSameMiddle && std::abs(fits[i].radius - chain[i].radius) <= std::max(kSameRadius, kSameShare * chain[i].radius);
    if (!(fits[i].darkness > 0.0) || depths[i] < std::max(0.12 * depth, 0.75 * noise)) section.kind = SectionKind::kNotSeen;
    else if (fits[i].misfit > 9.0 * usual || fits[i].trusted < 0.6 || std::abs(section.middle) > 4.5 || section.radius_sd > 0.5 * section.radius || !own || !choice.found[i] || !stands_out) {
      section.kind = SectionKind::kInterpolated;
    }
  }
}

// Where another shadow spoils the fit, what both edges say for themselves. Its sd grows with what the measured places
// on either side differ.
void FillIn(Edges& edges, std::span<const SectionStart> chain) {
  constexpr double kChainSd = 0.2;  // of the radius. Chosen
  auto& sections = edges.sections;
  const auto good = [&](std::size_t k) { return sections[k].kind == SectionKind::kMeasured; };
  for (std::size_t i = 0; i < sections.size();) {
    if (sections[i].kind != SectionKind::kInterpolated) {
      ++i;
      continue;
    }
    std::size_t end = i;
    while (end < sections.size() && sections[end].kind == SectionKind::kInterpolated) ++end;
    const bool both = i > 0 && good(i - 1) && end < sections.size() && good(end);
    const double apart = both ? 0.5 * std::abs(sections[i - 1].radius - sections[end].radius) : 0.0;
    for (std::size_t k = i; k < end; ++k) {
      sections[k].middle = chain[k].middle, sections[k].radius = chain[k].radius;
      sections[k].radius_sd = std::hypot(kChainSd * chain[k].radius, apart);
    }
    i = end;
  }
}

void SetEdges(CrossSection& section) {
  section.left = section.middle - section.radius;
  section.right = section.middle + section.radius;
}

}  // namespace

Edges FindEdges(const Picture& picture, std::span<const PixelPoint> course, double expected_radius, std::span<const PixelPoint> clicks) {
  const double expected = std::clamp(expected_radius, 1.0, 20.0);
  const double most = std::clamp(2.0 * expected + 2.0, 4.0, 30.0);
  const auto normals = Normals(course);
  const Straightened straight = Straighten(picture, course, normals, most + kBackground + 7.0);
  const std::vector<Anchor> anchors = AnchorsOf(clicks, course, normals);
  std::vector<SectionStart> chain = ChainOfEdges(straight, expected, most, anchors);
  Edges edges;
  std::vector<double> radii;
  radii.reserve(chain.size());
  for (const SectionStart& start : chain) radii.push_back(start.radius);
  edges.usual_radius = MedianOf(radii);
  const auto blur = edges.usual_radius >= 2.0 ? FindBlur(straight, chain) : std::nullopt;
  edges.blur_assumed = !blur;
  edges.blur = blur.value_or(BlurFound{}).blur, edges.blur_sd = blur.value_or(BlurFound{}).sd;
  const SectionFitter fitter(edges.blur);
  const double darkest = static_cast<double>(*std::max_element(picture.values.begin(), picture.values.end()));
  const LumenChoice choice = ChooseLumens(ExplanationsOf(straight, fitter, chain, darkest), anchors, chain);
  const std::vector<SectionFit>& fits = choice.fits;
  edges.shared_radius_sd = std::abs(RadiusByBlur(straight, fits, edges.blur)) * edges.blur_sd;
  const std::vector<double> correlation = Correlation(fits);
  for (std::size_t l = 0; l < fits.size(); ++l) {
    edges.sections.push_back({.on_course = course[l], .normal = normals[l], .middle = fits[l].middle, .radius = fits[l].radius,
                              .radius_sd = std::hypot(RadiusSd(fits[l], correlation), edges.shared_radius_sd), .darkness = fits[l].darkness});
  }
  Judge(edges, choice, chain);
  FillIn(edges, chain);
  for (CrossSection& section : edges.sections) SetEdges(section);
  return edges;
}

Course MiddleOf(const Edges& edges) {
  Course course;
  std::vector<double> across, weights;
  for (const CrossSection& section : edges.sections) {
    const bool seen = section.kind != SectionKind::kNotSeen;
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
