// SPDX-License-Identifier: Apache-2.0
// Expected numbers: the formula at the head of skin_map.h worked by hand for three events; a point source in closed
// form; and plain_skin.h, a second program. The tolerances of the peak come from the grid: 5 mm lowers it by 0.6 %.
#include "reasoning/dose/skin_map.h"

#include <gtest/gtest.h>

#include "tests/reasoning/dose/worked_events.h"

namespace fairlead {
namespace {

SkinEstimate Estimated(const std::vector<plain::Shot>& shots) { return EstimateSkin(EventsOf(shots), WorkedSettings(), 1); }

TEST(SkinMap, GivesEachWorkedEventItsDoseWhereItEnters) {
  const SkinEstimate made = Estimated(WorkedShots());
  struct Want { double distance, side, gray; Vec3 enters; };
  const std::vector<Want> wanted{{620.811, 88.687, 0.8936, {0, 129.189, 0}}, {581.622, 79.312, 1.3459, {-98.091, 116.900, -71.160}}, {597.100, 81.423, 1.1271, {-71.840, 124.430, -52.295}}};
  ASSERT_EQ(made.beams.beams.size(), 3U);
  for (std::size_t i = 0; i < 3; ++i) {
    const auto entry = EntryOf(made.beams.beams[i], made.settings.body);
    ASSERT_TRUE(entry);
    EXPECT_NEAR(entry->distance, wanted[i].distance, 1e-3);
    EXPECT_NEAR(entry->side, wanted[i].side, 1e-3);
    EXPECT_NEAR(Norm(entry->place.at - wanted[i].enters), 0.0, 2e-3);
    EXPECT_NEAR(DoseAt(made.beams.beams[i], made.settings.body, 0, entry->place), wanted[i].gray, 2e-4);
  }
}

TEST(SkinMap, AddsFieldsThatOverlap) {
  const SkinEstimate made = Estimated(WorkedShots());
  const auto second = EntryOf(made.beams.beams[1], made.settings.body), third = EntryOf(made.beams.beams[2], made.settings.body);
  EXPECT_NEAR(DoseAt(made.beams.beams[2], made.settings.body, 0, second->place), 1.1834, 2e-4);
  EXPECT_NEAR(DoseAt(made.beams.beams[1], made.settings.body, 0, third->place), 1.2437, 2e-4);
  EXPECT_EQ(DoseAt(made.beams.beams[0], made.settings.body, 0, second->place), 0.0);
}

TEST(SkinMap, FindsTheWorkedPeakWhereTwoFieldsOverlap) {
  const SkinEstimate made = Estimated(WorkedShots());
  EXPECT_NEAR(made.peak.gray, 2.653, 0.004);
  EXPECT_NEAR(made.peak.place.at.x, -109.9, 2.0);
  EXPECT_NEAR(made.peak.place.at.y, 112.2, 2.0);
  EXPECT_NEAR(made.peak.place.at.z, -97.0, 2.5);
  ASSERT_EQ(made.peak.by.size(), 2U);
  EXPECT_EQ(made.peak.by[0].event, 1U);
  EXPECT_EQ(made.peak.by[1].event, 2U);
  EXPECT_NEAR(made.low / made.peak.gray, 0.75, 1e-9);
  EXPECT_NEAR(made.high / made.peak.gray, 1.35, 1e-9);
}

TEST(SkinMap, AgreesPlaceByPlaceWithAPlainProgram) {
  const auto shots = SeededShots(11, 40);
  const SkinEstimate made = Estimated(shots);
  const SkinPart& part = made.map.skin.parts[0];
  double worst = 0.0, highest = 0.0;
  for (int a = 0; a < part.along; a += 3) {
    for (int r = 0; r < part.round; ++r) {
      double sum = 0.0;
      for (const plain::Shot& shot : shots) sum += plain::Dose(shot, WorkedPerson(), 2 * std::numbers::pi * r / part.round, part.z0 + a * part.step_z);
      const double got = made.map.dose[0][static_cast<std::size_t>(a * part.round + r)];
      worst = std::max(worst, std::abs(got - sum));
      highest = std::max(highest, sum);
    }
  }
  EXPECT_GT(highest, 3.0);
  EXPECT_LT(worst, 1e-9);
}

TEST(SkinMap, FindsThePeakOfAPlainFineIntegrationWithinThreePerCent) {
  for (const unsigned seed : {1U, 2U, 3U}) {
    const auto shots = SeededShots(seed, 25);
    const SkinEstimate made = Estimated(shots);
    const plain::Peak want = plain::PeakOf(shots, WorkedPerson(), 2.0);
    EXPECT_NEAR(made.peak.gray / want.gray, 1.0, 0.02) << seed;  // corners of fields narrower than 1 mm are luck to both
  }
}

TEST(SkinMap, FallsWithTheSquareOfTheDistanceFromAPoint) {
  // Without backscatter's change of side, table and medium: two places on one ray would differ by (r2/r1)^2 alone.
  BeamSettings settings = WorkedSettings();
  settings.body.table.half_width = 0.001;  // no table
  settings.medium = 1.0;
  const double inverse_square = (600.0 / 620.811) * (600.0 / 620.811);
  const auto made = EstimateSkin(EventsOf({WorkedShots()[0]}), settings, 1);
  const auto entry = EntryOf(made.beams.beams[0], settings.body);
  EXPECT_NEAR(DoseAt(made.beams.beams[0], settings.body, 0, entry->place) / (0.80 * inverse_square * plain::Backscatter(88.687)), 1.0, 1e-5);
}

TEST(SkinMap, IsTheSameOnOneThreadAndTwo) {
  const auto events = EventsOf(SeededShots(7, 60));
  EXPECT_EQ(EstimateSkin(events, WorkedSettings(), 1).map.dose, EstimateSkin(events, WorkedSettings(), 2).map.dose);
}

TEST(SkinMap, DoublesWithTheKermaAndAddsOverEvents) {
  auto shots = SeededShots(9, 6);
  const double one = Estimated(shots).peak.gray;
  const auto twice = [&] { auto all = shots; all.insert(all.end(), shots.begin(), shots.end()); return all; }();
  EXPECT_NEAR(Estimated(twice).peak.gray, 2 * one, 1e-9);
  for (plain::Shot& shot : shots) shot.kerma *= 3;
  EXPECT_NEAR(Estimated(shots).peak.gray, 3 * one, 1e-9);
}

TEST(SkinMap, LetsALateralBeamMissTheTableAndMeetTheArmFirst) {
  BeamSettings settings = WorkedSettings();
  const auto lateral = EventsOf({{90, 0, 1.0, 1100, 750, 600, 150, 150, {0, -60, 0}}});
  const auto up = EstimateSkin(lateral, settings, 1);
  const double free_in_air = DoseAt(up.beams.beams[0], settings.body, 0, EntryOf(up.beams.beams[0], settings.body)->place);
  settings.body.table.transmission = 0.01;
  EXPECT_NEAR(EstimateSkin(lateral, settings, 1).peak.gray, up.peak.gray, 1e-12);
  settings.body.torso.arms = ArmsBeside(settings.body.torso.trunk);
  const auto down = EstimateSkin(lateral, settings, 1);
  const auto entry = EntryOf(down.beams.beams[0], settings.body);
  EXPECT_EQ(entry->part, 1U);  // the right arm
  EXPECT_GT(down.peak.gray, 1.2 * free_in_air);
  EXPECT_EQ(down.peak.part, 1U);
}

TEST(SkinMap, MovesTowardsTheFeetWhenTheTableMovesTowardsTheHead) {
  auto shots = WorkedShots();
  const double before = EntryOf(Estimated(shots).beams.beams[1], WorkedSettings().body)->place.at.z;
  shots[1].shift = {0, 0, 40};
  const double after = EntryOf(Estimated(shots).beams.beams[1], WorkedSettings().body)->place.at.z;
  EXPECT_NEAR(after - before, -40.0, 1e-9);
}

}  // namespace
}  // namespace fairlead
