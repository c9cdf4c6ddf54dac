// SPDX-License-Identifier: Apache-2.0
// A label in the log makes the stock fall, and a withdrawal gives the piece back. Numbers begin with 952, which GS1 keeps
// for examples; their check digits are those of the General Specifications' worked sums (label_test.cc).
#include "front/server/kit_uses.h"

#include <gtest/gtest.h>

#include <filesystem>

#include "front/server/lab_shelf.h"
#include "front/server/log_entry.h"
#include "front/server/log_scan.h"
#include "front/server/tray_ladder.h"
#include "tests/front/server/one_practice.h"

namespace fairlead {
namespace {

Shelf OneDrawer() {
  Device slim;
  slim.id = "MC-1", slim.name = "Slim 150", slim.kind = DeviceClass::kMicrocatheter, slim.gtin = "09520123456788";
  slim.usable = Length::Centimetres(150);
  slim.stock = {{"A1", "2029-01-31", 3, "drawer"}};
  return {{slim}, false};
}

class Scanning : public OnePractice {
 protected:
  LogPlan Type(const std::string& text, Instant now = Now()) {
    LogPlan plan;
    const auto receipts = practice_->AppendPlanned(case_, [&](const State& state) -> Result<std::vector<IncomingEntry>> {
      LogRequest request;
      request.text = text, request.by = "AB", request.device = "test";
      auto made = PlanLog(state, request, {now, Duration::Minutes(0), 1.0, 1.0}, &shelf_);
      if (!made.ok()) return made.error();
      plan = std::move(*made);
      return plan.entries;
    });
    EXPECT_TRUE(receipts.ok()) << text << ": " << (receipts.ok() ? "" : Sentence(receipts.error()));
    return plan;
  }
  ShelfLeft Left() {
    std::vector<PackageUse> uses;
    const auto read = practice_->KitUsesNow();
    for (const RecordedUse& each : *read) uses.push_back(each.use);
    return LessUses(shelf_, uses);
  }
  int Count() { return CountOf(Left().shelf.devices[0]); }

