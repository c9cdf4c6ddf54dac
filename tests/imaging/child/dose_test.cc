// SPDX-License-Identifier: Apache-2.0
// Dose reports are foreign bytes too: read in the child, and hostile ones become a sentence there. Expected values are
// the generator's own parameters.
#include <gtest/gtest.h>

#include <chrono>

#include "imaging/child/dose.h"
#include "imaging/dosereport/write_report.h"
#include "tests/imaging/child/files.h"

namespace fairlead {
namespace {

TEST(DoseInChild, GivesEveryEventOfTheReport) {
  const auto events = InventedEvents(5, 30);
  const Descriptor file = InMemory(DoseReportFile(events, "child", {}));
  const auto report = ReadDoseInChild(file.get(), {}, {});
  ASSERT_TRUE(report) << Sentence(report.error());
  ASSERT_EQ(report->events.size(), events.size());
  for (std::size_t i = 0; i < events.size(); ++i) {
    EXPECT_EQ(report->events[i].id, events[i].id);
    EXPECT_NEAR(report->events[i].kerma->gray(), events[i].kerma->gray(), 1e-9);
    EXPECT_NEAR(report->events[i].angles->primary.degrees(), events[i].angles->primary.degrees(), 1e-7);
  }
}

TEST(DoseInChild, ReadsTenThousandEventsWithinItsLimits) {
  const Descriptor file = InMemory(DoseReportFile(InventedEvents(6, 10'000), "many", {}));
  const auto begun = std::chrono::steady_clock::now();
  const auto report = ReadDoseInChild(file.get(), {}, {});
  ASSERT_TRUE(report) << Sentence(report.error());
  EXPECT_EQ(report->events.size(), 10'000U);
  EXPECT_LT(std::chrono::steady_clock::now() - begun, std::chrono::seconds(15));
}

// A sequence of undefined length in an item of undefined length, again and again: 36 bytes a level.
std::vector<std::uint8_t> Nested(std::size_t levels) {
  auto bytes = DoseReportFile(InventedEvents(7, 1), "nested", {});
  const std::vector<std::uint8_t> open = {0x40, 0x00, 0x30, 0xA7, 'S', 'Q', 0, 0, 0xFF, 0xFF, 0xFF, 0xFF, 0xFE, 0xFF, 0x00, 0xE0, 0xFF, 0xFF, 0xFF, 0xFF};
  const std::vector<std::uint8_t> close = {0xFE, 0xFF, 0x0D, 0xE0, 0, 0, 0, 0, 0xFE, 0xFF, 0xDD, 0xE0, 0, 0, 0, 0};
  for (std::size_t i = 0; i < levels; ++i) bytes.insert(bytes.end(), open.begin(), open.end());
  for (std::size_t i = 0; i < levels; ++i) bytes.insert(bytes.end(), close.begin(), close.end());
  return bytes;
}

TEST(DoseInChild, RefusesEndlessNestingWithASentence) {
  const auto begun = std::chrono::steady_clock::now();
  const auto report = ReadDoseInChild(InMemory(Nested(100'000)).get(), {}, {});
  ASSERT_FALSE(report);
  EXPECT_NE(report.error().what.find("nested"), std::string::npos) << report.error().what;
  EXPECT_LT(std::chrono::steady_clock::now() - begun, std::chrono::seconds(5));
  EXPECT_TRUE(ReadDoseInChild(InMemory(Nested(20)).get(), {}, {}));
}

TEST(DoseInChild, SaysThatSomethingElseIsNoReport) {
  const std::string text = "this is no report at all";
  const auto report = ReadDoseInChild(InMemory({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()}).get(), {}, {});
  ASSERT_FALSE(report);
  EXPECT_FALSE(report.error().what.empty());
  EXPECT_FALSE(report.error().to_do.empty());
}

TEST(DoseInChild, SurvivesEveryCut) {
  const auto whole = DoseReportFile(InventedEvents(8, 3), "cut", {});
  for (std::size_t size = 0; size < whole.size(); size += 997) {
    const auto report = ReadDoseInChild(InMemory(std::span(whole).first(size)).get(), {}, {});
    if (!report) {
      EXPECT_FALSE(report.error().what.empty()) << size;
      EXPECT_EQ(report.error().what.find("decoder fail"), std::string::npos) << size;
    }
  }
}

}  // namespace
}  // namespace fairlead
