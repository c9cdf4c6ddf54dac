// SPDX-License-Identifier: Apache-2.0
#include "imaging/trace/doubt.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "imaging/trace/blur_search.h"

namespace fairlead {
namespace {

// Fitted on phantoms of three grades and of none (docs/methods-trace.md, "Standard deviation").
// A diameter's variance where it lies alone: always; of its square; of the fit's; of the scatter round about; of how far its
// middle lies off the course; of its square for the samples put aside.
constexpr double kAny = 0.0003, kSquare = 0.0001, kFit = 0.85, kRough = 0.5, kBeside = 4.9, kAside = 0.0073;
// What other shadows near it add: of its square for a darkness that is not the vessel's, what is left over, noise; of the square of
// what it is wider than round about, for that darkness and for samples put aside; of the square of what another lumen would change.
constexpr double kCrowdDark = 0.014, kCrowdMisfit = 0.0019, kCrowdNoise = 0.11;
constexpr double kExcessDark = 1.36, kExcessAside = 1.7, kOtherwise = 1.2;
constexpr double kByHand = 0.0003;
// A sign counts whole from here on: logarithm of darkness; share of the samples; logarithm of what is left over; noise.
constexpr double kWholeDark = 0.3, kWholeAside = 0.2, kMostMisfit = 1.5, kMostNoise = 0.5;
// Another crest: as strong as noise raises one by itself, and by what more it counts whole; diameters within which it counts.
constexpr double kCrestAlways = 0.05, kCrestOfNoise = 2.0, kCrestWhole = 0.2, kCrestReach = 2.0;
// Where a vessel counts as wider than round about.
constexpr std::size_t kAbout = 50;                      // pixels on each side, about 10 mm
constexpr double kUsualWidth = 0.35, kUsualDark = 0.5;  // of the places there
constexpr double kTaper = 1.1;
constexpr std::size_t kRoughReach = 8;                  // pixels on each side
constexpr double kRoughUnknown = 2.0;                   // pixels, where too few places were measured

bool Seen(const CrossSection& s) { return s.kind == SectionKind::kMeasured || s.kind == SectionKind::kByHand; }

std::size_t FirstAbout(std::size_t i, std::size_t reach) { return i > reach ? i - reach : 0; }

double StrengthAt(const Vesselness& v, double x, double y) {
  const int column = std::clamp(static_cast<int>(std::lround(x)), 0, v.columns - 1), row = std::clamp(static_cast<int>(std::lround(y)), 0, v.rows - 1);
  return static_cast<double>(v.strength[static_cast<std::size_t>(row) * static_cast<std::size_t>(v.columns) + static_cast<std::size_t>(column)]);
}

// By how much the strength rises again on the way out, on the side where it rises most, up to each pixel of the way.
std::vector<double> RisesAcross(const Vesselness& v, PixelPoint at, PixelPoint normal, std::size_t reach) {
  std::vector<double> rises(reach + 1, 0.0);
  for (const double side : {-1.0, 1.0}) {
    double least = StrengthAt(v, at.x, at.y), most = 0.0;
    for (std::size_t k = 1; k <= reach; ++k) {
      const double t = side * static_cast<double>(k), here = StrengthAt(v, at.x + t * normal.x, at.y + t * normal.y);
      least = std::min(least, here), most = std::max(most, here - least);
      rises[k] = std::max(rises[k], most);
    }
  }
  return rises;
}

// The largest of them within a disc about a place.
double WithinDisc(std::span<const std::vector<double>> rises, std::size_t i, double reach) {
  double most = 0.0;
  const auto whole = static_cast<std::size_t>(reach);
  for (std::size_t k = FirstAbout(i, whole); k < std::min(rises.size(), i + whole + 1); ++k) {
    const double along = static_cast<double>(k) - static_cast<double>(i);
    const auto out = static_cast<std::size_t>(std::sqrt(std::max(0.0, reach * reach - along * along)));
    most = std::max(most, rises[k][std::min(out, rises[k].size() - 1)]);
  }
  return most;
}

// The value below which a share of the measured places round about lies; below 0 where they are few.
template <class Of>
double UsualAbout(const Edges& edges, std::size_t i, double share, Of of) {
  std::vector<double> near;
  for (std::size_t k = FirstAbout(i, kAbout); k < std::min(edges.sections.size(), i + kAbout + 1); ++k) {
    if (Seen(edges.sections[k])) near.push_back(of(edges.sections[k]));
  }
  if (near.size() < 5) return -1.0;
  const auto usual = near.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(near.size()));
  std::nth_element(near.begin(), usual, near.end());
  return *usual;
}

double RoughAbout(const Edges& edges, std::size_t i) {
  double n = 0, sx = 0, sy = 0, sxx = 0, sxy = 0, syy = 0;
  for (std::size_t k = FirstAbout(i, kRoughReach); k < std::min(edges.sections.size(), i + kRoughReach + 1); ++k) {
    if (!Seen(edges.sections[k])) continue;
    const double x = static_cast<double>(k) - static_cast<double>(i), y = edges.sections[k].right - edges.sections[k].left;
    n += 1, sx += x, sy += y, sxx += x * x, sxy += x * y, syy += y * y;
  }
  if (n < 6) return kRoughUnknown;
  const double along = sxx - sx * sx / n, both = sxy - sx * sy / n, across = syy - sy * sy / n;
  return std::min(kRoughUnknown, std::sqrt(std::max(0.0, across - both * both / std::max(1e-9, along)) / (n - 2)));
}

double Width(const CrossSection& s) { return std::max(0.0, s.right - s.left); }

}  // namespace

