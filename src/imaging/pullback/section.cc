// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/section.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <thread>

namespace fairlead {
namespace {

constexpr double kTurn = 2.0 * std::numbers::pi;
constexpr double kBorderSd = 0.05;          // mm on a ray that is seen; from invented pullbacks, docs/methods-ultrasound.md
constexpr double kHiddenSd = 0.20;          // mm on a ray that is not
constexpr double kAlike = 12.0;             // rays that err together
constexpr double kMostHidden = 90.0;        // degrees; practice: beyond it the vessel is not measured
constexpr double kWireArc = 14.0;           // degrees; chosen: wires and struts hide less, calcium more
constexpr double kCalciumAbove = 22.0;      // grey levels above adventitia

using Border = std::array<float, kAngles>;

double At(const Border& border, int ray) { return static_cast<double>(border[static_cast<std::size_t>(((ray % kAngles) + kAngles) % kAngles)]); }

double AreaOf(const Border& border) {
  double sum = 0.0;
  for (int ray = 0; ray < kAngles; ++ray) sum += At(border, ray) * At(border, ray + 1);
  return 0.5 * std::sin(kTurn / kAngles) * sum;
}

// Independent groups of rays, each with its own error, and the errors of what is hidden all together.
double AreaSd(const Border& border, const std::array<std::uint8_t, kAngles>& seen) {
  double square = 0.0, hidden = 0.0;
  for (std::size_t k = 0; k < kAngles; ++k) {
    const double edge = static_cast<double>(border[k]) * kTurn / kAngles;
    if (seen[k] != 0) square += kAlike * edge * edge * kBorderSd * kBorderSd;
    else hidden += edge * kHiddenSd;
  }
  const double size = 2.0 * kSizeSd * AreaOf(border);
  if (std::ranges::none_of(seen, [](std::uint8_t ray) { return ray != 0; })) hidden = std::max(hidden, AreaOf(border));  // nothing is known
  return std::sqrt(square + hidden * hidden + size * size);
}

struct Chords {
  double least = 0.0, most = 0.0;
};

// Through the centre of area: where each direction's line leaves the border on both sides.
Chords ChordsOf(const Border& border) {
  double cx = 0, cy = 0, area = 0;
  std::array<double, kAngles> x{}, y{};
  for (std::size_t k = 0; k < kAngles; ++k) {
    const double turn = kTurn * static_cast<double>(k) / kAngles;
    x[k] = static_cast<double>(border[k]) * std::cos(turn), y[k] = static_cast<double>(border[k]) * std::sin(turn);
  }
  for (std::size_t k = 0; k < kAngles; ++k) {
    const std::size_t next = (k + 1) % kAngles;
    const double cross = x[k] * y[next] - x[next] * y[k];
    area += cross, cx += (x[k] + x[next]) * cross, cy += (y[k] + y[next]) * cross;
  }
  cx /= 3.0 * area, cy /= 3.0 * area;
  Chords chords{1e9, 0.0};
  for (int direction = 0; direction < 60; ++direction) {
    const double turn = std::numbers::pi * direction / 60.0, dx = std::cos(turn), dy = std::sin(turn);
    double ahead = 0.0, behind = 0.0;
    for (std::size_t k = 0; k < kAngles; ++k) {
      const std::size_t next = (k + 1) % kAngles;
      const double a = (x[k] - cx) * dy - (y[k] - cy) * dx, b = (x[next] - cx) * dy - (y[next] - cy) * dx;
      if ((a > 0.0) == (b > 0.0)) continue;
      const double share = a / (a - b);
      const double along = (x[k] + share * (x[next] - x[k]) - cx) * dx + (y[k] + share * (y[next] - y[k]) - cy) * dy;
      ahead = std::max(ahead, along), behind = std::max(behind, -along);
    }
    chords.least = std::min(chords.least, ahead + behind);
    chords.most = std::max(chords.most, ahead + behind);
  }
  return chords;
}

// Is the arc's leading edge as bright as calcium on most of its rays?
bool Bright(const Polar& polar, const Borders& borders, int frame, int from, int to) {
  const BorderFrame& now = borders.frames[static_cast<std::size_t>(frame)];
  int bright = 0;
  for (int ray = from; ray <= to; ++ray) {
    const auto k = static_cast<std::size_t>(((ray % kAngles) + kAngles) % kAngles);
    const auto grey = polar.Ray(frame, static_cast<int>(k));
    const int first = static_cast<int>(borders.blind_mm / polar.step_mm) + 1;
    const int last = std::min(polar.depth, static_cast<int>((static_cast<double>(now.eem[k]) + 0.3) / polar.step_mm));
    double best = 0.0;
    for (int i = first; i + 3 < last; ++i) {
      const auto at = static_cast<std::size_t>(i);
      best = std::max(best, (grey[at] + grey[at + 1] + grey[at + 2] + grey[at + 3]) / 4.0);
    }
    if (best > borders.levels.adventitia + kCalciumAbove) ++bright;
  }
  return 2 * bright > to - from + 1;
}

std::vector<HiddenArc> HiddenArcs(const Polar& polar, const Borders& borders, int frame) {
  const auto& seen = borders.frames[static_cast<std::size_t>(frame)].eem_seen;
  std::vector<HiddenArc> arcs;
  int start = 0;  // a ray that is seen, so that no arc is cut at the seam
  while (start < kAngles && seen[static_cast<std::size_t>(start)] == 0) ++start;
  if (start == kAngles) return {{0.0, 360.0, HiddenArc::Why::kShadow}};
  const auto hidden = [&](int ray) { return seen[static_cast<std::size_t>(ray % kAngles)] == 0; };
  const double step = 360.0 / kAngles;
  for (int ray = start; ray < start + kAngles;) {
    if (!hidden(ray)) {
      ++ray;
      continue;
    }
    int last = ray;
    while (hidden(last + 1) && last + 1 < start + kAngles) ++last;
    HiddenArc arc{(ray - 0.5) * step, (last + 0.5) * step};
    if (arc.from_deg >= 360.0) arc.from_deg -= 360.0, arc.to_deg -= 360.0;
    if (arc.to_deg - arc.from_deg <= kWireArc) arc.why = HiddenArc::Why::kWire;
    else if (Bright(polar, borders, frame, ray, last)) arc.why = HiddenArc::Why::kCalcium;
    arcs.push_back(arc);
    ray = last + 1;
  }
  return arcs;
}

void AddVessel(const BorderFrame& frame, PullbackSection& section) {
  const double area = AreaOf(frame.eem);
  const Chords chords = ChordsOf(frame.eem);
  section.eem = AreaReading{area, AreaSd(frame.eem, frame.eem_seen)};
  section.eem_min_mm = chords.least, section.eem_max_mm = chords.most;
  section.burden = std::clamp(1.0 - section.lumen.value / area, 0.0, 1.0);
  // The size error is the same in both areas and leaves their ratio alone.
  const double size_lumen = 2.0 * kSizeSd * section.lumen.value, size_eem = 2.0 * kSizeSd * area;
  const double lumen = std::sqrt(std::max(0.0, section.lumen.sd * section.lumen.sd - size_lumen * size_lumen)) / area;
  const double eem = std::sqrt(std::max(0.0, section.eem->sd * section.eem->sd - size_eem * size_eem)) * section.lumen.value / (area * area);
  section.burden_sd = std::sqrt(lumen * lumen + eem * eem);
}

}  // namespace

BorderSize SizeOf(const std::array<float, kAngles>& border) {
  const Chords chords = ChordsOf(border);
  return {AreaOf(border), chords.least, chords.most};
}

std::string_view WhyText(HiddenArc::Why why) {
  switch (why) {
    case HiddenArc::Why::kCalcium: return "calcium";
    case HiddenArc::Why::kWire: return "wire";
    case HiddenArc::Why::kShadow: break;
  }
  return "shadow";
}

PullbackSection MeasureSection(const Polar& polar, const Borders& borders, int at, std::optional<double> mm_per_frame) {
  const BorderFrame& frame = borders.frames[static_cast<std::size_t>(at)];
  PullbackSection section;
  section.frame = at;
  if (mm_per_frame) section.z_mm = *mm_per_frame * at;
  section.lumen = {AreaOf(frame.lumen), AreaSd(frame.lumen, frame.lumen_seen)};
  const Chords chords = ChordsOf(frame.lumen);
  section.lumen_min_mm = chords.least, section.lumen_max_mm = chords.most;
  section.hidden = HiddenArcs(polar, borders, section.frame);
  double widest = 0.0;
  for (const HiddenArc& arc : section.hidden) {
    widest = std::max(widest, arc.to_deg - arc.from_deg);
    if (arc.why == HiddenArc::Why::kCalcium) section.calcium_deg = std::max(section.calcium_deg, arc.to_deg - arc.from_deg);
  }
  if (widest <= kMostHidden) AddVessel(frame, section);
  section.diameter_sd_mm = std::sqrt(2.0 * kBorderSd * kBorderSd + std::pow(kSizeSd * std::max(section.eem_min_mm, section.lumen_min_mm), 2.0));
  return section;
}

std::vector<PullbackSection> MeasureSections(const Polar& polar, const Borders& borders, std::optional<double> mm_per_frame) {
  std::vector<PullbackSection> sections(borders.frames.size());
  const auto work = [&](std::size_t first) {
    for (std::size_t f = first; f < sections.size(); f += 2) sections[f] = MeasureSection(polar, borders, static_cast<int>(f), mm_per_frame);
  };
  std::jthread other(work, 1);
  work(0);
  other.join();
  return sections;
}

PullbackSummary Summarise(const std::vector<PullbackSection>& sections) {
  PullbackSummary summary;
  for (const PullbackSection& s : sections) {
    if (!summary.smallest_lumen || s.lumen.value < sections[static_cast<std::size_t>(*summary.smallest_lumen)].lumen.value) summary.smallest_lumen = s.frame;
    if (!s.burden) continue;
    if (!summary.largest_burden || *s.burden > *sections[static_cast<std::size_t>(*summary.largest_burden)].burden) summary.largest_burden = s.frame;
  }
  if (!summary.smallest_lumen) return summary;
  for (const PullbackSection& s : sections) {
    if (!s.burden || *s.burden >= 0.5) continue;
    auto& side = s.frame < *summary.smallest_lumen ? summary.first_reference : summary.last_reference;
    if (!side || s.lumen.value > sections[static_cast<std::size_t>(*side)].lumen.value) side = s.frame;
  }
  return summary;
}

}  // namespace fairlead
