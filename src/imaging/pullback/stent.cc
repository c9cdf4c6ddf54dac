// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/stent.h"

#include <algorithm>
#include <cmath>

#include "imaging/pullback/circle_path.h"

namespace fairlead {
namespace {

// Score of a ray from which it is taken for a strut's. Chosen on invented pullbacks of seeds 3 to 10: three quarters of
// the struts lie above it, 2 to 4 in 100 of other bright places.
constexpr float kStrut = 1.5f;
constexpr double kNearest = 0.2;             // mm from the catheter's wall: nearer is ring-down
constexpr double kIntoWall = 0.35;           // mm behind the lumen's border in which struts are looked for
constexpr double kBehindFrom = 0.25, kBehindTo = 1.25, kBehindLeast = 0.4;  // mm behind an echo where its shadow lies
constexpr int kApartRays = 5;                // 14 degrees: nearer echoes are one strut
constexpr int kStrutsAtLeast = 5;            // in a frame that shows a stent
constexpr int kSectors = 6, kSectorsAtLeast = 4;  // struts lie all round: calcium and wires do not
constexpr int kVote = 4;                     // frames on each side that say together whether there is a stent
constexpr int kShare = 3;                    // frames on each side whose struts draw one contour
constexpr int kLeast = 9;                    // frames of the shortest stent that is claimed; chosen
constexpr float kStiff = 0.06f;              // price of one sample's step between rays
constexpr double kPullWidth = 0.10;          // mm round a strut in which the contour is drawn to it
constexpr double kStrutSd = 0.05;            // mm on a ray, of groups of 12 rays; measured on invented pullbacks, docs/methods-ultrasound.md
constexpr double kAlikeRays = 12.0;
constexpr double kReferenceReach = 10.0;     // mm from the stent's end: kStentReferenceSource
constexpr double kTurn = 6.283185307179586;

struct Strut {
  int ray = 0;
  float sample = 0.0f, strength = 0.0f;
};

int Apart(int a, int b) {
  const int d = std::abs(a - b) % kAngles;
  return std::min(d, kAngles - d);
}

int RayOf(double degrees) { return ((static_cast<int>(std::lround(degrees / 360.0 * kAngles)) % kAngles) + kAngles) % kAngles; }

// The strongest rays that look like a strut, no two nearer than kApartRays; those of the wires are left out.
std::vector<Strut> StrutsIn(const WireScore& score, const std::vector<int>& wires) {
  std::vector<Strut> struts;
  for (int ray = 0; ray < kAngles; ++ray) {
    const auto k = static_cast<std::size_t>(ray);
    if (score.value[k] < kStrut) continue;
    if (std::ranges::any_of(wires, [&](int wire) { return Apart(wire, ray) <= 3; })) continue;
    struts.push_back({ray, score.sample[k], score.value[k]});
  }
  std::ranges::sort(struts, [](const Strut& a, const Strut& b) { return a.strength > b.strength || (a.strength == b.strength && a.ray < b.ray); });
  std::vector<Strut> kept;
  for (const Strut& each : struts) {
    if (std::ranges::none_of(kept, [&](const Strut& other) { return Apart(other.ray, each.ray) < kApartRays; })) kept.push_back(each);
  }
  // Struts of one stent lie on one smooth ring: what stands far from the others' middle is another echo.
  std::vector<float> samples;
  samples.reserve(kept.size());
  for (const Strut& each : kept) samples.push_back(each.sample);
  if (samples.size() < 3) return kept;
  std::ranges::nth_element(samples, samples.begin() + static_cast<std::ptrdiff_t>(samples.size() / 2));
  const float middle = samples[samples.size() / 2];
  std::erase_if(kept, [&](const Strut& each) { return std::abs(each.sample - middle) > 0.55f * middle; });
  return kept;
}

bool AllRound(const std::vector<Strut>& struts) {
  std::array<bool, kSectors> there{};
  for (const Strut& each : struts) there[static_cast<std::size_t>(each.ray * kSectors / kAngles)] = true;
  return static_cast<int>(struts.size()) >= kStrutsAtLeast && std::ranges::count(there, true) >= kSectorsAtLeast;
}

// The longest run of frames of which most neighbours show struts all round; with a person's points at least theirs.
// Frames that are far too bright have no vote.
std::optional<std::pair<int, int>> Span(const std::vector<std::vector<Strut>>& struts, const std::vector<bool>& too_bright, const std::vector<StentPoint>& points) {
  const int frames = static_cast<int>(struts.size());
  std::vector<int> shows(struts.size() + 1, 0), votes(struts.size() + 1, 0);
  for (std::size_t f = 0; f < struts.size(); ++f) votes[f + 1] = votes[f] + (too_bright[f] ? 0 : 1);
  for (int f = 0; f < frames; ++f) shows[static_cast<std::size_t>(f) + 1] = shows[static_cast<std::size_t>(f)] + (AllRound(struts[static_cast<std::size_t>(f)]) ? 1 : 0);
  std::optional<std::pair<int, int>> best;
  for (int f = 0; f < frames;) {
    const auto most = [&](int at) {
      const int from = std::max(0, at - kVote), to = std::min(frames - 1, at + kVote);
      return 2 * (shows[static_cast<std::size_t>(to) + 1] - shows[static_cast<std::size_t>(from)]) > votes[static_cast<std::size_t>(to) + 1] - votes[static_cast<std::size_t>(from)];
    };
    if (!most(f)) {
      ++f;
      continue;
    }
    int last = f;
    while (last + 1 < frames && most(last + 1)) ++last;
    if (last - f + 1 >= kLeast && (!best || last - f > best->second - best->first)) best = {f, last};
    f = last + 1;
  }
  for (const StentPoint& point : points) {
    const int from = std::max(0, point.frame - kPinned), to = std::min(frames - 1, point.frame + kPinned);
    best = best ? std::pair{std::min(best->first, from), std::max(best->second, to)} : std::pair{from, to};
  }
  return best;
}

class Drawer {
 public:
  Drawer(const Polar& polar, const Borders& borders) : polar_(polar), borders_(borders), cost_(static_cast<std::size_t>(kAngles) * static_cast<std::size_t>(polar.depth)) {}

