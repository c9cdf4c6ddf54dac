// SPDX-License-Identifier: Apache-2.0
#include "imaging/dosereport/report_bytes.h"

#include <gtest/gtest.h>

#include "imaging/dosereport/write_report.h"

namespace fairlead {
namespace {

DoseReport Whole() {
  DoseReport report;
  report.events = InventedEvents(11, 12);
  report.events[1].kerma.reset();
  report.events[2].angles.reset();
  report.events[3].end_angles = GantryAngles{Angle::Degrees(-20), Angle::Degrees(5)};
  report.events[4].table_end = Vec3{1.0, -2.0, 3.5};
  report.study = "1.2.3";
  report.written = "2026-01-05T10:15:00";
  report.totals.push_back({Plane::kB, false, Kerma::Gray(1.25), std::nullopt, Duration::Seconds(61), std::nullopt});
  report.weight_kg = 82.0;
  report.containers = 12;
  report.remarks = {"no filter stated (12 times)"};
  return report;
}

TEST(ReportBytes, GiveBackWhatWasWritten) {
  const DoseReport want = Whole();
  const auto got = ReportFromBytes(ReportBytes(want));
  ASSERT_TRUE(got);
  ASSERT_EQ(got->events.size(), want.events.size());
  for (std::size_t i = 0; i < want.events.size(); ++i) {
    EXPECT_EQ(got->events[i].id, want.events[i].id);
    EXPECT_EQ(got->events[i].kind, want.events[i].kind);
    EXPECT_EQ(got->events[i].kerma, want.events[i].kerma);
    EXPECT_EQ(got->events[i].area_product, want.events[i].area_product);
    EXPECT_EQ(got->events[i].angles.has_value(), want.events[i].angles.has_value());
    EXPECT_EQ(got->events[i].copper, want.events[i].copper);
    EXPECT_EQ(got->events[i].table, want.events[i].table);
  }
  EXPECT_EQ(got->events[3].end_angles->primary, want.events[3].end_angles->primary);
  EXPECT_EQ(got->events[4].table_end, want.events[4].table_end);
  ASSERT_EQ(got->totals.size(), 1U);
  EXPECT_EQ(got->totals[0].plane, Plane::kB);
  EXPECT_EQ(got->totals[0].kerma, Kerma::Gray(1.25));
  EXPECT_FALSE(got->totals[0].area_product);
  EXPECT_EQ(got->weight_kg, 82.0);
  EXPECT_FALSE(got->height_cm);
  EXPECT_EQ(got->remarks, want.remarks);
  EXPECT_EQ(got->written, want.written);
}

// The child may have been taken over by a file: nothing that it writes may do more than be refused.
TEST(ReportBytes, RefuseEveryCutAndSurviveEveryChangedByte) {
  const auto sound = ReportBytes(Whole());
  for (std::size_t size = 0; size < sound.size(); ++size) EXPECT_FALSE(ReportFromBytes(std::span(sound).first(size))) << size;
  std::size_t refused = 0;
  for (std::size_t at = 0; at < sound.size(); ++at) {
    auto changed = sound;
    changed[at] = static_cast<std::uint8_t>(changed[at] ^ 0xFF);
    const auto report = ReportFromBytes(changed);
    if (!report) ++refused;
    else EXPECT_LE(report->events.size(), 20'000U);
  }
  EXPECT_GT(refused, sound.size() / 2);
}

TEST(ReportBytes, AreRefusedWithLettersThatNoScreenShouldShow) {
  DoseReport report = Whole();
  report.remarks = {"<b>\x1b[31m\xff</b>"};
  const auto got = ReportFromBytes(ReportBytes(report));
  ASSERT_TRUE(got);
  EXPECT_EQ(got->remarks[0], "<b>?[31m?</b>");
}

}  // namespace
}  // namespace fairlead
