// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/invented_picture.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "geometry/trigonometry.h"

namespace fairlead {
namespace {

constexpr double kStep = 0.02;                        // mm along a ray
constexpr float kKeeps = 0.95f, kRenews = 0.31225f;   // wall's speckle from frame to frame: squares add to 1
// The two spreads below shrink noise to this share of its sd: sqrt(85/625 x 70/256).
constexpr float kSpread = 0.19284f;
constexpr double kFloor = -40.0, kRange = 60.0;       // decibels: black, black to white

double AmplitudeOf(double decibels) { return ExpOf(decibels * (std::numbers::ln10 / 20.0)); }
std::size_t At(int ray, int sample, int depth) { return static_cast<std::size_t>(ray) * static_cast<std::size_t>(depth) + static_cast<std::size_t>(sample); }
int RayNear(double degrees) { return static_cast<int>(std::floor(degrees / 360.0 * kRays + 0.5)); }
int Wrapped(int ray) { return ((ray % kRays) + kRays) % kRays; }

// Arc tangent of y / x in rays, from sums and products: the series for the tangent of half of half the angle.
double RaysOf(double x, double y) {
  const double r = std::sqrt(x * x + y * y);
  if (r == 0.0) return 0.0;
  double c = x / r, s = y / r;
  const double sign = s < 0.0 ? -1.0 : 1.0;
  s = std::abs(s);
  double t = c < -0.999999999 ? 1e9 : s / (1.0 + c);    // tangent of half the angle, 0 to infinity
  const bool turned = t > 1.0;
  if (turned) t = 1.0 / t;
  t = t / (1.0 + std::sqrt(1.0 + t * t));              // of a quarter, at most 0.4142
  const double u = t * t;
  double sum = 0.0;
  for (int k = 13; k >= 0; --k) sum = 1.0 / (2.0 * k + 1.0) - u * sum;
  double quarter = t * sum;
  if (turned) quarter = std::numbers::pi / 4.0 - quarter;
  const double turn = sign * 4.0 * quarter / (2.0 * std::numbers::pi);
  return (turn < 0.0 ? turn + 1.0 : turn) * kRays;
}

}  // namespace

EchoLevel LevelOf(Grade grade) {
  switch (grade) {
    case Grade::kClean: return {-24, -22, -4, -44, 0.0, 0.0, 0.0, 1.0};
    case Grade::kTypical: return {};
    case Grade::kPoor: return {-11, -13, -5, -26, 1.2, 0.8, 3.0, 4.0};
  }
  return {};
}

InventedPicture::InventedPicture(const PullbackOrder& order, std::uint64_t seed)
    : order_(order), level_(LevelOf(order.grade)), step_(kStep), random_(seed) {
  const double half = 0.5 * order.size * order.pixel.millimetres();
  depth_ = std::max(48, static_cast<int>(half / step_) + 2);
  const std::size_t all = static_cast<std::size_t>(kRays) * static_cast<std::size_t>(depth_);
  for (auto* field : {&amplitude_, &echo_, &bright_, &real_, &imaginary_, &work_, &grey_, &wall_real_, &wall_imaginary_}) field->resize(all);
  moving_.resize(all), opaque_.resize(all);
  ring_.resize(static_cast<std::size_t>(kRays));
  for (float& one : ring_) one = 1.0f + 0.3f * random_.Noise();
  for (std::size_t i = 0; i < all; ++i) wall_real_[i] = random_.Noise(), wall_imaginary_[i] = random_.Noise();
  const double middle = 0.5 * (order.size - 1), samples = order.pixel.millimetres() / step_;
  for (int row = 0; row < order.size; ++row) {
    for (int column = 0; column < order.size; ++column) {
      const double x = column - middle, y = row - middle, ray = RaysOf(x, y);
      const double r = std::max(0.0, std::sqrt(x * x + y * y) * samples - 0.5);  // sample i lies at (i + 1/2) steps
      Place place;
      place.seen = r < depth_ - 2;
      if (place.seen) {
        place.sample = static_cast<std::uint32_t>(r), place.along = static_cast<float>(r - std::floor(r));
        place.ray = static_cast<std::uint32_t>(ray) % kRays, place.across = static_cast<float>(ray - std::floor(ray));
      }
      places_.push_back(place);
    }
  }
}

void InventedPicture::FillRay(int ray, const SectionTruth& section, const RayCrossing& crossing) {
  const auto k = static_cast<std::size_t>(ray);
  const double lumen = static_cast<double>(section.lumen[k]), eem = static_cast<double>(section.eem[k]);
  const double enter = crossing.enter, leave = crossing.leave;
  const auto blood = static_cast<float>(AmplitudeOf(level_.blood)), media = static_cast<float>(AmplitudeOf(level_.media));
  const auto plaque = static_cast<float>(AmplitudeOf(level_.plaque));
  for (int i = 0; i < depth_; ++i) {
    const double r = (i + 0.5) * step_;
    float a = 1.0f;
    bool moves = false;
    if (r < kCatheterRadius) a = 0.0f;
    else if (r < lumen) a = blood, moves = true;
    else if (section.inside) {
      if (r < lumen + kIntimaEdge) a = plaque + (1.2f - plaque) * section.lining[k];
      else if (r < eem - kMediaThickness) a = plaque;
      else if (r < eem) a = media;
    } else if (leave > 0.0 && r > enter && r < leave) {
      a = r < enter + kMediaThickness || r > leave - kMediaThickness ? media : plaque;
    }
    amplitude_[At(ray, i, depth_)] = a;
    moving_[At(ray, i, depth_)] = moves ? 1 : 0;
  }
}

void InventedPicture::AddCalcium(const InventedVessel& vessel, const SectionTruth& section) {
  if (!section.inside) return;
  for (const CalciumPlate& plate : vessel.calcium) {
    if (section.z_mm < plate.from_z || section.z_mm > plate.to_z) continue;
    for (int ray = RayNear(plate.middle_deg - plate.half_deg); ray <= RayNear(plate.middle_deg + plate.half_deg); ++ray) {
      const int wrapped = Wrapped(ray);
      const auto k = static_cast<std::size_t>(wrapped);
      const double lumen = static_cast<double>(section.lumen[k]), inner = static_cast<double>(section.eem[k]) - kMediaThickness;
      const double from = lumen + plate.depth * std::max(0.0, inner - lumen);
      const int first = static_cast<int>(from / step_);
      for (int i = first; i < std::min(depth_, first + 8); ++i) amplitude_[At(wrapped, i, depth_)] = 4.5f;
      if (first + 8 < depth_) opaque_[At(wrapped, first + 8, depth_)] = 1;
    }
  }
}

// A branch is blood from where it opens: into the true lumen, else out of the media, with plaque between it and the channel.
void InventedPicture::AddBranch(const SectionTruth& section) {
  if (!section.branch) return;
  const auto blood = static_cast<float>(AmplitudeOf(level_.blood));
  const int first = RayNear(section.branch->from_deg), last = RayNear(section.branch->to_deg);
  for (int ray = first - 1; ray <= last + 1; ++ray) {
    const int wrapped = Wrapped(ray);
    const auto k = static_cast<std::size_t>(wrapped);
    const bool wall = ray < first || ray > last, here = section.space == SpaceTruth::kLumen;
    const double from = static_cast<double>(here && !wall ? section.lumen[k] : section.eem[k]) - (here || wall ? 0.0 : kMediaThickness);
    for (int i = static_cast<int>(from / step_); i < depth_; ++i) {
      const std::size_t at = At(wrapped, i, depth_);
      amplitude_[at] = wall ? 1.2f : blood;
      moving_[at] = wall ? 0 : 1, opaque_[at] = 0;
    }
  }
}

void InventedPicture::AddWire(const WireTruth& wire, double decibels) {
  const auto strong = static_cast<float>(AmplitudeOf(decibels));
  const int middle = RayNear(wire.angle_deg), sample = static_cast<int>(wire.distance_mm / step_);
  for (int offset = -2; offset <= 2; ++offset) {
    const int ray = Wrapped(middle + offset);
    for (int i = sample; i < std::min(depth_, sample + 4); ++i) {
      if (i >= 0) bright_[At(ray, i, depth_)] = std::abs(offset) == 2 ? 0.4f * strong : strong;
    }
    if (sample + 4 < depth_) opaque_[At(ray, sample + 4, depth_)] = 1;
  }
}

// Struts: bright, some 4 degrees wide, with a shadow of that width.
void InventedPicture::AddStent(const SectionTruth& section) {
  if (!section.stent) return;
  const auto strong = static_cast<float>(AmplitudeOf(10.0));
  for (const double degrees : section.struts_deg) {
    const int middle = RayNear(degrees);
    for (int offset = -1; offset <= 1; ++offset) {
      const int ray = Wrapped(middle + offset);
      const int sample = static_cast<int>(static_cast<double>((*section.stent)[static_cast<std::size_t>(ray)]) / step_);
      for (int i = std::max(0, sample); i < std::min(depth_, sample + 4); ++i) bright_[At(ray, i, depth_)] = strong;
      if (sample + 4 < depth_) opaque_[At(ray, sample + 4, depth_)] = 1;
    }
  }
}

// What stands behind something opaque gives no echo; the beam also weakens by 1 dB a millimetre beyond the gain.
void InventedPicture::Shade() {
  const auto fade = static_cast<float>(AmplitudeOf(-1.0 * step_));
  for (int ray = 0; ray < kRays; ++ray) {
    float left = 1.0f;
    for (int i = 0; i < depth_; ++i) {
      const std::size_t at = At(ray, i, depth_);
      if (opaque_[at] != 0) left *= 0.02f;
      left *= fade;
      amplitude_[at] *= left;
      bright_[at] *= left;
    }
  }
}

void InventedPicture::FillTissue(const InventedVessel& vessel, const SectionTruth& section) {
  std::fill(opaque_.begin(), opaque_.end(), std::uint8_t{0});
  std::fill(bright_.begin(), bright_.end(), 0.0f);
  std::array<RayCrossing, kRays> crossings{};
  if (!section.inside) crossings = CrossingsAt(vessel, section.z_mm);
  for (int ray = 0; ray < kRays; ++ray) FillRay(ray, section, crossings[static_cast<std::size_t>(ray)]);
  AddCalcium(vessel, section);
  AddBranch(section);
  AddWire(section.guidewire, 12.0);
  if (section.far_wire) AddWire(*section.far_wire, 14.0);
  AddStent(section);
  Shade();
}

// Five samples twice along the ray, (1 4 6 4 1) / 16 across rays.
void InventedPicture::Blur(std::vector<float>& field) {
  for (int ray = 0; ray < kRays; ++ray) {
    float* line = &field[At(ray, 0, depth_)];
    float* half = &work_[At(ray, 0, depth_)];
    for (int i = 0; i < depth_; ++i) {
      float sum = 0.0f;
      for (int k = std::max(0, i - 2); k <= std::min(depth_ - 1, i + 2); ++k) sum += line[k];
      half[i] = 0.2f * sum;
    }
    for (int i = 0; i < depth_; ++i) {
      float sum = 0.0f;
      for (int k = std::max(0, i - 2); k <= std::min(depth_ - 1, i + 2); ++k) sum += half[k];
      line[i] = 0.2f * sum;
    }
  }
  work_ = field;
  for (int ray = 0; ray < kRays; ++ray) {
    const float* l2 = &work_[At(Wrapped(ray - 2), 0, depth_)];
    const float* l1 = &work_[At(Wrapped(ray - 1), 0, depth_)];
    const float* m = &work_[At(ray, 0, depth_)];
    const float* r1 = &work_[At(Wrapped(ray + 1), 0, depth_)];
    const float* r2 = &work_[At(Wrapped(ray + 2), 0, depth_)];
    float* to = &field[At(ray, 0, depth_)];
    for (int i = 0; i < depth_; ++i) to[i] = 0.0625f * (l2[i] + r2[i] + 4.0f * (l1[i] + r1[i]) + 6.0f * m[i]);
  }
}

void InventedPicture::Scatter() {
  for (std::size_t i = 0; i < real_.size(); ++i) {
    wall_real_[i] = kKeeps * wall_real_[i] + kRenews * random_.Noise();
    wall_imaginary_[i] = kKeeps * wall_imaginary_[i] + kRenews * random_.Noise();
    const bool moves = moving_[i] != 0;
    real_[i] = amplitude_[i] * (moves ? random_.Noise() : wall_real_[i]);
    imaginary_[i] = amplitude_[i] * (moves ? random_.Noise() : wall_imaginary_[i]);
  }
  Blur(real_);
  Blur(imaginary_);
  Blur(bright_);
}

void InventedPicture::Develop(bool saturated) {
  const auto noise = static_cast<float>(AmplitudeOf(level_.noise));
  const double gain = saturated ? 18.0 : 0.0;
  for (int ray = 0; ray < kRays; ++ray) {
    for (int i = 0; i < depth_; ++i) {
      const std::size_t at = At(ray, i, depth_);
      const double r = (i + 0.5) * step_;
      float re = real_[at] / (kSpread * 1.41421356f) + noise * random_.Noise();
      const float im = imaginary_[at] / (kSpread * 1.41421356f) + noise * random_.Noise();
      re += bright_[at];
      if (r >= kCatheterRadius && r < kCatheterRadius + 0.6) {
        re += static_cast<float>(level_.ring_down * ExpOf(-(r - kCatheterRadius) / 0.12)) * ring_[static_cast<std::size_t>(ray)];
      }
      const double envelope = std::max(1e-4, static_cast<double>(std::sqrt(re * re + im * im)));
      const double decibels = 20.0 / std::numbers::ln10 * LogOf(envelope) + gain;
      grey_[at] = r < kCatheterRadius ? 0.0f : static_cast<float>(std::clamp((decibels - kFloor) / kRange, 0.0, 1.0) * 255.0);
    }
  }
}

void InventedPicture::Convert(std::span<std::uint8_t> frame) const {
  for (std::size_t i = 0; i < places_.size(); ++i) {
    const Place& place = places_[i];
    if (!place.seen) {
      frame[i] = 0;
      continue;
    }
    const float* a = &grey_[At(static_cast<int>(place.ray), static_cast<int>(place.sample), depth_)];
    const float* b = &grey_[At(Wrapped(static_cast<int>(place.ray) + 1), static_cast<int>(place.sample), depth_)];
    const float first = a[0] + place.along * (a[1] - a[0]), second = b[0] + place.along * (b[1] - b[0]);
    frame[i] = static_cast<std::uint8_t>(first + place.across * (second - first) + 0.5f);
  }
}

void InventedPicture::Take(const InventedVessel& vessel, const SectionTruth& section, std::span<std::uint8_t> frame) {
  FillTissue(vessel, section);
  Scatter();
  Develop(order_.saturated && taken_ % 2 == 1);
  Convert(frame);
  ++taken_;
}

}  // namespace fairlead
