// SPDX-License-Identifier: Apache-2.0
#include "imaging/pullback/invented_vessel.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/trigonometry.h"
#include "imaging/phantom/random.h"

namespace fairlead {
namespace {

constexpr std::array<std::string_view, 8> kScenes{"open", "plaque", "plaque-far-outside", "outside", "outside-far-outside", "reentry", "lumen", "entry"};

SineCosine Turned(double degrees) { return SineCosineOf(Angle::Degrees(degrees)); }

Wave MakeWave(SeededRandom& random, double size) {
  Wave wave;
  for (std::size_t i = 0; i < wave.size.size(); ++i) {
    wave.size[i] = size * random.Within(0.4, 1.0) / 1.8;
    wave.per_mm[i] = 360.0 / random.Within(5.0, 25.0);
    wave.phase[i] = random.Within(0.0, 360.0);
  }
  return wave;
}

struct Ellipse {
  double x = 0, y = 0, a = 1, b = 1, sine = 0, cosine = 1;
};

// The two distances at which the ray (dx, dy) from the origin meets the ellipse; none: both 0.
RayCrossing Meet(const Ellipse& e, double dx, double dy) {
  const double px = (-e.x * e.cosine - e.y * e.sine) / e.a, py = (e.x * e.sine - e.y * e.cosine) / e.b;
  const double qx = (dx * e.cosine + dy * e.sine) / e.a, qy = (-dx * e.sine + dy * e.cosine) / e.b;
  const double qq = qx * qx + qy * qy, pq = px * qx + py * qy, rest = pq * pq - qq * (px * px + py * py - 1.0);
  if (rest <= 0.0) return {};
  const double root = std::sqrt(rest), far = (-pq + root) / qq, near_mm = (-pq - root) / qq;
  return far <= 0.0 ? RayCrossing{} : RayCrossing{std::max(0.0, near_mm), far};
}

Ellipse RingAt(const InventedVessel& vessel, double z) {
  const double radius = vessel.radius + vessel.size.At(z);
  const SineCosine turn = Turned(vessel.turn.At(z));
  Ellipse ring{vessel.shift_x.At(z), vessel.shift_y.At(z), radius * (1.0 + vessel.flatness), radius * (1.0 - vessel.flatness), turn.sine, turn.cosine};
  if (z >= vessel.outside_from) {  // beside the catheter: its wall 0.25 to 0.5 mm from the catheter's
    const double away = radius + kCatheterRadius + 0.35 + 0.5 * vessel.crescent.At(z);
    const SineCosine to = Turned(40.0 + 3.0 * vessel.turn.At(z));
    ring.x = away * to.cosine, ring.y = away * to.sine;
  }
  return ring;
}

// A stent that was opened less in its middle.
double PinchAt(const InventedVessel& vessel, double z) {
  if (z < vessel.stent_from || z > vessel.stent_to) return 1.0;
  const double share = (z - vessel.stent_from) / (vessel.stent_to - vessel.stent_from);
  return 1.0 - (1.0 - vessel.least) * Turned(180.0 * share).sine;
}

void FillStent(const InventedVessel& vessel, double z, SectionTruth& section) {
  if (z < vessel.stent_from || z > vessel.stent_to) return;
  section.stent = section.lumen;                // struts lie in the lumen's border
  for (int i = 0; i < vessel.struts; ++i) {
    const double degrees = 360.0 * i / vessel.struts + vessel.strut_shift[static_cast<std::size_t>(i)] + vessel.strut_turn * (z - vessel.stent_from);
    section.struts_deg.push_back(degrees - 360.0 * std::floor(degrees / 360.0));
  }
}

void FillInside(const InventedVessel& vessel, double z, const Ellipse& ring, SectionTruth& section) {
  const double open = vessel.narrow ? 0.72 + 0.3 * vessel.lumen_size.At(z) : 0.68 * (vessel.radius + vessel.size.At(z)) + vessel.lumen_size.At(z);
  const SineCosine turn = Turned(30.0 + 2.0 * vessel.turn.At(z));
  Ellipse lumen{vessel.lumen_x.At(z), vessel.lumen_y.At(z), open * 1.06, open * 0.94, turn.sine, turn.cosine};
  if (!vessel.narrow) lumen.x += ring.x, lumen.y += ring.y;
  const double pinch = PinchAt(vessel, z);
  lumen.a *= pinch, lumen.b *= pinch;
  const double waves = vessel.ripple.At(z);
  for (int i = 0; i < kRays; ++i) {
    const double degrees = 360.0 * i / kRays;
    const SineCosine at = Turned(degrees);
    const double bump = 1.0 + 0.02 * Turned(3.0 * degrees + 90.0 * waves).sine + 0.012 * Turned(5.0 * degrees - 70.0 * waves).sine;
    const auto k = static_cast<std::size_t>(i);
    const double eem = Meet(ring, at.cosine, at.sine).leave * (1.0 + 0.4 * (bump - 1.0));
    const double least = kCatheterRadius + 0.06;
    section.eem[k] = static_cast<float>(std::max(eem, least + 0.35));
    section.lumen[k] = static_cast<float>(std::clamp(Meet(lumen, at.cosine, at.sine).leave * bump, least, static_cast<double>(section.eem[k]) - 0.32));
  }
}

// Of the intima's bright edge: patches that turn slowly along the vessel. All of a ring but little in a true lumen.
void FillLining(const InventedVessel& vessel, double z, SectionTruth& section) {
  const double bare = section.space == SpaceTruth::kLumen ? vessel.lumen_bare : vessel.plaque_bare;
  const double two = 90.0 * vessel.patch_two.At(z), three = 90.0 * vessel.patch_three.At(z), five = 90.0 * vessel.patch_five.At(z);
  for (int i = 0; i < kRays; ++i) {
    const double degrees = 360.0 * i / kRays;
    const double patch = Turned(2.0 * degrees + two).sine + 0.7 * Turned(3.0 * degrees + three).sine + 0.5 * Turned(5.0 * degrees + five).sine;
    section.lining[static_cast<std::size_t>(i)] = static_cast<float>(std::clamp((patch - bare) / 0.4, 0.0, 1.0));
  }
}

void FillBranch(const InventedVessel& vessel, double z, SectionTruth& section) {
  const double off = (z - vessel.branch_at) / vessel.branch_half;
  if (off * off >= 1.0) return;
  const auto ray = static_cast<std::size_t>(static_cast<int>(vessel.branch_deg / 360.0 * kRays) % kRays);
  const double half = vessel.branch_radius * std::sqrt(1.0 - off * off) / static_cast<double>(section.eem[ray]) * 180.0 / std::numbers::pi;
  section.branch = ArcTruth{vessel.branch_deg - half, vessel.branch_deg + half};
}

void FillOutside(const InventedVessel& vessel, double z, SectionTruth& section) {
  for (int i = 0; i < kRays; ++i) {
    const double degrees = 360.0 * i / kRays;
    const double wide = 0.22 + 0.12 * Turned(2.0 * degrees + 120.0 * vessel.ripple.At(z)).sine;  // a crescent of blood
    section.lumen[static_cast<std::size_t>(i)] = static_cast<float>(kCatheterRadius + 0.1 + std::max(0.0, wide));
  }
}

std::size_t RayOf(double degrees) {
  const double turns = degrees / 360.0;
  return static_cast<std::size_t>((turns - std::floor(turns)) * kRays + 0.5) % kRays;
}

double Within360(double degrees) { return degrees - 360.0 * std::floor(degrees / 360.0); }

WireTruth FarWireAt(const InventedVessel& vessel, double z, const SectionTruth& section, const std::array<RayCrossing, kRays>& crossings) {
  WireTruth wire;
  wire.in_plaque = vessel.far == 1;
  const double depth = std::clamp(0.5 + vessel.far_depth.At(z), 0.25, 0.75);
  if (section.inside) {
    wire.angle_deg = Within360(vessel.far_angle.At(z));
    const std::size_t ray = RayOf(wire.angle_deg);
    const double lumen = static_cast<double>(section.lumen[ray]), eem = static_cast<double>(section.eem[ray]);
    const double from = lumen + 0.12, to = eem - kMediaThickness - 0.1;
    wire.distance_mm = vessel.far == 1 ? from + depth * std::max(0.0, to - from) : eem + 0.15 + 0.3 * depth;
    return wire;
  }
  const double towards = 40.0 + 3.0 * vessel.turn.At(z);  // the vessel's middle
  wire.angle_deg = Within360(vessel.far == 1 ? towards + 0.06 * vessel.far_angle.At(z) - 10.0 : towards + 150.0 + 0.1 * vessel.far_angle.At(z));
  const std::size_t ray = RayOf(wire.angle_deg);
  wire.distance_mm = vessel.far == 1 ? crossings[ray].enter + kMediaThickness + 0.15 + depth : static_cast<double>(section.lumen[ray]) + 0.1 + 0.4 * depth;
  return wire;
}

}  // namespace

std::span<const std::string_view> PullbackScenes() { return kScenes; }

double Wave::At(double z) const {
  double sum = 0.0;
  for (std::size_t i = 0; i < size.size(); ++i) sum += size[i] * Turned(phase[i] + per_mm[i] * z).sine;
  return sum;
}

Result<InventedVessel> MakeVessel(const PullbackOrder& order) {
  if (std::ranges::find(kScenes, order.scene) == kScenes.end()) {
    std::string known;
    for (const auto name : kScenes) known += (known.empty() ? "known are " : ", ") + std::string(name);
    return Error{"there is no such scene", "--scene " + order.scene.substr(0, 40), known, Fault::kUsage};
  }
  SeededRandom random(order.seed * 7919 + 17);
  InventedVessel vessel;
  vessel.narrow = order.scene != "open";
  const double length = order.frames * order.speed_mm_s * order.frame_time.seconds();
  if (order.scene.starts_with("outside")) vessel.outside_from = -1e9;
  if (order.scene == "reentry") vessel.outside_from = 0.5 * length;
  if (order.scene == "open" || order.scene == "lumen") vessel.lumen_to = 1e9;
  if (order.scene == "entry") vessel.lumen_to = 0.5 * length;
  vessel.far = order.scene == "open" ? 0 : order.scene.ends_with("far-outside") ? 2 : 1;
  vessel.radius = random.Within(1.6, 2.2);
  vessel.flatness = random.Within(0.03, 0.12);
  vessel.size = MakeWave(random, 0.15), vessel.turn = MakeWave(random, 25.0), vessel.crescent = MakeWave(random, 0.1);
  const double away = vessel.narrow ? 0.35 : 0.3;
  vessel.shift_x = MakeWave(random, away), vessel.shift_y = MakeWave(random, away);
  vessel.lumen_size = MakeWave(random, 0.2), vessel.ripple = MakeWave(random, 1.0);
  vessel.lumen_x = MakeWave(random, 0.12), vessel.lumen_y = MakeWave(random, 0.12);
  vessel.far_angle = MakeWave(random, 60.0), vessel.far_depth = MakeWave(random, 0.25);
  SeededRandom lining(order.seed * 6007 + 41);  // numbers of its own, as the stent's
  vessel.lumen_bare = lining.Within(-2.2, -0.7), vessel.plaque_bare = lining.Within(0.2, 1.8);
  vessel.patch_two = MakeWave(lining, 2.0), vessel.patch_three = MakeWave(lining, 2.0), vessel.patch_five = MakeWave(lining, 2.0);
  const bool branches = lining.Within(0.0, 1.0) < 0.6 && !order.stent;
  const double at = lining.Within(0.15, 0.85) * length;
  vessel.branch_half = lining.Within(0.35, 0.8), vessel.branch_radius = lining.Within(0.4, 0.8), vessel.branch_deg = lining.Within(0.0, 360.0);
  if (branches) vessel.branch_at = at;
  if (order.stent) {  // numbers of its own, so that a vessel without one stays as it is
    SeededRandom own(order.seed * 4211 + 29);
    vessel.stent_from = 0.25 * length, vessel.stent_to = 0.75 * length;
    vessel.struts = 8 + static_cast<int>(own.Within(0.0, 4.99));
    vessel.least = own.Within(0.72, 0.95);
    for (double& shift : vessel.strut_shift) shift = own.Within(-6.0, 6.0);
    vessel.strut_turn = own.Within(-40.0, 40.0);
  }
  if (order.grade == Grade::kClean) return vessel;
  const int plates = order.grade == Grade::kTypical ? 1 : 3;
  for (int i = 0; i < plates; ++i) {
    const double from = random.Within(-1.0, 0.8 * length);
    vessel.calcium.push_back({from, from + random.Within(1.0, 3.5), random.Within(0.0, 360.0), random.Within(15.0, order.grade == Grade::kTypical ? 40.0 : 80.0),
                              random.Within(0.15, 0.7)});
  }
  return vessel;
}

std::array<RayCrossing, kRays> CrossingsAt(const InventedVessel& vessel, double z) {
  const Ellipse ring = RingAt(vessel, z);
  std::array<RayCrossing, kRays> crossings{};
  for (int i = 0; i < kRays; ++i) {
    const SineCosine at = Turned(360.0 * i / kRays);
    crossings[static_cast<std::size_t>(i)] = Meet(ring, at.cosine, at.sine);
  }
  return crossings;
}

SectionTruth SectionAt(const InventedVessel& vessel, double z, double guidewire_deg) {
  SectionTruth section;
  section.z_mm = z;
  section.inside = z < vessel.outside_from;
  section.space = !section.inside ? SpaceTruth::kOutside : z < vessel.lumen_to ? SpaceTruth::kLumen : SpaceTruth::kPlaque;
  const Ellipse ring = RingAt(vessel, z);
  section.vessel_min_mm = 2.0 * ring.b, section.vessel_max_mm = 2.0 * ring.a;
  const auto crossings = CrossingsAt(vessel, z);
  if (section.inside) FillInside(vessel, z, ring, section);
  else FillOutside(vessel, z, section);
  if (section.inside) FillStent(vessel, z, section), FillLining(vessel, z, section), FillBranch(vessel, z, section);
  for (const CalciumPlate& plate : vessel.calcium) {
    if (section.inside && z >= plate.from_z && z <= plate.to_z) section.calcium.push_back({plate.middle_deg - plate.half_deg, plate.middle_deg + plate.half_deg});
  }
  section.guidewire = {Within360(guidewire_deg), kCatheterRadius + 0.12, false};
  if (vessel.far != 0) section.far_wire = FarWireAt(vessel, z, section, crossings);
  return section;
}

double AreaInside(std::span<const float> border) {
  const double step = SineCosineOf(Angle::Radians(2.0 * std::numbers::pi / static_cast<double>(border.size()))).sine;
  double sum = 0.0;
  for (std::size_t i = 0; i < border.size(); ++i) sum += static_cast<double>(border[i]) * static_cast<double>(border[(i + 1) % border.size()]);
  return 0.5 * step * sum;
}

}  // namespace fairlead
