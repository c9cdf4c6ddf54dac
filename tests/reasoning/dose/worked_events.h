// SPDX-License-Identifier: Apache-2.0
// Three events on one body that were worked by hand, and their like from a seed. Invented.
#pragma once

#include <random>
#include <vector>

#include "reasoning/dose/estimate.h"
#include "tests/reasoning/dose/plain_skin.h"

namespace fairlead {

inline BeamSettings WorkedSettings() {
  BeamSettings settings;
  Body& body = settings.body;
  body.torso.trunk = {165, 110, {-20, 20, 0}};
  body.torso.arms.clear();
  body.table.top_y = 150;
  body.table.pad = 20;
  body.table.centre_x = -20;
  body.table.transmission = 0.773;
  body.table.forward_scatter = 1.10;
  body.size_known = body.table_known = true;
  settings.medium = 1.0245;
  return settings;
}

inline plain::Person WorkedPerson() { return {165, 110, -20, 20, 150, 225, -20, 0.773, 1.10, 1.0245}; }

inline IrradiationEvent EventOf(const plain::Shot& shot, std::string id) {
  IrradiationEvent event;
  event.id = std::move(id);
  event.kerma = Kerma::Gray(shot.kerma);
  event.angles = GantryAngles{Angle::Degrees(shot.alpha), Angle::Degrees(shot.beta)};
  event.source_to_detector = Length::Millimetres(shot.sid);
  event.source_to_isocentre = Length::Millimetres(shot.sod);
  event.source_to_reference = Length::Millimetres(shot.ref);
  event.field_width = Length::Millimetres(shot.width);
  event.field_height = Length::Millimetres(shot.height);
  event.kilovolts = 80;
  event.copper = Length::Millimetres(0.1);
  event.table = Vec3{shot.shift[0], shot.shift[1], shot.shift[2]};
  return event;
}

inline std::vector<plain::Shot> WorkedShots() {
  return {{0, 0, 0.80, 1050, 750, 600, 150, 150, {}}, {40, 25, 1.20, 1100, 750, 600, 150, 150, {}}, {30, 20, 1.00, 1100, 750, 600, 150, 150, {}}};
}

inline std::vector<plain::Shot> SeededShots(unsigned seed, int count) {
  std::mt19937_64 random(seed);
  const auto between = [&](double low, double high) { return low + (high - low) * static_cast<double>(random() >> 11) * 0x1p-53; };
  std::vector<plain::Shot> shots;
  for (int i = 0; i < count; ++i) {
    shots.push_back({between(-100, 100), between(-40, 40), between(0.01, 1.5), between(950, 1200), between(700, 800), 0, between(70, 220), between(70, 220),
                     {between(-30, 30), between(-20, 20), between(-60, 60)}});
    shots.back().ref = shots.back().sod - 150;
  }
  return shots;
}

inline std::vector<IrradiationEvent> EventsOf(const std::vector<plain::Shot>& shots) {
  std::vector<IrradiationEvent> events;
  for (std::size_t i = 0; i < shots.size(); ++i) events.push_back(EventOf(shots[i], "E" + std::to_string(i + 1)));
  return events;
}

}  // namespace fairlead
