// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/section.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <thread>

#include "imaging/pullback/border_rays.h"

namespace fairlead {
namespace {

constexpr double kTurn = 2.0 * std::numbers::pi;
constexpr double kBorderSd = 0.05;          // mm on a ray that is seen; from invented pullbacks, docs/methods-ultrasound.md
constexpr double kHiddenSd = 0.20;          // mm on a ray that is not
constexpr double kAlike = 12.0;             // rays that err together
constexpr double kMostHidden = 90.0;        // degrees; practice: beyond it the vessel is not measured
constexpr double kClearLeast = 0.75;         // of the rays outside shadows on which the media must stand out; chosen
// mm: by how much a whole border may be off together. Of the media's, more where it stands out on fewer rays, of this frame
// and of the pullback; of a lumen's, where ring-down reaches near it, as of the channel in wire.cc. Measured on invented
// pullbacks of seeds below 100: docs/methods-ultrasound.md.
constexpr double kMediaSd = 0.02, kMediaFaintSd = 0.5, kPullbackFaintSd = 0.25;
constexpr double kLumenSd = 0.015, kRingDownNear = 0.35;
constexpr double kWireArc = 14.0;           // degrees; chosen: wires and struts hide less, calcium more
constexpr double kCalciumAbove = 22.0;      // grey levels above adventitia

using Border = std::array<float, kAngles>;
using Seen = std::array<std::uint8_t, kAngles>;

double At(const Border& border, int ray) { return static_cast<double>(border[static_cast<std::size_t>(((ray % kAngles) + kAngles) % kAngles)]); }

double AreaOf(const Border& border) {
  double sum = 0.0;
  for (int ray = 0; ray < kAngles; ++ray) sum += At(border, ray) * At(border, ray + 1);
  return 0.5 * std::sin(kTurn / kAngles) * sum;
}

// Independent groups of rays, each with its own error, and the errors of what is hidden all together.
// `together`: mm by which all of it may be off.
double AreaSd(const Border& border, const std::array<std::uint8_t, kAngles>& seen, double together) {
  double square = 0.0, hidden = 0.0, around = 0.0;
  for (std::size_t k = 0; k < kAngles; ++k) {
    const double edge = static_cast<double>(border[k]) * kTurn / kAngles;
    around += edge;
    if (seen[k] != 0) square += kAlike * edge * edge * kBorderSd * kBorderSd;
    else hidden += edge * kHiddenSd;
  }
  const double size = 2.0 * kSizeSd * AreaOf(border);
  if (std::ranges::none_of(seen, [](std::uint8_t ray) { return ray != 0; })) hidden = std::max(hidden, AreaOf(border));  // nothing is known
  return std::sqrt(square + hidden * hidden + size * size + around * around * together * together);
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

// A frame that is far too bright shows nothing of its own: the nearest that is not.
int LookedAt(const Borders& borders, int frame) {
  const auto fit = [&](int at) { return at >= 0 && at < static_cast<int>(borders.too_bright.size()) && !borders.too_bright[static_cast<std::size_t>(at)]; };
  for (int away = 0; away <= kAverage; ++away) {
    if (fit(frame - away)) return frame - away;
    if (fit(frame + away)) return frame + away;
  }
  return frame;
}

// Is the arc's leading edge as bright as calcium on most of its rays?
bool Bright(const Polar& polar, const Borders& borders, int frame, int from, int to) {
  const BorderFrame& now = borders.frames[static_cast<std::size_t>(frame)];
  const int looked_at = LookedAt(borders, frame);
  int bright = 0;
  for (int ray = from; ray <= to; ++ray) {
    const auto k = static_cast<std::size_t>(((ray % kAngles) + kAngles) % kAngles);
    const auto grey = polar.Ray(looked_at, static_cast<int>(k));
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

bool MostlyFaint(const BorderFrame& frame, int from, int to) {
  int faint = 0;
  for (int ray = from; ray <= to; ++ray) faint += frame.eem_seen[static_cast<std::size_t>(ray % kAngles)] != 0 ? 1 : 0;
  return 2 * faint > to - from + 1;
}

// Arcs of rays on which `seen` is 0.
std::vector<HiddenArc> HiddenArcs(const Polar& polar, const Borders& borders, int frame, const Seen& seen) {
  std::vector<HiddenArc> arcs;
  int start = 0;  // a ray that is seen, so that no arc is cut at the seam
  while (start < kAngles && seen[static_cast<std::size_t>(start)] == 0) ++start;
  if (start == kAngles) return {{0.0, 360.0, MostlyFaint(borders.frames[static_cast<std::size_t>(frame)], 0, kAngles - 1) ? HiddenArc::Why::kFaint : HiddenArc::Why::kShadow}};
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
    if (MostlyFaint(borders.frames[static_cast<std::size_t>(frame)], ray, last)) arc.why = HiddenArc::Why::kFaint;
    else if (arc.to_deg - arc.from_deg <= kWireArc) arc.why = HiddenArc::Why::kWire;
    else if (Bright(polar, borders, frame, ray, last)) arc.why = HiddenArc::Why::kCalcium;
    arcs.push_back(arc);
    ray = last + 1;
  }
  return arcs;
}

double MediaTogether(double clear_here, double clear_everywhere) {
  return std::hypot(kMediaSd, kMediaFaintSd * (1.0 - clear_here), kPullbackFaintSd * (1.0 - clear_everywhere));
}

double LumenTogether(const Borders& borders, const BorderFrame& frame) {
  const auto near_by = std::ranges::count_if(frame.lumen, [&](float r) { return static_cast<double>(r) < borders.blind_mm + kRingDownNear; });
  const double contrast = std::max(10.0, borders.levels.plaque - borders.levels.blood);
  return std::hypot(kLumenSd, static_cast<double>(near_by) / kAngles * std::hypot(kChannelSd, kChannelContrast / contrast));
}

void AddVessel(const BorderFrame& frame, const Seen& seen, double together, PullbackSection& section) {
  const double area = AreaOf(frame.eem);
  const Chords chords = ChordsOf(frame.eem);
  section.eem = AreaReading{area, AreaSd(frame.eem, seen, together)};
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
    case HiddenArc::Why::kFaint: return "faint";
    case HiddenArc::Why::kShadow: break;
  }
  return "shadow";
}

PullbackSection MeasureSection(const Polar& polar, const Borders& borders, int at, std::optional<double> mm_per_frame) {
  const BorderFrame& frame = borders.frames[static_cast<std::size_t>(at)];
  PullbackSection section;
  section.frame = at;
  if (mm_per_frame) section.z_mm = *mm_per_frame * at;
  const double lumen_off = LumenTogether(borders, frame);
  section.lumen = {AreaOf(frame.lumen), AreaSd(frame.lumen, frame.lumen_seen, lumen_off)};
  const Chords chords = ChordsOf(frame.lumen);
  section.lumen_min_mm = chords.least, section.lumen_max_mm = chords.most;
  Seen seen{};
  int outside_shadows = 0, clear = 0;
  for (std::size_t k = 0; k < kAngles; ++k) {
    seen[k] = frame.eem_seen[k] != 0 && frame.eem_clear[k] != 0 ? 1 : 0;
    outside_shadows += frame.eem_seen[k] != 0 ? 1 : 0, clear += seen[k];
  }
  section.hidden = HiddenArcs(polar, borders, section.frame, seen);
  double widest = 0.0;
  for (const HiddenArc& arc : section.hidden) widest = std::max(widest, arc.to_deg - arc.from_deg);
  for (const HiddenArc& arc : HiddenArcs(polar, borders, section.frame, frame.eem_seen)) {
    if (arc.why == HiddenArc::Why::kCalcium) section.calcium_deg = std::max(section.calcium_deg, arc.to_deg - arc.from_deg);
  }
  const double clear_share = outside_shadows > 0 ? static_cast<double>(clear) / outside_shadows : 0.0, eem_off = MediaTogether(clear_share, borders.clear_share);
  if (widest <= kMostHidden && clear_share >= kClearLeast) AddVessel(frame, seen, eem_off, section);
  const auto diameter_sd = [](double least, double off) { return std::sqrt(2.0 * kBorderSd * kBorderSd + 4.0 * off * off + std::pow(kSizeSd * least, 2.0)); };
  section.lumen_diameter_sd_mm = diameter_sd(section.lumen_min_mm, lumen_off);
  section.eem_diameter_sd_mm = diameter_sd(section.eem_min_mm, eem_off);
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
