// SPDX-License-Identifier: Apache-2.0
#include "reasoning/dose/skin_map.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <thread>

#include "geometry/trigonometry.h"

namespace fairlead {
namespace {

const EllipticCylinder& PartBody(const Body& body, std::size_t part) {
  return part == 0 ? body.torso.trunk : body.torso.arms[part - 1];
}
std::size_t PartCount(const Body& body) { return 1 + body.torso.arms.size(); }

// Is another part of the body in the way between the source and a place at this distance?
bool Hidden(const Body& body, std::size_t part, const Ray& ray, double distance) {
  for (std::size_t other = 0; other < PartCount(body); ++other) {
    if (other == part) continue;
    const auto crossing = Cross(PartBody(body, other), ray);
    if (crossing && crossing->enters > 0.0 && crossing->enters < distance) return true;
  }
  return false;
}

// Share that passes the table on the way to a place; 1 if the ray misses it.
double ThroughTable(const Beam& beam, const TableTop& table, Vec3 direction, double distance) {
  if (!(beam.source.y > table.top_y) || !(direction.y < 0.0)) return 1.0;
  const double to_table = (table.top_y - beam.source.y) / direction.y;
  if (to_table >= distance) return 1.0;
  if (std::abs(beam.source.x + to_table * direction.x - table.centre_x) > table.half_width) return 1.0;
  return beam.scatter * ExpOf(beam.log_table / -direction.y);
}

// Planes of one beam: a ball of places is outside if it lies beyond one of them.
struct Wedge {
  std::array<Vec3, 4> outwards;
  Vec3 source;
};
Wedge WedgeOf(const Beam& beam) {
  const double c = beam.half_column, r = beam.half_row;
  return {{Unit(beam.column - c * beam.along), Unit(-beam.column - c * beam.along), Unit(beam.row - r * beam.along), Unit(-beam.row - r * beam.along)}, beam.source};
}
bool Outside(const Wedge& wedge, Vec3 centre, double radius) {
  const Vec3 q = centre - wedge.source;
  return std::ranges::any_of(wedge.outwards, [&](Vec3 n) { return Dot(n, q) > radius; });
}

// Neighbouring places of one part, with a ball round them.
struct Patch {
  std::size_t part = 0;
  int round0 = 0, round1 = 0, along0 = 0, along1 = 0;  // half open
  Vec3 centre;
  double radius = 0.0;
};
constexpr int kPatch = 8;

std::vector<Patch> PatchesOf(const Skin& skin) {
  std::vector<Patch> patches;
  for (std::size_t k = 0; k < skin.parts.size(); ++k) {
    const SkinPart& part = skin.parts[k];
    for (int z = 0; z < part.along; z += kPatch) {
      for (int i = 0; i < part.round; i += kPatch) {
        Patch patch{k, i, std::min(i + kPatch, part.round), z, std::min(z + kPatch, part.along), {}, 0.0};
        const auto place = [&](int round, int along) {
          const auto r = static_cast<std::size_t>(round);
          return Vec3{part.x[r], part.y[r], part.z0 + along * part.step_z};
        };
        patch.centre = 0.5 * (place(patch.round0, patch.along0) + place(patch.round1 - 1, patch.along1 - 1));
        for (int r = patch.round0; r < patch.round1; ++r) {
          for (const int a : {patch.along0, patch.along1 - 1}) patch.radius = std::max(patch.radius, Norm(place(r, a) - patch.centre));
        }
        patches.push_back(patch);
      }
    }
  }
  return patches;
}

void AddPatch(const Beam& beam, const Body& body, const Skin& skin, const Patch& patch, std::vector<double>& dose) {
  const SkinPart& part = skin.parts[patch.part];
  for (int i = patch.round0; i < patch.round1; ++i) {
    const auto r = static_cast<std::size_t>(i);
    if (part.nx[r] * (part.x[r] - beam.source.x) + part.ny[r] * (part.y[r] - beam.source.y) >= 0.0) continue;
    for (int a = patch.along0; a < patch.along1; ++a) {
      const SkinPlace place{{part.x[r], part.y[r], part.z0 + a * part.step_z}, {part.nx[r], part.ny[r], 0.0}};
      dose[static_cast<std::size_t>(a) * static_cast<std::size_t>(part.round) + r] += DoseAt(beam, body, patch.part, place);
    }
  }
}

// The places of some patches, from all beams: each patch belongs to one thread, so the sums keep their order.
void AddPatches(std::span<const Beam> beams, const std::vector<Wedge>& wedges, const Body& body, std::span<const Patch> patches, SkinMap& map) {
  for (const Patch& patch : patches) {
    for (std::size_t i = 0; i < beams.size(); ++i) {
      if (!Outside(wedges[i], patch.centre, patch.radius)) AddPatch(beams[i], body, map.skin, patch, map.dose[patch.part]);
    }
  }
}

struct Cell {
  std::size_t part = 0, at = 0;
  double gray = 0.0;
};

SkinPlace PlaceOf(const SkinMap& map, const Cell& cell) {
  const SkinPart& part = map.skin.parts[cell.part];
  const std::size_t round = cell.at % static_cast<std::size_t>(part.round), along = cell.at / static_cast<std::size_t>(part.round);
  return OnSkin(part.body, Angle::Degrees(360.0 * static_cast<double>(round) / part.round), part.z0 + static_cast<double>(along) * part.step_z);
}

std::vector<Beam> Near(std::span<const Beam> beams, const std::vector<Wedge>& wedges, Vec3 centre, double radius) {
  std::vector<Beam> near;
  for (std::size_t i = 0; i < beams.size(); ++i) {
    if (!Outside(wedges[i], centre, radius)) near.push_back(beams[i]);
  }
  return near;
}

// What a cell could hold at most between its own place and its neighbours': every beam that comes near, wherever its
// edge runs.
double Bound(std::span<const Beam> beams, const std::vector<Wedge>& wedges, const Body& body, std::size_t part, const SkinPlace& place, double radius) {
  double sum = 0.0;
  for (std::size_t i = 0; i < beams.size(); ++i) {
    if (Outside(wedges[i], place.at, radius)) continue;
    Beam wide = beams[i];
    const double side = std::sqrt(wide.half_column * wide.half_row);
    wide.half_column += 0.05;
    wide.half_row += 0.05;
    wide.factors.backscatter.fill(BackscatterAt(beams[i].factors, 2.0 * side * Dot(place.at - wide.source, wide.along)));
    sum += DoseAt(wide, body, part, place);
  }
  constexpr double kSlope = 1.03;  // dose changes by less over one cell
  return kSlope * sum;
}

struct Candidate {
  Cell cell;
  double bound = 0.0;
};

// The search between places stops after so many looks at a beam, some tenths of a second: with thousands of events the
// map is smooth, and its own places are within 1 % of the peak.
constexpr std::size_t kMostLooks = 4'000'000;

std::vector<Cell> HighCells(const SkinMap& map, double least) {
  std::vector<Cell> cells;
  for (std::size_t k = 0; k < map.dose.size(); ++k) {
    for (std::size_t i = 0; i < map.dose[k].size(); ++i) {
      if (map.dose[k][i] >= least) cells.push_back({k, i, map.dose[k][i]});
    }
  }
  std::ranges::stable_sort(cells, std::greater<>{}, &Cell::gray);
  return cells;
}

// The cells that could hide the peak between them, the most promising first.
std::vector<Candidate> Candidates(std::span<const Beam> beams, const std::vector<Wedge>& wedges, const Body& body, const SkinMap& map) {
  constexpr double kHopeful = 0.5;  // chosen: below half of the highest no corner of several fields is expected
  const double highest = HighestOf(map);
  std::vector<Candidate> found;
  if (highest <= 0.0) return found;
  std::vector<Cell> cells = HighCells(map, kHopeful * highest);
  cells.resize(std::min(cells.size(), std::max<std::size_t>(64, kMostLooks / beams.size())));
  for (const Cell& cell : cells) {
    const double bound = Bound(beams, wedges, body, cell.part, PlaceOf(map, cell), map.skin.parts[cell.part].step_z);
    if (bound >= highest) found.push_back({cell, bound});
  }
  std::ranges::stable_sort(found, std::greater<>{}, &Candidate::bound);
  return found;
}

constexpr int kReach = 3;  // pieces of a step's half, to each side: less than 1 mm

// The highest dose on a fine grid round a cell, if it is above the peak so far.
void Refine(const std::vector<Beam>& near, const SkinMap& map, const Body& body, const Cell& cell, SkinPeak& peak) {
  const SkinPart& part = map.skin.parts[cell.part];
  const SkinPlace middle = PlaceOf(map, cell);
  for (int i = -kReach; i <= kReach; ++i) {
    const Angle round = RoundOf(part.body, middle.at) + Angle::Degrees(360.0 / part.round * i / (2.0 * kReach));
    for (int j = -kReach; j <= kReach; ++j) {
      const double z = middle.at.z + part.step_z * j / (2.0 * kReach);
      if (std::abs(z - part.body.centre.z) > part.body.half_length) continue;
      const SkinPlace place = OnSkin(part.body, round, z);
      double gray = 0.0;
      for (const Beam& beam : near) gray += DoseAt(beam, body, cell.part, place);
      if (gray > peak.gray) peak = {gray, cell.part, place, {}};
    }
  }
}

}  // namespace

double DoseAt(const Beam& beam, const Body& body, std::size_t part, const SkinPlace& place) {
  const Vec3 q = place.at - beam.source;
  const double depth = Dot(q, beam.along);
  if (!(depth > 0.0) || std::abs(Dot(q, beam.column)) > beam.half_column * depth || std::abs(Dot(q, beam.row)) > beam.half_row * depth) return 0.0;
  if (Dot(place.outwards, q) >= 0.0) return 0.0;
  const double distance = Norm(q);
  const Ray ray{beam.source, q / distance};
  if (!body.torso.arms.empty() && Hidden(body, part, ray, distance)) return 0.0;
  const double side = 2.0 * depth * std::sqrt(beam.half_column * beam.half_row);
  const double square = beam.reference / distance;
  return beam.kerma * square * square * BackscatterAt(beam.factors, side) * ThroughTable(beam, body.table, ray.direction, distance) * beam.factors.medium;
}

std::optional<BeamEntry> EntryOf(const Beam& beam, const Body& body) {
  std::optional<BeamEntry> entry;
  const Ray ray{beam.source, beam.along};
  for (std::size_t part = 0; part < PartCount(body); ++part) {
    const EllipticCylinder& cylinder = PartBody(body, part);
    const auto crossing = Cross(cylinder, ray);
    if (!crossing || crossing->enters <= 0.0 || (entry && entry->distance <= crossing->enters)) continue;
    const Vec3 at = ray.from + crossing->enters * ray.direction;
    entry = BeamEntry{part, OnSkin(cylinder, RoundOf(cylinder, at), at.z), crossing->enters, 2.0 * crossing->enters * std::sqrt(beam.half_column * beam.half_row)};
  }
  return entry;
}

SkinMap MapOf(std::span<const Beam> beams, const Body& body, const Skin& skin, int threads) {
  SkinMap map{skin, {}};
  for (const SkinPart& part : skin.parts) map.dose.emplace_back(static_cast<std::size_t>(part.round) * static_cast<std::size_t>(part.along), 0.0);
  const std::vector<Patch> patches = PatchesOf(skin);
  std::vector<Wedge> wedges;
  for (const Beam& beam : beams) wedges.push_back(WedgeOf(beam));
  if (threads < 2 || beams.size() < 16) {
    AddPatches(beams, wedges, body, patches, map);
    return map;
  }
  // Rows of patches go round the body: both halves of every row have work, whichever side the beams enter.
  std::array<std::vector<Patch>, 2> halves;
  for (std::size_t i = 0; i < patches.size(); ++i) halves[i % 2].push_back(patches[i]);
  std::jthread other([&] { AddPatches(beams, wedges, body, halves[1], map); });
  AddPatches(beams, wedges, body, halves[0], map);
  other.join();
  return map;
}

std::vector<Share> SharesAt(std::span<const Beam> beams, const Body& body, std::size_t part, const SkinPlace& place) {
  std::map<std::size_t, double> by_event;
  double whole = 0.0;
  for (const Beam& beam : beams) {
    const double gray = DoseAt(beam, body, part, place);
    if (gray > 0.0) by_event[beam.event] += gray;
    whole += gray;
  }
  std::vector<Share> shares;
  for (const auto& [event, gray] : by_event) {
    if (gray > 1e-6 * whole) shares.push_back({event, gray});
  }
  std::ranges::stable_sort(shares, std::greater<>{}, &Share::gray);
  return shares;
}

SkinPeak PeakOf(std::span<const Beam> beams, const Body& body, const SkinMap& map) {
  SkinPeak peak;
  std::vector<Wedge> wedges;
  for (const Beam& beam : beams) wedges.push_back(WedgeOf(beam));
  std::size_t looks = 0;
  for (const Candidate& candidate : Candidates(beams, wedges, body, map)) {
    if (candidate.bound <= peak.gray || looks > kMostLooks) break;
    const SkinPlace middle = PlaceOf(map, candidate.cell);
    const std::vector<Beam> near = Near(beams, wedges, middle.at, map.skin.parts[candidate.cell.part].step_z);
    Refine(near, map, body, candidate.cell, peak);
    looks += beams.size() + (2 * kReach + 1) * (2 * kReach + 1) * near.size();
  }
  if (peak.gray > 0.0) peak.by = SharesAt(beams, body, peak.part, peak.place);
  return peak;
}

double HighestOf(const SkinMap& map) {
  double highest = 0.0;
  for (const auto& part : map.dose) {
    for (const double gray : part) highest = std::max(highest, gray);
  }
  return highest;
}

double ExposedAt(const SkinMap& map, const BeamEntry& entry) {
  const SkinPart& part = map.skin.parts[entry.part];
  const double turns = Wrapped(RoundOf(part.body, entry.place.at)).degrees() / 360.0;
  const int round = (static_cast<int>(std::lround(turns * part.round)) + part.round) % part.round;
  const int along = static_cast<int>(std::lround((entry.place.at.z - part.z0) / part.step_z));
  if (along < 0 || along >= part.along) return 0.0;
  return map.dose[entry.part][static_cast<std::size_t>(along) * static_cast<std::size_t>(part.round) + static_cast<std::size_t>(round)];
}

}  // namespace fairlead
