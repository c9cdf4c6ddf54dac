// SPDX-License-Identifier: Apache-2.0
// Expected sums are the generator's own parameters; the days are counted by hand.
#include "reasoning/exposure/exposure.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "imaging/dosereport/write_report.h"

namespace fairlead {
namespace {

DoseReport ReportOn(const std::string& day, std::uint64_t seed, int count) {
  DoseReport report;
  report.study = "1.2." + std::to_string(seed);
  report.events = InventedEvents(seed, count);
  for (IrradiationEvent& event : report.events) event.started = day + "T10:00:00";
  report.containers = report.events.size();
  return report;
}

bool Says(const std::vector<std::string>& remarks, std::string_view words) {
  return std::ranges::any_of(remarks, [&](const std::string& remark) { return remark.find(words) != std::string::npos; });
}

TEST(Exposure, CountsTheTableFromItsFirstEvent) {
  DoseReport report = ReportOn("2026-03-02", 31, 4);
  for (std::size_t i = 0; i < 4; ++i) report.events[i].table = Vec3{100.0 + static_cast<double>(i), -50.0, 700.0};
  const SkinExposure exposure = ExposureOf({report});
  EXPECT_EQ(*exposure.file.events[0].table, (Vec3{0.0, 0.0, 0.0}));
  EXPECT_EQ(*exposure.file.events[3].table, (Vec3{3.0, 0.0, 0.0}));
}

TEST(Exposure, TakesThePatientsSizeWhereAReportStatesIt) {
  DoseReport report = ReportOn("2026-03-02", 32, 3);
  EXPECT_FALSE(ExposureOf({report}).file.settings.body.size_known);
  report.height_cm = 181.0;
  report.weight_kg = 96.0;
  EXPECT_TRUE(ExposureOf({report}).file.settings.body.size_known);
}

TEST(Exposure, AddsAnEarlierProcedureByItsAge) {
  const auto today = DayIn("2026-03-02");
  ASSERT_TRUE(today);
  const auto joined = [&](const char* day) {
    SkinExposure now = ExposureOf({ReportOn("2026-03-02", 33, 5)});
    AddEarlier(ExposureOf({ReportOn(day, 34, 7)}), "earlier", today, now);
    return now;
  };
  // 1 January to 2 March 2026 are 60 days.
  const SkinExposure near = joined("2026-01-01");
  EXPECT_EQ(near.file.events.size(), 12U);
  EXPECT_TRUE(Says(near.remarks, "60 days before; added fully"));
  const SkinExposure marked = joined("2025-12-31");
  EXPECT_EQ(marked.file.events.size(), 12U);
  EXPECT_TRUE(Says(marked.remarks, "61 days before; added, and repair"));
  const SkinExposure old = joined("2025-03-02");
  EXPECT_EQ(old.file.events.size(), 5U);
  EXPECT_TRUE(Says(old.remarks, "365 days before; not added"));
  EXPECT_TRUE(std::ranges::all_of(near.file.events, [](const IrradiationEvent& e) { return !e.id.empty(); }));
}

TEST(Exposure, AddsFullyWhatHasNoDay) {
  SkinExposure now = ExposureOf({ReportOn("2026-03-02", 35, 2)});
  AddEarlier(ExposureOf({ReportOn("", 36, 2)}), "earlier", DayIn("2026-03-02"), now);
  EXPECT_EQ(now.file.events.size(), 4U);
  EXPECT_TRUE(Says(now.remarks, "is not known; added fully"));
}

TEST(Exposure, TakesNoTextForADay) {
  for (const char* text : {"", "2026", "2026-13-01", "2026-02-30", "2026/01/01", "20a6-01-01", "2026-1-001"}) EXPECT_FALSE(DayIn(text)) << text;
  EXPECT_TRUE(DayIn("2024-02-29T08:00:00"));
}

}  // namespace
}  // namespace fairlead
