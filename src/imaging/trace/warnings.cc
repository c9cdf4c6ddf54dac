// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/warnings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>

namespace fairlead {
namespace {

constexpr double kWorthSaying = 0.02;       // of the trace
constexpr double kClippedWorthSaying = 0.1; // of its points: one or two darkest pixels every picture has
constexpr double kThin = 2.5;               // times the blur
constexpr std::size_t kArm = 5;             // pixels on each side that say which way a path runs
constexpr std::size_t kApart = 20;          // pixels along the path that part two passages
constexpr double kSamePlace = 3.0;          // pixels; of the vessel's radius at least one and a half
constexpr double kBack = -0.5;              // cosine of 120 degrees: the other way
constexpr double kBackWorthSaying = 12.0;   // pixels; all of these chosen

bool IsCounted(const TracedPoint& p) { return p.kind == SectionKind::kMeasured || p.kind == SectionKind::kByHand; }

std::string LengthOf(const VesselTrace& trace, double px) {
  return trace.pixel ? fmt::format("{:.0f} mm", std::max(1.0, px * trace.pixel->per_pixel.millimetres())) : fmt::format("{:.0f} pixels", px);
}

// Share of the points whose middle has the darkest grey of the picture: there the lumen is cut off flat.
double ClippedShare(const VesselTrace& trace, const Picture& picture) {
  const float most = *std::max_element(picture.values.begin(), picture.values.end());
  double clipped = 0.0;
  for (const TracedPoint& p : trace.points) {
    const int column = std::clamp(static_cast<int>(std::lround(p.centre.x)), 0, picture.columns - 1), row = std::clamp(static_cast<int>(std::lround(p.centre.y)), 0, picture.rows - 1);
    clipped += picture.at(column, row) >= most ? 1.0 : 0.0;
  }
  return clipped / std::max(1.0, static_cast<double>(trace.points.size()));
}

// Nothing else is worth saying beside it.
std::string FollowsNothing(double not_seen, double interpolated, double clipped) {
  const std::string cut = clipped > kClippedWorthSaying ? fmt::format(", the greys are cut off over {:.0f} %", 100.0 * clipped) : "";
  return fmt::format(
      "On {:.0f} % of this trace no edge was measured (no contrast stands out over {:.0f} %, other shadows lie over {:.0f} %{}): it may follow no vessel, and its length is "
      "that of a line alone. No diameter and no narrowing are given; choose a frame with contrast.",
      100.0 * (not_seen + interpolated), 100.0 * not_seen, 100.0 * interpolated, cut);
}

}  // namespace

double RunsBackPx(std::span<const Pixel> path, double radius) {
  const double same = std::max(kSamePlace, 1.5 * radius);
  const auto way = [&path](std::size_t i) {
    const Pixel a = path[i > kArm ? i - kArm : 0], b = path[std::min(i + kArm, path.size() - 1)];
    const double dx = b.column - a.column, dy = b.row - a.row, n = std::max(1e-9, std::hypot(dx, dy));
    return PixelPoint{dx / n, dy / n};
  };
  double back = 0.0;
  for (std::size_t j = kApart; j < path.size(); ++j) {
    const PixelPoint there = way(j);
    for (std::size_t i = 0; i + kApart <= j; ++i) {
      if (std::hypot(path[i].column - path[j].column, path[i].row - path[j].row) > same) continue;
      const PixelPoint here = way(i);
      if (here.x * there.x + here.y * there.y > kBack) continue;
      back += std::hypot(path[j].column - path[j - 1].column, path[j].row - path[j - 1].row);
      break;
    }
  }
  return back;
}

void AddWarnings(VesselTrace& trace, const Picture& picture, bool followed) {
  const auto share = [&trace](double px) { return trace.length_px > 0.0 ? px / trace.length_px : 0.0; };
  const double not_seen = share(trace.not_seen_px), interpolated = share(trace.interpolated_px), clipped = ClippedShare(trace, picture);
  const auto say = [&trace](std::string words) { trace.warnings.push_back(std::move(words)); };
  if (trace.runs_back_px > kBackWorthSaying) say("Over " + LengthOf(trace, trace.runs_back_px) + " the trace runs back over itself and is counted twice: are the points in order along the vessel?");
  if (!followed) {
    say(FollowsNothing(not_seen, interpolated, clipped));
    return;
  }
  if (trace.beside.first_px > 0.0 || trace.beside.last_px > 0.0) {
    const bool both = trace.beside.first_px > 0.0 && trace.beside.last_px > 0.0;
    say(std::string(both ? "Both ends lie" : trace.beside.first_px > 0.0 ? "The first end lies" : "The last end lies") +
        " beside the vessel that is traced, or about a sharp bend: drag " + (both ? "them" : "it") + " onto the vessel. The length counts the way across; the diameters leave it out.");
  }
  if (clipped > kClippedWorthSaying) say(fmt::format("Over {:.0f} % of the trace the vessel is as dark as this picture can show: its greys are cut off, and its edges are less sure.", 100.0 * clipped));
  if (not_seen > kWorthSaying) say(fmt::format("Over {:.0f} % of the trace no contrast stands out; not seen is not absent.", 100.0 * not_seen));
  if (interpolated > kWorthSaying) say(fmt::format("Over {:.0f} % of the trace another shadow crosses; the edges there are the likeliest, not measured.", 100.0 * interpolated));
  if (trace.blur_assumed) say("The vessel is too thin to show how blurred the picture is; a usual blur is assumed.");
  if (std::any_of(trace.points.begin(), trace.points.end(), [&](const TracedPoint& p) { return IsCounted(p) && p.diameter_px < kThin * trace.blur_px; })) {
    say("Part of the vessel is thinner than 2.5 times the picture's blur: its size there cannot be told from edges.");
  }
  say("One view: a lumen that is not round has another width from another side.");
}

}  // namespace fairlead