  std::array<float, kAngles> Contour(int frame, const std::vector<std::vector<Strut>>& struts, int first, int last, const std::vector<StentPoint>& points) {
    std::ranges::fill(cost_, 0.0f);
    for (int f = std::max(first, frame - kShare); f <= std::min(last, frame + kShare); ++f) {
      const float weight = 1.0f - static_cast<float>(std::abs(f - frame)) / (kShare + 1.0f);
      for (const Strut& strut : struts[static_cast<std::size_t>(f)]) Draw(strut, weight * std::min(5.0f, strut.strength));
    }
    // Between struts the lumen's border says where the stent is likely to be: a weak pull.
    const BorderFrame& border = borders_.frames[static_cast<std::size_t>(frame)];
    for (int ray = 0; ray < kAngles; ++ray) {
      const double lumen = static_cast<double>(border.lumen[static_cast<std::size_t>(ray)]) / polar_.step_mm;
      float* cost = &cost_[static_cast<std::size_t>(ray) * static_cast<std::size_t>(polar_.depth)];
      for (int i = 0; i < polar_.depth; ++i) {
        const double d = (i - lumen) * polar_.step_mm / 0.3;
        cost[i] += static_cast<float>(0.05 * std::min(4.0, d * d));
      }
    }
    for (const StentPoint& point : points) Pin(point, frame);
    std::array<float, kAngles> path{};
    path_.Find(cost_, polar_.depth, kStiff, path);
    std::array<float, kAngles> smooth{};
    for (int ray = 0; ray < kAngles; ++ray) {
      float sum = 0.0f;
      for (int offset = -2; offset <= 2; ++offset) sum += path[static_cast<std::size_t>((ray + offset + kAngles) % kAngles)];
      smooth[static_cast<std::size_t>(ray)] = sum / 5.0f * static_cast<float>(polar_.step_mm);
    }
    return smooth;
  }

 private:
  void Draw(const Strut& strut, float strength) {
    const double width = kPullWidth / polar_.step_mm;
    for (int offset = -1; offset <= 1; ++offset) {
      const auto ray = static_cast<std::size_t>((strut.ray + offset + kAngles) % kAngles);
      for (int i = std::max(0, static_cast<int>(static_cast<double>(strut.sample) - 3.0 * width)); i < std::min(polar_.depth, static_cast<int>(static_cast<double>(strut.sample) + 3.0 * width) + 1); ++i) {
        const double d = (i - static_cast<double>(strut.sample)) / width;
        cost_[ray * static_cast<std::size_t>(polar_.depth) + static_cast<std::size_t>(i)] -= strength * static_cast<float>(std::exp(-0.5 * d * d));
      }
    }
  }

