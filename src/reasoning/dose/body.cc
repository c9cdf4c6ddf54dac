// SPDX-License-Identifier: Apache-2.0
#include "reasoning/dose/body.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace fairlead {
namespace {

SkinPart PartOf(const EllipticCylinder& body, double spacing) {
  SkinPart part;
  part.body = body;
  const double longest = std::max(body.half_width, body.half_depth);
  part.round = std::max(8, static_cast<int>(std::ceil(2.0 * std::numbers::pi * longest / spacing)));
  part.along = std::max(2, static_cast<int>(std::ceil(2.0 * body.half_length / spacing)) + 1);
  part.step_z = 2.0 * body.half_length / (part.along - 1);
  part.z0 = body.centre.z - body.half_length;
  for (int i = 0; i < part.round; ++i) {
    const SkinPlace place = OnSkin(body, Angle::Degrees(360.0 * i / part.round), 0.0);
    part.x.push_back(place.at.x);
    part.y.push_back(place.at.y);
    part.nx.push_back(place.outwards.x);
    part.ny.push_back(place.outwards.y);
  }
  return part;
}

}  // namespace

Body DefaultBody() {
  constexpr BodySize kAdult{170.0, 75.0};  // practice, no source
  Body body;
  body.torso = *TorsoOf(kAdult, Arms::kUp);
  LayOnTable(body, std::nullopt);
  return body;
}

void LayOnTable(Body& body, std::optional<double> top_y) {
  EllipticCylinder& trunk = body.torso.trunk;
  if (top_y) {
    const double down = *top_y - body.table.pad - trunk.half_depth - trunk.centre.y;
    trunk.centre.y += down;
    for (EllipticCylinder& arm : body.torso.arms) arm.centre.y += down;
    body.table_known = true;
  }
  body.table.top_y = trunk.centre.y + trunk.half_depth + body.table.pad;
  body.table.centre_x = trunk.centre.x;
}

std::size_t Skin::places() const {
  std::size_t n = 0;
  for (const SkinPart& part : parts) n += static_cast<std::size_t>(part.round) * static_cast<std::size_t>(part.along);
  return n;
}

Skin SkinOf(const Torso& torso, Length spacing) {
  Skin skin;
  skin.parts.push_back(PartOf(torso.trunk, spacing.millimetres()));
  for (const EllipticCylinder& arm : torso.arms) skin.parts.push_back(PartOf(arm, spacing.millimetres()));
  return skin;
}

}  // namespace fairlead
