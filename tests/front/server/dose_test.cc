// SPDX-License-Identifier: Apache-2.0
// The dose of a case, without sockets: reports joined, typed, earlier; the skin and the views that follow. Sums are the
// generator's own parameters.
#include "front/server/case_dose.h"

#include <gtest/gtest.h>

#include <filesystem>

#include "casebook/entry_json.h"
#include "casebook/log/log_line.h"
#include "casebook/ulid.h"
#include "front/server/case_views.h"
#include "front/server/skin_kept.h"
#include "imaging/dosereport/write_report.h"
#include "keeping/images/doses.h"
#include "tests/front/server/one_practice.h"

namespace fairlead {
namespace {

class DoseOfACase : public OnePractice {
 protected:
  Receipt Join(const std::vector<IrradiationEvent>& events, const std::string& set, bool earlier = false) {
    auto upload = practice_->images().Begin();
    EXPECT_TRUE(upload.ok());
    EXPECT_TRUE((*upload)->Add(DoseReportFile(events, set, {})).ok());
    auto imported = FinishDose(**upload, {});
    EXPECT_TRUE(imported.ok()) << (imported.ok() ? "" : Sentence(imported.error()));
    auto entry = AddDose(*practice_, case_, imported->hash, earlier, "test");
    EXPECT_TRUE(entry.ok()) << (entry.ok() ? "" : Sentence(entry.error()));
    return entry.ok() ? *entry : Receipt{};
  }
  CaseDose Dose() {
    auto dose = DoseOfCase(*practice_, case_);
    EXPECT_TRUE(dose.ok()) << (dose.ok() ? "" : Sentence(dose.error()));
    return dose.ok() ? std::move(*dose) : CaseDose{};
  }
};

std::vector<IrradiationEvent> On(const std::string& day, std::uint64_t seed, int count) {
  auto events = InventedEvents(seed, count);
  for (IrradiationEvent& event : events) event.started = day + "T10:00:00";
  return events;
}
double KermaOf(const std::vector<IrradiationEvent>& events) {
  double sum = 0.0;
  for (const IrradiationEvent& event : events) sum += event.kerma.value_or(Kerma()).gray();
  return sum;
}

TEST_F(DoseOfACase, IsNothingWhereNothingIsKnown) {
  const CaseDose dose = Dose();
  EXPECT_TRUE(dose.from.empty());
  EXPECT_NE(SkinPanelJson(dose).find("\"peak\":null"), std::string::npos);
}

TEST_F(DoseOfACase, IsWhatItsReportSays) {
  const auto events = On("2026-03-02", 51, 20);
  Join(events, "one");
  EXPECT_TRUE(Join(events, "one").again);
  const CaseDose dose = Dose();
  ASSERT_EQ(dose.given.size(), 1U);
  EXPECT_EQ(dose.given[0].day, "2026-03-02");
  EXPECT_NEAR(dose.skin.beams.kerma, KermaOf(events), 1e-9);
  EXPECT_EQ(dose.from, "dose reports");
  EXPECT_GT(dose.skin.peak.gray, 0.0);
  const std::string json = SkinPanelJson(dose);
  for (const char* name : {"\"agree\":true", "\"where\":", "\"views\":[{", "\"dose_cgy\":[", "\"caution\":"}) EXPECT_NE(json.find(name), std::string::npos) << name;
}

TEST_F(DoseOfACase, AddsAnEarlierProcedureByItsDay) {
  const auto now = On("2026-03-02", 52, 10), before = On("2026-02-20", 53, 10);
  Join(now, "now");
  Join(before, "before");  // nobody said that it is earlier: its day does
  const CaseDose dose = Dose();
  ASSERT_EQ(dose.given.size(), 2U);
  EXPECT_FALSE(dose.given[0].earlier);
  EXPECT_TRUE(dose.given[1].earlier);
  EXPECT_NEAR(dose.skin.beams.kerma, KermaOf(now) + KermaOf(before), 1e-9);
}

TEST_F(DoseOfACase, LeavesTheRunsAsTheyAre) {
  Join(On("2026-03-02", 55, 3), "no run");
  auto json = practice_->CaseJsonOf(case_, std::nullopt);
  ASSERT_TRUE(json.ok());
  EXPECT_NE(json->find("\"images\":[]"), std::string::npos);  // a report is no run
  EXPECT_NE(json->find("image: dose report 1"), std::string::npos);  // and stands in the journal
}

TEST_F(DoseOfACase, MarksAnEarlierReportAsWhoeverBroughtItSaid) {
  Join(On("", 56, 3), "no day", true);
  const CaseDose dose = Dose();
  ASSERT_EQ(dose.given.size(), 1U);
  EXPECT_TRUE(dose.given[0].earlier);
  EXPECT_EQ(dose.from, "earlier procedures");
}

// Shares worked out by hand: 0.4 Gy stand in the first view, 0.6 Gy in the second.
TEST_F(DoseOfACase, LiesInTheViewsThatTheLogNamesWhereThereIsNoReport) {
  std::vector<IncomingEntry> lines;
  Instant at{1764500000000};
  for (const char* text : {"view LAO45 CRA25", "ak 0.4Gy", "view RAO30 CAU20", "ak 1.0Gy"}) {
    if (std::string_view(text).starts_with("ak")) at.ms += 60000;  // the C-arm moves as soon as the total is typed
    auto line = ParseLogLine(text, {at, Duration::Minutes(0), 1.0, 1.0});
    ASSERT_TRUE(line.ok()) << Sentence(line.error());
    Entry entry;
    entry.at = entry.written = at;
    entry.id = NewUlid(at, RandomTail());
    entry.by = "AB", entry.device = "test";
    entry.data = line->data;
    lines.push_back(MakeIncoming(std::move(entry)));
  }
  ASSERT_TRUE(practice_->Append(case_, lines).ok());
  const CaseDose dose = Dose();
  EXPECT_EQ(dose.from, "typed air kerma by view");
  ASSERT_EQ(dose.exposure.file.events.size(), 2U);
  EXPECT_NEAR(dose.exposure.file.events[0].kerma->gray(), 0.4, 1e-9);
  EXPECT_NEAR(dose.exposure.file.events[1].angles->primary.degrees(), -30.0, 1e-9);
  EXPECT_FALSE(dose.skin.from_totals);
  EXPECT_NE(SkinPanelJson(dose).find("RAO 30"), std::string::npos);
  // A report takes their place.
  Join(On("2026-03-02", 57, 5), "report");
  EXPECT_EQ(Dose().from, "dose reports");
}

TEST_F(DoseOfACase, GivesTheViewsOfItsSegment) {
  auto plain = ViewsOfCase(*practice_, case_, {{"vessel", "RCA"}, {"from", "0.3"}, {"to", "0.45"}});
  ASSERT_TRUE(plain.ok()) << Sentence(plain.error());
  EXPECT_NE(plain->find("\"vessel\":\"RCA\""), std::string::npos);
  EXPECT_EQ(plain->find("\"skin_gy\":["), std::string::npos);
  Join(On("2026-03-02", 54, 30), "views");
  auto with_skin = ViewsOfCase(*practice_, case_, {});
  ASSERT_TRUE(with_skin.ok());
  EXPECT_NE(with_skin->find("\"skin_gy\":["), std::string::npos);
  auto own = ViewsOfCase(*practice_, case_, {}, R"({"measured": true, "target": [[10,-25,35],[24,-33,13]]})");
  ASSERT_TRUE(own.ok()) << Sentence(own.error());
  EXPECT_NE(own->find("\"measured\":true"), std::string::npos);
}

TEST_F(DoseOfACase, RefusesWhatIsNoNumberOrNoVessel) {
  const auto sentence = [&](const NamedText& query) {
    auto views = ViewsOfCase(*practice_, case_, query);
    return views.ok() ? std::string("answered") : Sentence(views.error());
  };
  EXPECT_EQ(sentence({{"limit", "many"}}), "this is no number that can be used here (limit): give 5 to 90");
  EXPECT_EQ(sentence({{"skin", "-1"}}), "this is no number that can be used here (skin): give 0 to 5");
  EXPECT_NE(sentence({{"vessel", "aorta"}}).find("the model has no such vessel"), std::string::npos);
  EXPECT_NE(sentence({{"from", "0.5"}, {"to", "0.2"}}).find("no range"), std::string::npos);
  EXPECT_NE(sentence({{"now", "sideways"}}), "answered");
}

// A kept answer is the answer of those events on that body, and of no others.
TEST(SkinKept, IsWhatIsWorkedOutAnew) {
  std::vector<IrradiationEvent> events(250);
  for (std::size_t i = 0; i < events.size(); ++i) {
    events[i].id = "e" + std::to_string(i);
    events[i].angles = GantryAngles{Angle::Degrees(-30 + static_cast<double>(i % 7)), Angle::Degrees(static_cast<double>(i % 5))};
    events[i].kerma = Kerma::Gray(0.01);
  }
  BeamSettings settings;
  const SkinEstimate fresh = EstimateSkin(events, settings);
  for (int again = 0; again < 2; ++again) {
    const SkinEstimate kept = EstimateSkinKept(events, settings);
    EXPECT_EQ(kept.peak.gray, fresh.peak.gray);
    EXPECT_EQ(kept.high, fresh.high);
    EXPECT_EQ(kept.beams.beams.size(), fresh.beams.beams.size());
    EXPECT_EQ(kept.map.dose, fresh.map.dose);
  }
  settings.calibration = 2.0;
  EXPECT_NEAR(EstimateSkinKept(events, settings).peak.gray, 2.0 * fresh.peak.gray, 1e-9);
  settings.calibration = 1.0;
  settings.body.torso = *TorsoOf({190.0, 120.0}, Arms::kUp);
  EXPECT_NE(EstimateSkinKept(events, settings).peak.gray, fresh.peak.gray);
  settings = BeamSettings{};
  events.back().kerma = Kerma::Gray(3.0);
  EXPECT_GT(EstimateSkinKept(events, settings).peak.gray, fresh.peak.gray + 1.0);
}

}  // namespace
}  // namespace fairlead
