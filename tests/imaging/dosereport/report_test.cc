// SPDX-License-Identifier: Apache-2.0
// Reports as the field writes them. Sums are those of the generator's own parameters; DCMTK's SR reader is the second
// opinion on every number (peer_test.cc).
#include "imaging/dosereport/report.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <iterator>

#include "imaging/dosereport/gather.h"
#include "imaging/dosereport/report_parts.h"
#include "imaging/dosereport/write_report.h"

namespace fairlead {
namespace {

bool Says(const std::vector<std::string>& remarks, std::string_view words) {
  return std::ranges::any_of(remarks, [&](const std::string& remark) { return remark.find(words) != std::string::npos; });
}

double KermaOf(const std::vector<IrradiationEvent>& events) {
  double sum = 0.0;
  for (const IrradiationEvent& event : events) sum += event.kerma.value_or(Kerma()).gray();
  return sum;
}

DoseReport Read(const std::vector<IrradiationEvent>& events, const ReportStyle& style = {}) {
  auto report = ReadDoseReport(DoseReportFile(events, "test", style));
  EXPECT_TRUE(report.ok()) << (report.ok() ? "" : Sentence(report.error()));
  return report.ok() ? *report : DoseReport{};
}

TEST(DoseReport, GivesBackEveryEventThatWasWritten) {
  const auto events = InventedEvents(3, 25);
  const DoseReport report = Read(events);
  ASSERT_EQ(report.events.size(), events.size());
  for (std::size_t i = 0; i < events.size(); ++i) {
    const IrradiationEvent &got = report.events[i], &want = events[i];
    EXPECT_EQ(got.id, want.id);
    EXPECT_EQ(got.started, want.started);
    EXPECT_EQ(got.kind, want.kind);
    EXPECT_NEAR(got.kerma->gray(), want.kerma->gray(), 1e-9);
    EXPECT_NEAR(got.area_product->gray_square_metres(), want.area_product->gray_square_metres(), 1e-12);
    EXPECT_NEAR(got.angles->primary.degrees(), want.angles->primary.degrees(), 1e-7);
    EXPECT_NEAR(got.angles->secondary.degrees(), want.angles->secondary.degrees(), 1e-7);
    EXPECT_EQ(got.source_to_isocentre, want.source_to_isocentre);
    EXPECT_EQ(got.source_to_detector, want.source_to_detector);
    EXPECT_EQ(got.field_width, want.field_width);
    EXPECT_EQ(got.field_height, want.field_height);
    EXPECT_EQ(got.copper, want.copper);
    EXPECT_EQ(got.kilovolts, want.kilovolts);
    EXPECT_EQ(got.table, want.table);
  }
  EXPECT_EQ(report.height_cm, 174.0);
  EXPECT_EQ(report.weight_kg, 82.0);
}

TEST(DoseReport, ReadsTheSameFromOldCodesAndSmallUnits) {
  const auto events = InventedEvents(4, 12);
  ReportStyle style;
  style.old_codes = style.micro_units = true;
  const DoseReport plain = Read(events), old = Read(events, style);
  ASSERT_EQ(old.events.size(), plain.events.size());
  for (std::size_t i = 0; i < plain.events.size(); ++i) {
    EXPECT_NEAR(old.events[i].kerma->gray(), plain.events[i].kerma->gray(), 1e-9);
    EXPECT_NEAR(old.events[i].area_product->gray_square_metres(), plain.events[i].area_product->gray_square_metres(), 1e-12);
    EXPECT_EQ(old.events[i].kind, plain.events[i].kind);
    EXPECT_EQ(old.events[i].copper, plain.events[i].copper);
  }
  EXPECT_TRUE(Says(old.remarks, "air kerma in mGy: converted (12 times)"));
}

TEST(DoseReport, KeepsAnEmptyNumberApartFromZero) {
  ReportStyle style;
  style.empty_values = true;
  const DoseReport report = Read(InventedEvents(5, 6), style);
  EXPECT_FALSE(report.events[2].kerma.has_value());
  EXPECT_TRUE(report.events[3].kerma.has_value());
  EXPECT_TRUE(Says(report.remarks, "an air kerma without a number"));
}

TEST(DoseReport, NamesDistancesAndTotalsThatAreMissing) {
  ReportStyle style;
  style.no_distances = style.no_totals = true;
  const DoseReport report = Read(InventedEvents(6, 4), style);
  EXPECT_FALSE(report.events[0].source_to_isocentre.has_value());
  EXPECT_TRUE(Says(report.remarks, "no totals"));
}

TEST(DoseReport, CountsEventsThatShareOneIdentifier) {
  ReportStyle style;
  style.one_identifier = true;
  const auto events = InventedEvents(7, 9);
  const DoseReport report = Read(events, style);
  const GatheredDose gathered = Gather({report, report});
  EXPECT_EQ(gathered.events.size(), 9U);
  EXPECT_NEAR(gathered.summed_kerma, KermaOf(events), 1e-8);
  EXPECT_TRUE(Says(report.remarks, "identifier"));
}

TEST(DoseReport, SaysInOneSentenceWhyAFileIsNone) {
  const auto sentence = [](std::vector<std::uint8_t> file) {
    const auto report = ReadDoseReport(file);
    return report.ok() ? std::string("ok") : Sentence(report.error());
  };
  EXPECT_NE(sentence({1, 2, 3}).find("not a DICOM file"), std::string::npos);
  auto file = DoseReportFile(InventedEvents(1, 3), "cut", {});
  file.resize(file.size() / 2);
  EXPECT_NE(sentence(file), "ok");
  EXPECT_NE(sentence(DoseReportFile({}, "none", {false, false, false, false, false, true, false, false})).find("neither an irradiation event nor a total"), std::string::npos);
}

TEST(DoseReport, WritesTimesAsTheStandardForClocksHasThem) {
  EXPECT_EQ(IsoTime("20260105101500.250+0100"), "2026-01-05T10:15:00+01:00");
  EXPECT_EQ(IsoTime("202601051015"), "2026-01-05T10:15:00");
  EXPECT_EQ(IsoTime("20260105"), "2026-01-05");
  EXPECT_EQ(IsoTime("2025-01-02 10:16"), "");
}

// Written with pydicom; sums of its own parameters (tests/data/dicom/README.md), as DCMTK's reader gives them too.
TEST(DoseReport, ReadsAReportOfAnotherToolkit) {
  std::ifstream in(FAIRLEAD_TESTS_DIR "/data/dicom/rdsr/rdsr.dcm", std::ios::binary);
  const std::vector<std::uint8_t> file{std::istreambuf_iterator<char>(in), {}};
  const auto report = ReadDoseReport(file);
  ASSERT_TRUE(report.ok()) << Sentence(report.error());
  const GatheredDose gathered = Gather({*report});
  ASSERT_EQ(gathered.events.size(), 3U);
  EXPECT_NEAR(gathered.summed_kerma, 0.0497, 1e-12);
  EXPECT_NEAR(gathered.stated_kerma, 0.0497, 1e-12);
  EXPECT_NEAR(gathered.summed_area_product, 0.00074, 1e-12);
  EXPECT_NEAR(gathered.fluoroscopy_minutes, 136.0 / 60.0, 1e-9);
}

TEST(DoseReport, SaysWhereTotalsAndSumDiffer) {
  DoseReport report = Read(InventedEvents(41, 10));
  report.events[4].kerma = *report.events[4].kerma + Kerma::Gray(KermaOf(report.events));
  EXPECT_TRUE(Says(Gather({report}).remarks, "the events' air kerma sums to"));
}

}  // namespace
}  // namespace fairlead
