// SPDX-License-Identifier: Apache-2.0
// Units and fields: worked by hand. 0.8 Gy, 150 x 150 mm at 1050 mm, reference at 600 mm: 0.0058776 Gy m2.
#include "reasoning/dose/beam.h"

#include <gtest/gtest.h>

#include "tests/reasoning/dose/worked_events.h"

namespace fairlead {
namespace {

IrradiationEvent Worked() { return EventOf(WorkedShots()[0], "E1"); }
bool Says(const Beams& beams, std::string_view words) {
  return std::ranges::any_of(beams.faults, [&](const EventFault& f) { return f.text.find(words) != std::string::npos; });
}

TEST(Beam, TakesTheFieldFromAreaProductOverKermaWhenTheCollimatorIsSilent) {
  IrradiationEvent event = Worked();
  event.field_width.reset();
  event.field_height.reset();
  event.area_product = AreaProduct::GraySquareMetres(0.0058776);
  const Beams beams = BeamsOf({&event, 1}, WorkedSettings());
  EXPECT_NEAR(2 * 600 * beams.beams[0].half_column, 85.714, 1e-3);
}

TEST(Beam, NoticesAWrongUnitOfTheAreaProduct) {
  IrradiationEvent event = Worked();
  event.area_product = AreaProduct::GraySquareMetres(58.776);  // Gy cm2 written as Gy m2
  const Beams beams = BeamsOf({&event, 1}, WorkedSettings());
  EXPECT_TRUE(Says(beams, "its unit is wrong"));
  EXPECT_NEAR(2 * 600 * beams.beams[0].half_column, 85.714, 1e-3);
  EXPECT_NEAR(beams.area_product, 58.776e-4, 1e-12);  // no level of area product is reached by a wrong unit
}

TEST(Beam, PrefersTheMeterWhereTheCollimatorSaysTheWholeDetector) {
  IrradiationEvent event = Worked();
  event.area_product = AreaProduct::GraySquareMetres(0.0058776);
  event.field_width = event.field_height = Length::Millimetres(200);
  const Beams beams = BeamsOf({&event, 1}, WorkedSettings());
  EXPECT_TRUE(Says(beams, "disagree"));
  EXPECT_NEAR(2 * 600 * beams.beams[0].half_column, 85.714, 1e-3);
}

TEST(Beam, WorksOutKermaFromTheAreaProduct) {
  IrradiationEvent event = Worked();
  event.kerma.reset();
  event.area_product = AreaProduct::GraySquareMetres(0.0058776);
  EXPECT_NEAR(BeamsOf({&event, 1}, WorkedSettings()).kerma, 0.8, 1e-4);
}

TEST(Beam, StandsInForWhatIsMissingAndSaysSo) {
  IrradiationEvent event;
  event.kerma = Kerma::Gray(1);
  event.angles = GantryAngles{};
  const Beams beams = BeamsOf({&event, 1}, WorkedSettings());
  ASSERT_EQ(beams.beams.size(), 1U);
  EXPECT_TRUE(Says(beams, "750 mm stands in"));
  EXPECT_TRUE(Says(beams, "neither field nor area product"));
  EXPECT_TRUE(Says(beams, "no tube voltage or no filter"));
  EXPECT_EQ(beams.beams[0].reference, 600);
}

TEST(Beam, KeepsDoseWithoutAnglesForTheUpperEnd) {
  IrradiationEvent event = Worked();
  event.angles.reset();
  const Beams beams = BeamsOf({&event, 1}, WorkedSettings());
  EXPECT_TRUE(beams.beams.empty());
  EXPECT_NEAR(beams.unplaced_kerma, 0.8, 1e-12);
  EXPECT_NEAR(beams.kerma, 0.8, 1e-12);
}

TEST(Beam, RecomputesAReferencePointThatIsNone) {
  for (const double given : {0.0, 750.0, 900.0}) {
    IrradiationEvent event = Worked();
    event.source_to_reference = Length::Millimetres(given);
    EXPECT_EQ(BeamsOf({&event, 1}, WorkedSettings()).beams[0].reference, 600) << given;
  }
}

TEST(Beam, SpreadsARotationOverItsArcAndAMovingTableOverItsPath) {
  IrradiationEvent event = Worked();
  event.end_angles = GantryAngles{Angle::Degrees(60), Angle()};
  const Beams arc = BeamsOf({&event, 1}, WorkedSettings());
  EXPECT_EQ(arc.beams.size(), 31U);
  double sum = 0;
  for (const Beam& beam : arc.beams) sum += beam.kerma;
  EXPECT_NEAR(sum, 0.8, 1e-12);
  // Over 180 degrees: 170 to -170 is 20 degrees and stays in front of the patient; 110 to -110 is a spin through 0.
  event.angles = GantryAngles{Angle::Degrees(170), Angle()};
  event.end_angles = GantryAngles{Angle::Degrees(-170), Angle()};
  const Beams over = BeamsOf({&event, 1}, WorkedSettings());
  EXPECT_EQ(over.beams.size(), 11U);
  for (const Beam& beam : over.beams) EXPECT_GT(beam.source.y * BeamsOf({&event, 1}, WorkedSettings()).beams[5].source.y, 0.0);
  event.angles = GantryAngles{Angle::Degrees(110), Angle()};
  event.end_angles = GantryAngles{Angle::Degrees(-110), Angle()};
  EXPECT_EQ(BeamsOf({&event, 1}, WorkedSettings()).beams.size(), 111U);
  event.angles = Worked().angles;
  event.end_angles.reset();
  event.table_end = Vec3{0, 0, 50};
  EXPECT_EQ(BeamsOf({&event, 1}, WorkedSettings()).beams.size(), 11U);
}

TEST(Beam, ReadsFactorsAtTheTablesOwnRowsAndBetweenThem) {
  const BeamFactors row = FactorsFor(80, Length::Millimetres(0.1), Length::Millimetres(1.5));
  EXPECT_NEAR(BackscatterAt(row, 100), 1.394, 1e-12);
  EXPECT_NEAR(BackscatterAt(row, 88.687), 1.3727, 5e-5);
  EXPECT_NEAR(row.table, 0.773, 1e-12);
  EXPECT_NEAR(row.medium, 1.025, 1e-12);
  EXPECT_NEAR(BackscatterAt(FactorsFor(75, Length::Millimetres(0.1), Length()), 100), (1.381 + 1.394) / 2, 1e-12);
  EXPECT_NEAR(BackscatterAt(FactorsFor(20, Length(), Length()), 10), 1.230, 1e-12);
  EXPECT_NEAR(BackscatterAt(FactorsFor(200, Length::Millimetres(5), Length()), 900), 1.616, 1e-12);
  EXPECT_NEAR(FactorsFor(80, Length::Millimetres(0.1), Length()).table, 1.0, 1e-12);
}

TEST(Beam, ChangesMonotonicallyWithFieldAndTable) {
  for (double kv = 60; kv <= 120; kv += 7) {
    for (double cu = 0; cu <= 0.9; cu += 0.11) {
      double last = 0, passed = 1.01;
      for (double side = 30; side < 300; side += 10) {
        const double now = BackscatterAt(FactorsFor(kv, Length::Millimetres(cu), Length()), side);
        EXPECT_GE(now, last);
        last = now;
      }
      for (double al = 0; al < 4; al += 0.25) {
        const double now = FactorsFor(kv, Length::Millimetres(cu), Length::Millimetres(al)).table;
        EXPECT_LT(now, passed);
        passed = now;
      }
    }
  }
}

}  // namespace
}  // namespace fairlead