std::vector<PlaceSigns> SignsOf(const Edges& edges, std::span<const PixelPoint> centre, const Vesselness& vesselness) {
  std::vector<double> own;
  std::vector<std::vector<double>> rises;
  for (std::size_t i = 0; i < centre.size(); ++i) {
    own.push_back(StrengthAt(vesselness, centre[i].x, centre[i].y));
    rises.push_back(RisesAcross(vesselness, centre[i], edges.sections[i].normal, static_cast<std::size_t>(std::clamp(1.5 * kCrestReach * Width(edges.sections[i]), 4.0, 200.0))));
  }
  const double usual = std::max(1e-9, MedianOf(own));
  std::vector<PlaceSigns> all;
  for (std::size_t i = 0; i < centre.size(); ++i) {
    const CrossSection& s = edges.sections[i];
    PlaceSigns p{.wide = Width(s), .fit = 2.0 * s.radius_sd, .rough = RoughAbout(edges, i)};
    p.beside = s.middle - ((centre[i].x - s.on_course.x) * s.normal.x + (centre[i].y - s.on_course.y) * s.normal.y);
    p.aside = 1.0 - s.signs.trusted, p.misfit = s.signs.misfit, p.noise = s.signs.noise, p.otherwise = s.signs.otherwise, p.by_hand = s.kind == SectionKind::kByHand;
    const double dark = UsualAbout(edges, i, kUsualDark, [](const CrossSection& c) { return c.darkness; });
    if (dark > 0.0 && s.darkness > 0.0) p.darker = std::log(s.darkness / dark);
    const double about = UsualAbout(edges, i, kUsualWidth, Width);
    if (about > 0.0) p.excess = std::max(0.0, p.wide - kTaper * about);
    p.crest = WithinDisc(rises, i, kCrestReach * p.wide) / usual;
    all.push_back(p);
  }
  return all;
}

double Crowded(const PlaceSigns& signs) { return std::clamp((signs.crest - kCrestAlways - kCrestOfNoise * signs.noise) / kCrestWhole, 0.0, 1.0); }

double DiameterSd(const PlaceSigns& s) {
  const double square = s.wide * s.wide;
  if (s.by_hand) return std::sqrt(s.fit * s.fit + kByHand * square + 1e-6);
  const double aside = std::clamp(s.aside / kWholeAside, 0.0, 1.0), dark = std::clamp(std::abs(s.darker) / kWholeDark, 0.0, 1.0);
  const double misfit = std::clamp(std::log(std::max(1.0, s.misfit)), 0.0, kMostMisfit), noise = std::min(s.noise, kMostNoise);
  const double alone = kAny + (kSquare + kAside * aside) * square + kFit * s.fit * s.fit + kRough * s.rough * s.rough + kBeside * s.beside * s.beside;
  const double otherwise = std::min(s.otherwise, s.wide);
  const double others = (kCrowdDark * dark + kCrowdMisfit * misfit + kCrowdNoise * noise * noise) * square +
                        (kExcessDark * dark + kExcessAside * aside) * s.excess * s.excess + kOtherwise * otherwise * otherwise;
  return std::sqrt(alone + Crowded(s) * others);
}

}  // namespace fairlead