  void Pin(const StentPoint& point, int frame) {
    const int away = std::abs(point.frame - frame);
    if (away > kPinned) return;
    for (int offset = -4; offset <= 4; ++offset) {
      const auto ray = static_cast<std::size_t>((RayOf(point.angle_deg) + offset + kAngles) % kAngles);
      const double weight = 4.0 * (1.0 - away / (kPinned + 1.0)) * std::exp(-offset * offset / 6.0);
      for (int i = 0; i < polar_.depth; ++i) {
        const double d = i - point.distance_mm / polar_.step_mm;
        cost_[ray * static_cast<std::size_t>(polar_.depth) + static_cast<std::size_t>(i)] += static_cast<float>(weight * std::min(900.0, d * d));
      }
    }
  }

  const Polar& polar_;
  const Borders& borders_;
  std::vector<float> cost_;
  CirclePath path_;
};

// By how much a whole contour may be off, mm: between struts it follows the lumen's border, and that is placed the worse the
// less blood and plaque differ (kChannelSd). The share of it is chosen on invented pullbacks of seeds 31 to 48.
double Together(const Borders& borders) { return 0.75 * std::hypot(kChannelSd, kChannelContrast / std::max(10.0, borders.levels.plaque - borders.levels.blood)); }

// Its own error, on rays and all round, and that of the catheter's scale.
double AreaSdOf(const std::array<float, kAngles>& contour, double area, double together) {
  double square = 0.0, around = 0.0;
  for (const float r : contour) {
    const double edge = static_cast<double>(r) * kTurn / kAngles;
    square += kAlikeRays * edge * edge * kStrutSd * kStrutSd;
    around += edge;
  }
  return std::sqrt(square + around * around * together * together + std::pow(2.0 * kSizeSd * area, 2.0));
}

// Without the catheter's scale, which is the same in both areas of a ratio.
double OwnSd(const AreaReading& area) { return std::sqrt(std::max(0.0, area.sd * area.sd - std::pow(2.0 * kSizeSd * area.value, 2.0))); }

std::optional<int> ReferenceFrom(const std::vector<PullbackSection>& sections, int from, int step) {
  std::optional<int> best;
  for (int f = from + step; f >= 0 && f < static_cast<int>(sections.size()); f += step) {
    const PullbackSection& here = sections[static_cast<std::size_t>(f)];
    const auto& end = sections[static_cast<std::size_t>(from)];
    if (here.z_mm && end.z_mm && std::abs(*here.z_mm - *end.z_mm) > kReferenceReach) break;
    if (!here.eem) continue;                   // where the vessel is hidden the lumen is no reference
    if (!best || here.lumen.value > sections[static_cast<std::size_t>(*best)].lumen.value) best = f;
  }
  return best;
}

void AddRatio(StentReading& stent, std::string_view against, const AreaReading& reference, SourceId source) {
  if (reference.value <= 0.0) return;
  const double ratio = stent.smallest_area.value / reference.value;
  const double own = OwnSd(stent.smallest_area) / stent.smallest_area.value, other = OwnSd(reference) / reference.value;
  stent.expansion.push_back({against, ratio, ratio * std::hypot(own, other), source});
}

void Expand(const std::vector<PullbackSection>& sections, StentReading& stent) {
  stent.reference_before = ReferenceFrom(sections, stent.first, -1);
  stent.reference_after = ReferenceFrom(sections, stent.last, 1);
  const auto lumen = [&](const std::optional<int>& at) { return sections[static_cast<std::size_t>(*at)].lumen; };
  if (stent.reference_before && stent.reference_after) {
    const AreaReading a = lumen(stent.reference_before), b = lumen(stent.reference_after);
    AddRatio(stent, "the mean lumen of both references", {0.5 * (a.value + b.value), std::hypot(0.5 * std::hypot(OwnSd(a), OwnSd(b)), kSizeSd * (a.value + b.value))}, kStentExpansionSource);
  }
  if (stent.reference_before) AddRatio(stent, "the reference before its first frame", lumen(stent.reference_before), kStentDistalSource);
  if (stent.reference_after) AddRatio(stent, "the reference after its last frame", lumen(stent.reference_after), kStentDistalSource);
}

}  // namespace

WireScore StrutScore(const Polar& polar, const Borders& borders, int frame) {
  WireScore raw;
  raw.value.fill(-9.0f);
  if (borders.too_bright[static_cast<std::size_t>(frame)]) return raw;
  const BorderFrame& border = borders.frames[static_cast<std::size_t>(frame)];
  const int first = static_cast<int>((borders.catheter_mm + kNearest) / polar.step_mm) + 1;
  const int from = static_cast<int>(kBehindFrom / polar.step_mm), to = static_cast<int>(kBehindTo / polar.step_mm), least = static_cast<int>(kBehindLeast / polar.step_mm);
  const auto usual = static_cast<float>(borders.levels.adventitia);
  std::vector<float> sum(static_cast<std::size_t>(polar.depth) + 1);
  for (int ray = 0; ray < kAngles; ++ray) {
    const auto k = static_cast<std::size_t>(ray);
    const auto grey = polar.Ray(frame, ray);
    for (std::size_t i = 0; i < grey.size(); ++i) sum[i + 1] = sum[i] + static_cast<float>(grey[i]);
    const int last = std::min(static_cast<int>((static_cast<double>(border.lumen[k]) + kIntoWall) / polar.step_mm), polar.depth - from - least - 1);
    for (int i = first; i < last; ++i) {
      const auto at = static_cast<std::size_t>(i);
      const auto dark_from = static_cast<std::size_t>(i + from), dark_to = static_cast<std::size_t>(std::min(i + to, polar.depth));
      const float echo = (sum[at + 4] - sum[at]) / 4.0f, dark = (sum[dark_to] - sum[dark_from]) / static_cast<float>(dark_to - dark_from);
      const float score = std::clamp((echo - usual) / 25.0f, -1.0f, 2.5f) + std::clamp((usual - dark) / 25.0f, -1.0f, 2.0f);
      if (score > raw.value[k]) raw.value[k] = score, raw.sample[k] = static_cast<float>(i);
    }
  }
  WireScore narrow = raw;  // against the middle two of four rays beside it: calcium holds there too
  for (int ray = 0; ray < kAngles; ++ray) {
    std::array<float, 4> beside{};
    constexpr std::array<int, 4> kOffsets = {-4, -3, 3, 4};
    for (std::size_t i = 0; i < 4; ++i) beside[i] = raw.value[static_cast<std::size_t>((ray + kOffsets[i] + kAngles) % kAngles)];
    std::ranges::sort(beside);
    narrow.value[static_cast<std::size_t>(ray)] -= std::max(0.0f, 0.5f * (beside[1] + beside[2]));
  }
  return narrow;
}

std::optional<StentReading> FindStent(const Polar& polar, const Borders& borders, const std::vector<WireScore>& scores, const Wires& wires,
                                      const std::vector<PullbackSection>& sections, const std::vector<StentPoint>& points) {
  std::vector<std::vector<Strut>> struts(scores.size());
  for (std::size_t f = 0; f < struts.size(); ++f) {
    std::vector<int> at;
    if (f < wires.riding.frames.size()) at.push_back(RayOf(wires.riding.frames[f].angle_deg));
    if (!borders.blank[f]) struts[f] = StrutsIn(scores[f], at);
  }
  const auto span = Span(struts, borders.too_bright, points);
  if (!span) return std::nullopt;
  StentReading stent;
  stent.first = span->first, stent.last = span->second, stent.by_reader = !points.empty();
  Drawer drawer(polar, borders);
  for (int f = stent.first; f <= stent.last; ++f) {
    StentFrame frame;
    frame.frame = f;
    frame.struts = static_cast<int>(struts[static_cast<std::size_t>(f)].size());
    frame.contour = drawer.Contour(f, struts, stent.first, stent.last, points);
    const BorderSize size = SizeOf(frame.contour);
    frame.area = {size.area, AreaSdOf(frame.contour, size.area, Together(borders))};
    frame.min_mm = size.least, frame.max_mm = size.most;
    frame.diameter_sd_mm = std::sqrt(2.0 * kStrutSd * kStrutSd + 4.0 * std::pow(Together(borders), 2.0) + std::pow(kSizeSd * frame.min_mm, 2.0));
    stent.frames.push_back(frame);
  }
  double least = 1e9;
  for (std::size_t i = 0; i < stent.frames.size(); ++i) {  // the median of three, so that one frame's slip is no minimum
    std::array<double, 3> three = {stent.frames[i == 0 ? 0 : i - 1].area.value, stent.frames[i].area.value, stent.frames[std::min(i + 1, stent.frames.size() - 1)].area.value};
    std::ranges::sort(three);
    if (three[1] >= least) continue;
    least = three[1];
    stent.smallest = stent.frames[i].frame;
    stent.smallest_area = {three[1], stent.frames[i].area.sd};
  }
  Expand(sections, stent);
  return stent;
}

}  // namespace fairlead
