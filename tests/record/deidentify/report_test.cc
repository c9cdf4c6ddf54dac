// SPDX-License-Identifier: Apache-2.0
// A dose report without its patient: what must go after DICOM PS3.15 Table E.1-1 with Clean Structured Content (113104), what must stay
// after what the report's reader finds in the old one and in the new one. The invented report comes from the generator.
#include "record/deidentify/report.h"

#include <gtest/gtest.h>

#include "imaging/dosereport/report.h"
#include "imaging/dosereport/write_report.h"

namespace fairlead {
namespace {

const DeidProject kProject{"test-key", "case"};

bool Holds(const std::vector<std::uint8_t>& file, std::string_view text) { return std::string_view(reinterpret_cast<const char*>(file.data()), file.size()).find(text) != std::string_view::npos; }

// Of the same length, so that the file stays one.
std::vector<std::uint8_t> With(std::vector<std::uint8_t> file, std::string_view old, std::string_view planted) {
  std::string text(file.begin(), file.end());
  EXPECT_EQ(old.size(), planted.size());
  EXPECT_NE(text.find(old), std::string::npos) << old;
  for (std::size_t at = 0; (at = text.find(old, at)) != std::string::npos; at += planted.size()) text.replace(at, old.size(), planted);
  return {text.begin(), text.end()};
}

TEST(DeidentifyReport, EveryDoseStaysWithItsGeometryAndMovesInTimeAlone) {
  for (const char* fault : {"", "old-codes", "no-totals"}) {
    SCOPED_TRACE(fault);
    ReportStyle style;
    const bool known = *fault == 0 || AddFault(fault, style).ok();
    ASSERT_TRUE(known);
    const auto file = DoseReportFile(InventedEvents(5, 12), "told", style);
    const auto made = DeidentifyReport(file, kProject);
    ASSERT_TRUE(made.ok()) << Sentence(made.error());
    const auto before = ReadDoseReport(file), after = ReadDoseReport(made->file);
    ASSERT_TRUE(before.ok() && after.ok());
    ASSERT_EQ(after->events.size(), before->events.size());
    EXPECT_EQ(after->totals.size(), before->totals.size());
    EXPECT_EQ(after->calibration, before->calibration);
    EXPECT_NE(after->study, before->study);
    for (std::size_t i = 0; i < before->events.size(); ++i) {
      const IrradiationEvent &a = before->events[i], &b = after->events[i];
      EXPECT_EQ(a.kind, b.kind);
      EXPECT_EQ(a.plane, b.plane);
      ASSERT_TRUE(a.kerma && b.kerma && a.angles && b.angles && a.table && b.table);
      EXPECT_EQ(a.kerma->gray(), b.kerma->gray());
      EXPECT_EQ(a.area_product.has_value(), b.area_product.has_value());
      EXPECT_EQ(a.angles->primary.degrees(), b.angles->primary.degrees());
      EXPECT_EQ(a.copper.has_value(), b.copper.has_value());
      EXPECT_NE(a.id, b.id);
      EXPECT_NE(a.started.substr(0, 10), b.started.substr(0, 10));
      EXPECT_EQ(a.started.substr(10), b.started.substr(10)) << "the time of day";
    }
  }
}

TEST(DeidentifyReport, PlantedNamesAreInNoByteOfIt) {
  auto file = DoseReportFile(InventedEvents(5, 4), "told", {});
  file = With(With(With(std::move(file), "X-Ray Filters", "Quillfeather!"), "Has Intent", "Oxbow  Ann"), "Copper", "Baker ");
  const auto made = DeidentifyReport(file, kProject);
  ASSERT_TRUE(made.ok());
  for (const char* planted : {"Quillfeather", "Oxbow", "Baker", "invented"}) EXPECT_FALSE(Holds(made->file, planted)) << planted;
  EXPECT_TRUE(Holds(made->file, "113104"));
  EXPECT_EQ(made->file, DeidentifyReport(file, kProject)->file) << "the same bytes twice";
  // A station's own code, and a number that is none of the standard's.
  const auto strange = DeidentifyReport(With(With(DoseReportFile(InventedEvents(5, 4), "told", {}), "66925006", "88123477"), "113758", "988123"), kProject);
  ASSERT_TRUE(strange.ok());
  EXPECT_FALSE(Holds(strange->file, "88123477"));
  EXPECT_FALSE(Holds(strange->file, "988123"));
}

TEST(DeidentifyReport, WhatIsNoneIsRefused) {
  EXPECT_FALSE(DeidentifyReport(std::vector<std::uint8_t>(300, 7), kProject).ok());
  const auto file = DoseReportFile(InventedEvents(5, 4), "told", {});
  EXPECT_FALSE(DeidentifyReport(Bytes(file).first(200), kProject).ok());
  EXPECT_FALSE(DeidentifyReport(With(file, "1.2.840.10008.5.1.4.1.1.88.67", "1.2.840.10008.5.1.4.1.1.88.99"), kProject).ok());
}

}  // namespace
}  // namespace fairlead
