// SPDX-License-Identifier: Apache-2.0
#include "reasoning/caution/gate.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "casebook/run_table.h"
#include "tests/casebook/run/typed.h"

namespace fairlead {
namespace {

TEST(Gates, EveryItemCanBeTickedInTheLog) {
  for (const Gate& gate : Gates())
    for (const GateItem& item : gate.items) {
      const std::string line = "tick " + std::string(gate.id) + " item:" + std::string(item.id) + " not ; why";
      EXPECT_TRUE(ParseLogLine(line, {Clock("10:00"), Duration::Minutes(0), 1.0, 1.0})) << line;
    }
}

TEST(Gates, AnItemIsOpenUntilItIsSaid) {
  const RunState run = RunOfLines({"08:00 tick before consent done", "08:01 tick before snare not ; on order", "08:02 lab 13.2g/dL", "10:00 access femoral"});
  RunPatient patient;
  patient.contrast_allergy = true;
  const auto items = StateOfGate(run, patient, Gates()[0], Clock("10:00"));
  const auto of = [&](std::string_view id) { return *std::ranges::find_if(items, [id](const ItemState& state) { return state.item->id == id; }); };
  EXPECT_EQ(of("consent").state, "done");
  EXPECT_EQ(of("snare").state, "not");
  EXPECT_EQ(of("snare").why, "on order");
  EXPECT_EQ(of("coils").state, "open");
  EXPECT_EQ(of("haemoglobin").known, "haemoglobin 13.2 g/dL, 0 days old");
  EXPECT_EQ(of("haemoglobin").state, "open");  // known is not ticked
  EXPECT_EQ(of("allergy").known, "contrast");
}

TEST(Drills, EveryTroubleOfTheKeyHasOneAndEachStepCanBeTicked) {
  const VerbField* kinds = FieldOf(RowOf(Verb::kTrouble), RunField::kKind);
  ASSERT_NE(kinds, nullptr);
  for (const RunWord& word : kinds->words) EXPECT_NE(DrillOf(word.word, ""), nullptr) << word.word;
  for (const Drill& drill : Drills()) {
    std::set<std::string_view> seen;
    for (const DrillStep& step : drill.steps) {
      EXPECT_TRUE(seen.insert(step.item).second) << drill.title;
      const std::string line = "tick drill " + std::string(drill.kind) + "-" + std::string(step.item);
      EXPECT_TRUE(ParseLogLine(line, {Clock("10:00"), Duration::Minutes(0), 1.0, 1.0})) << line;
    }
  }
  // Rows of their own: a wire alone in the main vessel, and a hole into a chamber. practice, no source.
  EXPECT_EQ(DrillOf("perforation", "main", "", "wire")->site, "wire");
  EXPECT_EQ(DrillOf("perforation", "main", "III", "wire")->site, "main");
  EXPECT_EQ(DrillOf("perforation", "main", "II", "balloon")->site, "main");
  EXPECT_EQ(DrillOf("perforation", "distal", "cavity", "wire")->site, "cavity");
  for (const char* site : {"main", "distal", "septal", "epicardial", "graft"}) EXPECT_EQ(DrillOf("perforation", site)->site, site);
}

}  // namespace
}  // namespace fairlead
