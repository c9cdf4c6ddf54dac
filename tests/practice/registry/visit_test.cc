// SPDX-License-Identifier: Apache-2.0
// The expected figures of the invented case were read off demo/case-4.jsonl by hand, line by line.
#include "practice/registry/visit.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "casebook/entry_json.h"
#include "front/demo/demo.h"
#include "practice/registry/registry.h"

namespace fairlead {
namespace {

State StateOfCase(std::size_t which) {
  const auto cases = DemoPractice();
  std::vector<Entry> entries;
  for (const IncomingEntry& each : (*cases)[which].entries) {
    entries.push_back(each.entry);
    entries.back().seq = static_cast<std::int64_t>(entries.size());
    entries.back().recorded = each.entry.written;
  }
  return Fold(std::move(entries));
}

// A run typed as verbs, a minute apart unless said otherwise.
class Typed {
 public:
  Typed& Say(int minute, const std::string& data, const std::string& kind = "run") {
    const auto at = Instant{1'790'000'000'000 + minute * 60'000LL};
    auto read = ParseEntryData(kind, 1, data);
    EXPECT_TRUE(read.ok()) << data << ": " << (read.ok() ? "" : Sentence(read.error()));
    Entry entry;
    entry.id = "01K8FRYP00TYPED000000" + std::string(5 - std::to_string(10'000 + entries_.size()).size(), '0') + std::to_string(10'000 + entries_.size());
    entry.kind = kind, entry.at = entry.written = entry.recorded = at, entry.by = "AB";
    entry.seq = static_cast<std::int64_t>(entries_.size()) + 1;
    if (read.ok()) entry.data = *read;
    entries_.push_back(std::move(entry));
    return *this;
  }
  CaseVisits Visits() const { return VisitsOf("case", Fold(entries_)); }
  std::vector<Entry>& entries() { return entries_; }

 private:
  std::vector<Entry> entries_;
};

TEST(Visits, TheInventedThreeHourRunGivesItsRow) {
  const CaseVisits found = VisitsOf("01M2NG00X0DEM0CASE00000004", StateOfCase(3));
  ASSERT_EQ(found.visits.size(), 1u) << found.withheld;
  const LabVisit& visit = found.visits.front();
  EXPECT_EQ(visit.row.id, "01M2NG00X0DEM0CASE00000004");
  EXPECT_TRUE(visit.row.invented);
  EXPECT_EQ(ToIso(visit.row.began), "2026-09-17T06:22:00.000Z");  // first puncture
  EXPECT_EQ(visit.row.minutes, 178.0);                            // to 09:20
  EXPECT_EQ(visit.row.vessel, "RCA");                             // segment 2
  EXPECT_EQ(visit.row.j_cto, 3);       // blunt, calcified, 27 mm; no bend, no earlier failure
  EXPECT_EQ(visit.row.success, true);  // flow 3, residual 5 %
  EXPECT_EQ(visit.row.complication, false);  // said at the close
  EXPECT_EQ(visit.row.contrast_ml, 103.0);   // 30 + 12 + 15 + 8 + 20 + 18
  EXPECT_EQ(visit.row.air_kerma_gy, 3.12);
  EXPECT_EQ(visit.fluoro_min, 61.0);
  EXPECT_EQ(visit.kerma_area_gycm2, 184.0);
  EXPECT_EQ(std::get<double>(visit.row.facts.at("length_angio_mm")), 27.0);
  EXPECT_EQ(std::get<std::string>(visit.row.facts.at("stump_angio")), "blunt");
  EXPECT_EQ(std::get<bool>(visit.row.facts.at("prior_cabg")), false);
}

TEST(Visits, ItsAttemptsDevicesAndTroubleStandBesideIt) {
  const LabVisit visit = VisitsOf("c", StateOfCase(3)).visits.at(0);
  ASSERT_EQ(visit.attempts.size(), 3u);
  const struct { const char* strategy; double minutes; const char* end; double contrast, kerma; } made[] = {
      {"AW", 24, "switched", 12, 0.27}, {"ADR", 30, "switched", 15, 0.88}, {"RDR", 56, "crossed", 8, 0.58}};
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(visit.attempts[i].strategy, made[i].strategy);
    EXPECT_EQ(visit.attempts[i].minutes, made[i].minutes);
    EXPECT_EQ(visit.attempts[i].ended, made[i].end);
    EXPECT_NEAR(visit.attempts[i].contrast_ml.value_or(-1), made[i].contrast, 1e-9);
    EXPECT_NEAR(visit.attempts[i].air_kerma_gy.value_or(-1), made[i].kerma, 1e-9);
    EXPECT_EQ(visit.row.tries[i].minutes, made[i].minutes);
  }
  EXPECT_EQ(visit.attempts[1].reason, "haematoma");
  EXPECT_EQ(visit.attempts[2].channel_kind, "septal");
  const auto count = [&](std::string_view kind) { return std::count_if(visit.devices.begin(), visit.devices.end(), [&](const VisitDevice& d) { return d.kind == kind; }); };
  EXPECT_EQ(count("wire"), 6);
  EXPECT_EQ(count("guide"), 2);
  EXPECT_EQ(count("microcatheter"), 2);
  EXPECT_EQ(count("stent"), 2);
  EXPECT_EQ(count("balloon"), 3);
  ASSERT_EQ(visit.troubles.size(), 1u);
  EXPECT_EQ(visit.troubles[0].kind, "perforation");
  EXPECT_EQ(visit.troubles[0].grade, "I");
  EXPECT_EQ(visit.troubles[0].at_min, 156.0);   // 08:58
  EXPECT_EQ(visit.troubles[0].minutes, 5.0);    // sealed at 09:03
  EXPECT_EQ(visit.troubles[0].strategy, "");    // no technique was at work any more
}

TEST(Visits, ACaseWithoutAnEndedRunGivesNone) {
  for (std::size_t i = 0; i < 3; ++i) EXPECT_TRUE(VisitsOf("c", StateOfCase(i)).visits.empty());
  EXPECT_TRUE(Typed().Say(0, R"({"verb":"access","site":"radial"})").Say(5, R"({"verb":"start","strategy":"AW"})").Visits().visits.empty());
}

TEST(Visits, WhatNobodySaidIsUnknownAndCountedAsMissing) {
  const CaseVisits found = Typed().Say(0, R"({"verb":"access","site":"radial"})").Say(5, R"({"verb":"start","strategy":"AW"})").Say(40, R"({"verb":"end"})").Visits();
  ASSERT_EQ(found.visits.size(), 1u);
  EXPECT_EQ(found.visits[0].row.success, std::nullopt);
  EXPECT_EQ(found.visits[0].row.complication, std::nullopt);  // silence is not "none"
  EXPECT_EQ(found.visits[0].row.contrast_ml, std::nullopt);
  for (const char* name : {"vessel", "j_cto", "success", "complication", "contrast_ml", "air_kerma_gy", "fluoro_min", "egfr"}) {
    EXPECT_NE(std::find(found.visits[0].missing.begin(), found.visits[0].missing.end(), name), found.visits[0].missing.end()) << name;
  }
}

// Residual strictly below 30 % and flow 3: the registry form of the definition (Circulation 2021;143:479-500 lists both).
TEST(Visits, SayWhetherSomebodyStoodForTheirReport) {
  const std::string sign = R"({"at_step":"signed","text":"version 1"})";
  Typed typed;
  typed.Say(0, R"({"verb":"access","site":"radial"})").Say(5, R"({"verb":"start","strategy":"AW"})").Say(40, R"({"verb":"stopped","reason":"limit"})");
  EXPECT_TRUE(typed.Visits().visits.empty());
  Typed open = typed;
  open.Say(90, sign, "shown");  // signed, though nobody logged the end: a row all the same, and it says so
  ASSERT_EQ(open.Visits().visits.size(), 1U);
  EXPECT_TRUE(open.Visits().visits[0].signed_at);
  EXPECT_NEAR(*open.Visits().visits[0].row.minutes, 90, 1e-9);
  EXPECT_FALSE(open.Visits().visits[0].remarks.empty());
  typed.Say(60, R"({"verb":"end"})");
  ASSERT_EQ(typed.Visits().visits.size(), 1U);
  EXPECT_FALSE(typed.Visits().visits[0].signed_at);
  Registry registry;
  AddVisits(registry, "case", typed.Visits());
  EXPECT_TRUE(UnsignedSentence(registry).starts_with("The one visit logged here is not signed yet"));
  typed.Say(61, sign, "shown");
  EXPECT_EQ(typed.Visits().visits[0].signed_at, Instant{1'790'000'000'000 + 61 * 60'000LL});
  EXPECT_NEAR(*typed.Visits().visits[0].row.minutes, 60, 1e-9);
}

TEST(Visits, KeepWhatTheLadderPutNextWhenItWasLastShownBeforeAWayWasLeft) {
  const auto said = [](const std::string& plan) {
    return R"({"at_step":"start","text":"attempt AW, 0 min in this phase\nwhich way: change now [)" + plan + R"(]: 40 in 100 (30 to 50) to finish within the limits, harm 9 per 1,000\n"})";
  };
  Typed typed;
  typed.Say(0, R"({"verb":"access","site":"radial"})").Say(5, R"({"verb":"start","strategy":"AW"})").Say(5, said("ADR 20, RDR 30"), "shown").Say(15, said("RW/RDR 25, ADR 10"), "shown");
  typed.Say(20, R"({"verb":"switch","strategy":"RW","reason":"cap-hard"})").Say(20, said("stop"), "shown").Say(50, R"({"verb":"stopped","reason":"limit"})").Say(60, R"({"verb":"end"})");
  const CaseVisits found = typed.Visits();
  ASSERT_EQ(found.visits.size(), 1U);
  ASSERT_EQ(found.visits[0].attempts.size(), 2U);
  EXPECT_EQ(found.visits[0].attempts[0].ladder, "RW/RDR");    // the last that was shown while it was at work, not what followed the change
  EXPECT_EQ(found.visits[0].attempts[1].ladder, "stop");
  EXPECT_EQ(found.visits[0].row.tries[0].ladder, "RW/RDR");
}

TEST(Visits, MeasuredResultsCountBeforeSaidOnes) {
  const struct { double residual, flow; bool success; } rows[] = {{5, 3, true}, {29, 3, true}, {30, 3, false}, {10, 2, false}};
  for (const auto& row : rows) {
    const CaseVisits found = Typed().Say(0, R"({"verb":"access","site":"radial"})").Say(9, "{\"verb\":\"residual\",\"residual_pct\":" + std::to_string(row.residual) + "}")
                                 .Say(10, "{\"verb\":\"flow\",\"flow\":" + std::to_string(row.flow) + "}").Say(11, R"({"verb":"result","outcome":"success"})").Say(12, R"({"verb":"end"})").Visits();
    ASSERT_EQ(found.visits.size(), 1u);
    EXPECT_EQ(found.visits[0].row.success, row.success) << row.residual << " " << row.flow;
    EXPECT_EQ(found.visits[0].remarks.empty(), row.success);  // said and seen do not agree: it is told
  }
}

TEST(Visits, AMajorEventCountsWhereverItIsSaid) {
  const auto with = [](const std::string& during, const std::string& after) {
    Typed typed;
    typed.Say(0, R"({"verb":"access","site":"radial"})");
    if (!during.empty()) typed.Say(8, during);
    typed.Say(10, R"({"verb":"tick","gate":"close","item":"complications","state":"done"})").Say(12, R"({"verb":"end"})");
    if (!after.empty()) typed.Say(500, after);
    return typed.Visits().visits.at(0).row.complication;
  };
  EXPECT_EQ(with("", ""), false);
  EXPECT_EQ(with(R"({"verb":"perforation","class":"II","site":"distal"})", ""), false);  // treated or not, no event of the list
  EXPECT_EQ(with(R"({"verb":"tamponade"})", ""), true);
  EXPECT_EQ(with(R"({"verb":"drain","volume_ml":250})", ""), true);
  EXPECT_EQ(with(R"({"verb":"trouble","kind":"stroke"})", ""), true);
  EXPECT_EQ(with("", R"({"verb":"followup","days":2,"outcome":"death"})"), true);
  EXPECT_EQ(with("", R"({"verb":"followup","days":300,"outcome":"death"})"), false);  // not in hospital
}

TEST(Visits, ABreakIsNoTimeAtRisk) {
  const CaseVisits found = Typed().Say(0, R"({"verb":"access","site":"radial"})").Say(5, R"({"verb":"start","strategy":"AW"})").Say(10, R"({"verb":"break","state":"begin"})")
                               .Say(18, R"({"verb":"break","state":"over"})").Say(25, R"({"verb":"stopped","reason":"cap-hard"})").Say(40, R"({"verb":"end"})").Visits();
  ASSERT_EQ(found.visits.size(), 1u);
  EXPECT_EQ(found.visits[0].attempts.at(0).minutes, 12.0);
  EXPECT_EQ(found.visits[0].attempts.at(0).break_minutes, 8.0);
  EXPECT_EQ(found.visits[0].row.minutes, 40.0);
}

TEST(Visits, ASecondVisitIsARowOfItsOwn) {
  Typed typed;
  typed.Say(-10, R"({"fact":"previous_failed_attempts","value":0,"mark":"stated"})", "fact")
      .Say(0, R"({"verb":"access","site":"radial"})").Say(5, R"({"verb":"start","strategy":"AW"})").Say(30, R"({"verb":"result","outcome":"failed","reason":"cap-hard"})").Say(31, R"({"verb":"end"})")
      .Say(9000, R"({"fact":"previous_failed_attempts","value":1,"mark":"stated"})", "fact").Say(9999, R"({"verb":"tick","gate":"before","item":"consent","state":"done"})")
      .Say(10000, R"({"verb":"access","site":"radial"})").Say(10005, R"({"verb":"start","strategy":"RDR"})").Say(10050, R"({"verb":"result","outcome":"success"})").Say(10051, R"({"verb":"end"})");
  const CaseVisits found = typed.Visits();
  ASSERT_EQ(found.visits.size(), 2u);
  EXPECT_EQ(found.visits[0].row.id, "case");
  EXPECT_EQ(found.visits[1].row.id, "case/2");
  EXPECT_EQ(found.visits[0].row.success, false);
  EXPECT_EQ(found.visits[1].row.success, true);
  EXPECT_EQ(found.visits[0].attempts.at(0).strategy, "AW");
  EXPECT_EQ(found.visits[1].attempts.at(0).strategy, "RDR");
  // The second visit's facts do not reach back into the first.
  EXPECT_EQ(std::get<double>(found.visits[0].row.facts.at("previous_failed_attempts")), 0.0);
}

TEST(Visits, AnEntryThatIsNotUnderstoodHoldsTheRowBack) {
  Typed typed;
  typed.Say(0, R"({"verb":"access","site":"radial"})").Say(40, R"({"verb":"end"})");
  Entry strange = typed.entries().back();
  strange.id.back() = 'Z', strange.kind = "future", strange.seq += 1, strange.data = NotUnderstood{"kind of a newer program"};
  typed.entries().push_back(std::move(strange));
  const CaseVisits found = typed.Visits();
  EXPECT_TRUE(found.visits.empty());
  EXPECT_NE(found.withheld.find("not understood"), std::string::npos);
}

TEST(Visits, TheSameJournalGivesTheSameRowInWhateverOrderItIsRead) {
  Typed typed;
  typed.Say(0, R"({"verb":"access","site":"radial"})").Say(5, R"({"verb":"start","strategy":"AW"})").Say(30, R"({"verb":"switch","strategy":"RW","reason":"cap-hard"})")
      .Say(70, R"({"verb":"contrast","add_ml":40})").Say(71, R"({"verb":"result","outcome":"partial"})").Say(72, R"({"verb":"end"})");
  const LabVisit straight = typed.Visits().visits.at(0);
  std::reverse(typed.entries().begin(), typed.entries().end());
  const LabVisit turned = typed.Visits().visits.at(0);
  EXPECT_EQ(CaseRowsJson({straight.row}), CaseRowsJson({turned.row}));
}

}  // namespace
}  // namespace fairlead
