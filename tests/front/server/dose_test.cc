// SPDX-License-Identifier: Apache-2.0
// The dose of a case, without sockets: reports joined, typed, earlier; the skin and the views that follow. Sums are the
// generator's own parameters.
#include "front/server/case_dose.h"

#include <gtest/gtest.h>

#include <filesystem>

#include "casebook/entry_json.h"
#include "casebook/ulid.h"
#include "front/server/case_views.h"
#include "front/server/random.h"
#include "imaging/dosereport/write_report.h"

namespace fairlead {
namespace {

class DoseOfACase : public ::testing::Test {
 protected:
  void SetUp() override {
    folder_ = std::filesystem::temp_directory_path() / ("fairlead-dose-" + RandomHex(8));
    auto practice = Practice::Open(folder_, {});
    ASSERT_TRUE(practice.ok()) << Sentence(practice.error());
    practice_ = std::move(*practice);
    auto id = practice_->NewCase("invented", "1", "test");
    ASSERT_TRUE(id.ok());
    case_ = *id;
  }
  void TearDown() override {
    practice_.reset();
    std::filesystem::remove_all(folder_);
  }
  Receipt Join(const std::vector<IrradiationEvent>& events, const std::string& set, bool earlier = false) {
    auto upload = practice_->images().Begin();
    EXPECT_TRUE(upload.ok());
    EXPECT_TRUE((*upload)->Add(DoseReportFile(events, set, {})).ok());
    auto imported = (*upload)->FinishDose({});
    EXPECT_TRUE(imported.ok()) << (imported.ok() ? "" : Sentence(imported.error()));
    auto entry = practice_->AddDose(case_, *imported, earlier, "test");
    EXPECT_TRUE(entry.ok()) << (entry.ok() ? "" : Sentence(entry.error()));
    return entry.ok() ? *entry : Receipt{};
  }
  void Type(const DoseGiven& given) {
    Entry entry;
    entry.at = entry.written = Now();
    entry.id = NewUlid(entry.at, RandomTail());
    entry.by = "AB";
    entry.device = "page";
    entry.data = given;
    const IncomingEntry incoming = MakeIncoming(std::move(entry));
    auto receipts = practice_->Append(case_, {&incoming, 1});
    ASSERT_TRUE(receipts.ok()) << Sentence(receipts.error());
  }
  CaseDose Dose() {
    auto dose = DoseOfCase(*practice_, case_);
    EXPECT_TRUE(dose.ok()) << (dose.ok() ? "" : Sentence(dose.error()));
    return dose.ok() ? std::move(*dose) : CaseDose{};
  }

  std::filesystem::path folder_;
  std::unique_ptr<Practice> practice_;
  std::string case_;
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
  EXPECT_EQ(dose.given[0].given.day, "2026-03-02");
  EXPECT_NEAR(dose.given[0].given.air_kerma_gy, KermaOf(events), 1e-6);
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

TEST_F(DoseOfACase, TakesAirKermaTypedByView) {
  DoseGiven given;
  given.label = "typed by view";
  given.air_kerma_gy = 2.5;
  given.events = 2;
  given.typed = {{-30.0, 20.0, 2.0}, {std::nullopt, std::nullopt, 0.5}};
  Type(given);
  const CaseDose dose = Dose();
  EXPECT_EQ(dose.from, "typed by view");
  EXPECT_NEAR(dose.skin.beams.kerma, 2.5, 1e-12);
  EXPECT_FALSE(dose.skin.from_totals);
  EXPECT_NE(SkinPanelJson(dose).find("\"view\":\"RAO 30 CRA 20\""), std::string::npos);
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

}  // namespace
}  // namespace fairlead