  Shelf shelf_ = OneDrawer();
};

TEST_F(Scanning, ALabelAloneIsAPackageThatWasOpened) {
  EXPECT_EQ(Count(), 3);
  const LogPlan plan = Type("(01)09520123456788(17)290131(10)A1(21)S7");
  EXPECT_EQ(std::get<NoteWritten>(plan.entries[0].entry.data).text,
            "used; Slim 150; (01)09520123456788(17)290131(10)A1(21)S7; lot A1; serial S7; expires 2029-01-31");
  EXPECT_EQ(Count(), 2);
  Type("undo");
  EXPECT_EQ(Count(), 3);
}

TEST_F(Scanning, AScannersRawTextIsReadWithItsTime) {
  const Instant now = *ParseIso("2026-11-30T10:00:00Z");
  const LogPlan plan = Type("]d2010952012345678817290131" "10A1 @09:50", now);
  EXPECT_EQ(ToIso(plan.entries[0].entry.at), "2026-11-30T09:50:00.000Z");
  EXPECT_EQ(Count(), 2);
}

TEST_F(Scanning, ALabelAfterAVerbNamesTheDeviceAndIsCountedOnce) {
  const LogPlan plan = Type("mc r in (01)09520123456788(10)A1");
  const auto& event = std::get<RunEvent>(plan.entries[0].entry.data);
  EXPECT_EQ(WordOf(event, RunField::kKit), "mc-1");
  EXPECT_EQ(NumberOf(event, RunField::kWireLength), 150.0);
  EXPECT_EQ(event.remark, "(01)09520123456788(10)A1");
  EXPECT_EQ(Count(), 2);
  Type("mc r out");
  EXPECT_EQ(Count(), 2);
}

TEST_F(Scanning, ANicknameCountsWhenTheDeviceFirstGoesIn) {
  Type("mc r in kit:mc-1");
  Type("mc r m1 depth:100 kit:mc-1");  // said more of: no second package
  EXPECT_EQ(Count(), 2);
  Type("mc a in kit:mc-1");
  EXPECT_EQ(Count(), 1);
}

TEST_F(Scanning, APackageThatIsScannedAndThenGoesInByItsNameIsOne) {
  Type("(01)09520123456788(10)A1");
  Type("mc r in kit:mc-1");
  EXPECT_EQ(Count(), 2);
  Type("mc a in kit:mc-1");  // nothing was scanned for this one
  EXPECT_EQ(Count(), 1);
}

TEST_F(Scanning, AnUnknownNumberIsAProvisionalItemAndSaysSo) {
  const LogPlan plan = Type("(01)09521234543213(10)X");
  EXPECT_NE(plan.says.find("provisional item 09521234543213, not on the shelf"), std::string::npos) << plan.says;
  ASSERT_EQ(Left().provisional.size(), 1u);
  EXPECT_EQ(Count(), 3);
  EXPECT_NE(Type("mc a in 135cm (01)09521234543213(10)X").says.find("provisional item"), std::string::npos);
  EXPECT_EQ(Left().provisional[0].used, 2);
}

TEST_F(Scanning, AnExpiredOrRepeatedPackageIsAskedAboutAndABrokenLabelRefused) {
  EXPECT_EQ(Type("(01)09520123456788(17)250131(10)A1").asks.size(), 1u);
  Type("(01)09520123456788(10)A1(21)S9");
  const LogPlan again = Type("(01)09520123456788(10)A1(21)S9");
  ASSERT_EQ(again.asks.size(), 1u);
  EXPECT_NE(again.asks[0].what.find("already"), std::string::npos);
  EXPECT_EQ(Count(), 1);  // one expired, one of that serial number
  LogRequest request;
  request.by = "AB";
  const State state = *practice_->StateOf(case_, std::nullopt);
  for (const char* text : {"(01)09520123456789(10)A1", "(01)09520123456788(10)A1 @25:00"}) {
    request.text = text;
    EXPECT_FALSE(PlanLog(state, request, {Now(), Duration::Minutes(0), 1.0, 1.0}, &shelf_).ok()) << text;
  }
}

TEST_F(Scanning, AListKeptLaterHasCountedWhatWasUsedBefore) {
  const RecordedUse early{{"09520123456788", "", "", ""}, *ParseIso("2026-11-01T10:00:00Z")}, late{{"09520123456788", "", "", ""}, *ParseIso("2026-11-20T10:00:00Z")};
  Knowledge lab;
  KnowledgeText list;
  list.name = "shelf", list.text = ShelfWritten(shelf_, "lab", "v1")[0].text, list.recorded = *ParseIso("2026-11-10T10:00:00Z");
  lab.texts = {list};
  const auto left = ShelfLeftOf(lab, {early, late});
  ASSERT_TRUE(left.ok());
  EXPECT_EQ(CountOf(left->shelf.devices[0]), 2);
}

TEST(ScannedLine, OnlyWhatBeginsAsALabelDoesIsTakenForOne) {
  for (const char* text : {"act 285", "bp 120/70", "note (01) is no label here; (01)1", "0109", "contrast +01", "wire a in ; (01)09520123456788", ""}) {
    const auto scan = FindScan(text);
    EXPECT_FALSE(scan) << text;
  }
  const auto apart = FindScan("(01) 09520123456788 (10) A1 @10:42 ; why");
  ASSERT_TRUE(apart);
  EXPECT_EQ(apart->label, "(01) 09520123456788 (10) A1");
  EXPECT_EQ(apart->behind, " @10:42 ; why");
}

// The ladder decides the order of the tray; an attempt under way comes first.
TEST_F(Scanning, TheTrayFollowsTheLaddersOrder) {
  const auto before = WaysInOrder(*practice_->StateOf(case_, std::nullopt), {}, Now());
  ASSERT_TRUE(before.ok()) << Sentence(before.error());
  ASSERT_FALSE(before->empty());
  bool left_out = false;
  for (const TrayWay& way : *before) {
    EXPECT_FALSE(left_out && way.in_plan) << "what is left out comes after the plan";
    left_out = left_out || !way.in_plan;
    EXPECT_EQ(way.in_plan, !way.chance.empty());
  }
  const Instant now = Now();
  Type("access femoral r @-3m", now);
  Type("start ADR @-2m", now);
  const auto during = WaysInOrder(*practice_->StateOf(case_, std::nullopt), {}, now);
  ASSERT_TRUE(during.ok());
  EXPECT_EQ(during->front().id, "ADR");
  EXPECT_TRUE(during->front().under_way);
  EXPECT_EQ(StrategiesOf(*during).front(), "ADR");
}

TEST(TrayWays, ARetrogradeWayStandsForBothOfItsCrossings) {
  TrayWay way;
  way.id = "RW/RDR c1", way.strategies = {"RW", "RDR"}, way.channel = "c1", way.in_plan = true;
  EXPECT_EQ(StrategiesOf({way}), (std::vector<std::string>{"RW", "RDR"}));
  EXPECT_EQ(ChannelOf({way}), "c1");
  EXPECT_EQ(StrategiesOf({}).size(), 4u);
}

}  // namespace
}  // namespace fairlead
