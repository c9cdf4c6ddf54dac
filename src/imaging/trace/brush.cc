// SPDX-License-Identifier: Apache-2.0
// Edges drawn by the reader: they outrank the found ones.
#include <cmath>
#include <cstddef>
#include <limits>

#include "imaging/trace/edges.h"

namespace fairlead {
namespace {

constexpr double kHandSd = 0.5;     // pixels, of a drawn edge: practice, no source
constexpr double kFarthest = 30.0;  // pixels from the course: a stroke beyond belongs to something else

// A point of a stroke against the course.
struct Beside {
  std::size_t section = 0;
  double across = 0.0;
};

Beside BesideOf(const Edges& edges, PixelPoint point) {
  Beside beside;
  double nearest = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < edges.sections.size(); ++i) {
    const CrossSection& section = edges.sections[i];
    const double dx = point.x - section.on_course.x, dy = point.y - section.on_course.y, away = std::hypot(dx, dy);
    if (away < nearest) nearest = away, beside = {i, dx * section.normal.x + dy * section.normal.y};
  }
  return beside;
}

void SetEdge(CrossSection& section, double across) {
  const bool right = across > section.middle;
  (right ? section.right : section.left) = across;
  const bool was_by_hand = section.kind == SectionKind::kByHand;
  const bool was_seen = section.kind == SectionKind::kMeasured || was_by_hand;
  if (!was_seen) (right ? section.left : section.right) = -across;  // nothing is known of the other side: as far as this
  section.kind = SectionKind::kByHand;
  // Half of the width's sd: the drawn edge and the other one, whichever way that is known.
  const double other = was_by_hand ? kHandSd : was_seen ? std::sqrt(2.0) * section.radius_sd : 2.0 * kHandSd;
  section.radius = 0.5 * (section.right - section.left);
  section.middle = 0.5 * (section.right + section.left);
  section.radius_sd = 0.5 * std::hypot(kHandSd, other);
}

}  // namespace

void DrawEdges(Edges& edges, std::span<const EdgeStroke> strokes) {
  if (edges.sections.empty()) return;
  for (const EdgeStroke& stroke : strokes) {
    // Every section between the nearest ones of two neighbouring points of the stroke gets the line between them.
    std::vector<double> across(edges.sections.size(), std::numeric_limits<double>::quiet_NaN());
    for (std::size_t i = 0; i < stroke.size(); ++i) {
      const Beside here = BesideOf(edges, stroke[i]), before = i > 0 ? BesideOf(edges, stroke[i - 1]) : here;
      if (std::abs(here.across) > kFarthest || std::abs(before.across) > kFarthest) continue;
      const bool forward = before.section <= here.section;
      const Beside& a = forward ? before : here;
      const Beside& b = forward ? here : before;
      for (std::size_t s = a.section; s <= b.section; ++s) {
        const double t = b.section > a.section ? static_cast<double>(s - a.section) / static_cast<double>(b.section - a.section) : 0.0;
        across[s] = a.across + t * (b.across - a.across);
      }
    }
    for (std::size_t s = 0; s < across.size(); ++s) {
      if (std::isfinite(across[s])) SetEdge(edges.sections[s], across[s]);
    }
  }
}

}  // namespace fairlead
