// SPDX-License-Identifier: Apache-2.0
#include "imaging/dosereport/gather.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace fairlead {
namespace {

DoseReport ReportOf(std::vector<std::string> ids, double each, std::optional<double> stated, std::string written) {
  DoseReport report;
  report.study = "1.2";
  report.written = std::move(written);
  for (std::string& id : ids) {
    IrradiationEvent event;
    event.id = std::move(id);
    event.kerma = Kerma::Gray(each);
    report.events.push_back(std::move(event));
  }
  if (stated) report.totals.push_back({Plane::kSingle, false, Kerma::Gray(*stated), std::nullopt, std::nullopt, std::nullopt});
  return report;
}

TEST(Gather, CountsAReportThatIsSentTwiceOnce) {
  const DoseReport report = ReportOf({"1.1", "1.2"}, 0.5, 1.0, "2031-03-04T10:00:00");
  const GatheredDose gathered = Gather({report, report});
  EXPECT_EQ(gathered.events.size(), 2U);
  EXPECT_EQ(gathered.stated_kerma, 1.0);
}

TEST(Gather, TakesTheLatestTotalsOfAReportThatGrows) {
  const GatheredDose gathered = Gather({ReportOf({"1.1", "1.2", "1.3", "1.4"}, 0.5, 2.0, "2031-03-04T11:00:00"), ReportOf({"1.1", "1.2"}, 0.5, 1.0, "2031-03-04T10:00:00")});
  EXPECT_EQ(gathered.events.size(), 4U);
  EXPECT_EQ(gathered.stated_kerma, 2.0);
  EXPECT_EQ(gathered.summed_kerma, 2.0);
  EXPECT_EQ(gathered.remarks.size(), 1U);  // that two stand twice
}

TEST(Gather, KeepsWhatNoEventHoldsAsAnEventWithoutADirection) {
  const GatheredDose gathered = Gather({ReportOf({"1.1", "1.2"}, 0.5, 1.4, "")});
  ASSERT_EQ(gathered.events.size(), 3U);
  EXPECT_EQ(gathered.events.back().id, "not itemised");
  EXPECT_NEAR(gathered.events.back().kerma->gray(), 0.4, 1e-12);
  EXPECT_FALSE(gathered.events.back().angles.has_value());
  ASSERT_FALSE(gathered.remarks.empty());
  EXPECT_NE(gathered.remarks.back().find("the stated total is 1.4 Gy"), std::string::npos);
}

// 0.9 Gy stated, one event of 0.5 Gy and two with area products of 20 and 60 Gy cm2 alone: 0.1 and 0.3 Gy, by hand.
TEST(Gather, EventsWithoutKermaTakeWhatTheTotalHasOverAndNothingCountsTwice) {
  DoseReport report = ReportOf({"1.1", "1.2", "1.3"}, 0.5, 0.9, "");
  for (const std::size_t at : {std::size_t{1}, std::size_t{2}}) {
    report.events[at].kerma.reset();
    report.events[at].area_product = AreaProduct::GraySquareMetres(at == 1 ? 20e-4 : 60e-4);
  }
  const GatheredDose gathered = Gather({report});
  ASSERT_EQ(gathered.events.size(), 3U);
  EXPECT_NEAR(gathered.events[1].kerma->gray(), 0.1, 1e-12);
  EXPECT_NEAR(gathered.events[2].kerma->gray(), 0.3, 1e-12);
  report.events[1].area_product = report.events[2].area_product = AreaProduct::GraySquareMetres(1.0);  // no field is 2 m2
  EXPECT_EQ(Gather({report}).events.back().id, "not itemised");
}

TEST(Gather, SaysNothingWithinTwoPerCent) {
  EXPECT_TRUE(Gather({ReportOf({"1.1", "1.2"}, 0.5, 1.01, "")}).remarks.empty());
  EXPECT_FALSE(Gather({ReportOf({"1.1", "1.2"}, 0.5, 1.03, "")}).remarks.empty());
}

TEST(Gather, DoubtsATotalOfAnotherUnit) {
  const GatheredDose gathered = Gather({ReportOf({"1.1", "1.2"}, 0.5, 1000.0, "")});
  EXPECT_EQ(gathered.events.size(), 2U);
}

TEST(Gather, UsesTotalsAloneWhereThereAreNoEvents) {
  const GatheredDose gathered = Gather({ReportOf({}, 0, 2.5, "")});
  ASSERT_EQ(gathered.events.size(), 1U);
  EXPECT_EQ(gathered.events[0].id, "totals");
}

TEST(Gather, LeavesRunsOutWhoseReportIsThere) {
  DoseReport run = ReportOf({"1.9"}, 0.1, std::nullopt, "");
  run.from = DoseSource::kRunHeader;
  EXPECT_EQ(Gather({run}).events.size(), 1U);
  EXPECT_EQ(Gather({run, ReportOf({"1.1"}, 0.5, std::nullopt, "")}).events.size(), 1U);
  run.study = "1.3";
  EXPECT_EQ(Gather({run, ReportOf({"1.1"}, 0.5, std::nullopt, "")}).events.size(), 2U);
}

}  // namespace
}  // namespace fairlead
