// SPDX-License-Identifier: Apache-2.0
// What a journal of the run says, on short invented journals. The fourth of the edge cases, two strategies both open, and
// those of totals are named where they stand.
#include "casebook/run/run_state.h"

#include <gtest/gtest.h>

#include "tests/casebook/run/typed.h"

namespace fairlead {
namespace {

std::string Tags(const RunState& run) {
  std::string list;
  for (const RunDevice* device : InBody(run)) list += (list.empty() ? "" : " ") + (device->tag.empty() ? std::string(DeviceWord(device->kind)) : device->tag);
  return list;
}

TEST(RunState, AnAttemptBeginsSwitchesAndStops) {
  const RunState run = RunOfLines({"10:00 start AW", "10:20 switch ADR outside-plaque", "10:50 stopped limit"});
  ASSERT_EQ(run.attempts.size(), 2u);
  EXPECT_EQ(run.attempts[0].ended, AttemptEnd::kSwitched);
  EXPECT_EQ(run.attempts[0].reason, "outside-plaque");
  EXPECT_EQ(run.attempts[0].end, Clock("10:20"));
  EXPECT_EQ(run.attempts[1].start, Clock("10:20"));
  EXPECT_EQ(run.attempts[1].ended, AttemptEnd::kStopped);
  EXPECT_EQ(ActiveAttempt(run), nullptr);
}

// Two strategies both open: the first ends where the second begins.
TEST(RunState, ExactlyOneAttemptIsActive) {
  const RunState run = RunOfLines({"10:00 start AW", "10:20 start RW c1 septal"});
  ASSERT_NE(ActiveAttempt(run), nullptr);
  EXPECT_EQ(ActiveAttempt(run)->strategy, Strategy::kRetrogradeWiring);
  EXPECT_EQ(ActiveAttempt(run)->channel_kind, "septal");
  EXPECT_EQ(run.attempts[0].end, Clock("10:20"));
}

TEST(RunState, AMilestoneRestartsThePhasesClock) {
  const RunState run = RunOfLines({"10:00 start RW c1 septal", "10:05 wire r in", "10:25 crossed collateral c1", "10:31 collateral c1 catheter"});
  const RunAttempt* active = ActiveAttempt(run);
  ASSERT_EQ(active->phases.size(), 3u);
  EXPECT_EQ(active->phases[0].phase, "channel");
  EXPECT_EQ(active->phases[1].phase, "catheter");
  EXPECT_EQ(active->phases[2].phase, "farcap");
  EXPECT_EQ(active->phases[2].start, Clock("10:31"));
  EXPECT_EQ(active->last_progress, Clock("10:31"));
}

TEST(RunState, OnlyTheProvenLumenEndsACrossing) {
  RunState run = RunOfLines({"10:00 start AW", "10:30 crossed lesion"});
  EXPECT_NE(ActiveAttempt(run), nullptr);
  EXPECT_FALSE(run.distal_proven);
  run = RunOfLines({"10:00 start AW", "10:30 crossed lesion", "10:33 distal proven views"});
  EXPECT_EQ(ActiveAttempt(run), nullptr);
  EXPECT_EQ(run.attempts[0].ended, AttemptEnd::kCrossed);
  EXPECT_EQ(run.distal_proven->value, "views");
}

TEST(RunState, KnowsWhatIsInTheBodyBySide) {
  const RunState run = RunOfLines({"10:00 access femoral right 7F", "10:01 guide a in 7F 90cm", "10:02 guide r in 7F 85cm", "10:05 wire a in soft 190cm",
                                   "10:06 mc a in 135cm", "10:10 wire a in polymer 0.8g", "10:12 wire a w1 out", "10:20 wire r in 190cm"});
  EXPECT_EQ(Tags(run), "sheath g1 w2 m1 g2 w3");
  EXPECT_EQ(NextTag(run, DeviceKind::kWire), "w4");
  EXPECT_EQ(FindInBody(run, DeviceKind::kWire, RunSide::kAntegrade, "")->wire_class, "polymer");
  EXPECT_TRUE(RetrogradeActive(RunOfLines({"10:00 mc r in"})));
}

TEST(RunState, AWiresPlaceAndItsProofBelongToThatWire) {
  const RunState run = RunOfLines({"10:00 wire a in", "10:01 wire a in", "10:05 space a w1 extraplaque ultrasound seg:7", "10:06 space a w2 true"});
  EXPECT_EQ(run.devices[0].place->space, "extraplaque");
  EXPECT_EQ(run.devices[0].place->proof, "ultrasound");
  EXPECT_EQ(run.devices[0].place->segment, "7");
  EXPECT_EQ(run.devices[1].place->space, "true");
  EXPECT_EQ(run.devices[1].place->proof, "");
}

TEST(RunState, ExternalisedAndAortaAreStatesOfTheRetrogradeWire) {
  RunState run = RunOfLines({"10:00 wire r in", "10:10 aorta w1"});
  EXPECT_TRUE(run.devices[0].in_aorta);
  run = RunOfLines({"10:00 wire r in", "10:10 aorta w1", "10:15 externalise w1 330cm snared"});
  EXPECT_FALSE(run.devices[0].in_aorta);
  EXPECT_TRUE(run.devices[0].externalised);
  EXPECT_EQ(run.devices[0].length_cm, 330);
}

// A total and an increment carry their own sign: nothing is mixed silently.
TEST(RunState, ContrastAddsAndIsSet) {
  const RunState run = RunOfLines({"10:00 contrast +40", "10:10 contrast +20 320mgI", "10:20 contrast =80", "10:30 contrast +5"});
  EXPECT_EQ(run.contrast.back().value, 85);
  EXPECT_EQ(run.iodine_mg_ml, 320);
  EXPECT_FALSE(run.contrast_fell);
  EXPECT_EQ(RunOfLines({"10:00 contrast =80", "10:10 contrast =70"}).contrast_fell->value, 80);
}

// The console starts again when a new examination opens: a sum is kept.
TEST(RunState, KermaIsSummedOverExaminations) {
  const RunState run = RunOfLines({"10:00 ak 1.2", "10:30 ak 2.0", "10:40 ak 0.3Gy new", "10:50 ak 0.5"});
  EXPECT_EQ(run.air_kerma.sums.back().value, 2.5);
  EXPECT_FALSE(run.air_kerma.fell);
  EXPECT_TRUE(RunOfLines({"10:00 ak 2.0", "10:30 ak 1.2"}).air_kerma.fell);
}

TEST(RunState, ALateEntryFallsInItsPlace) {
  const RunState run = RunOfLines({"10:00 start AW", "10:40 contrast +30", "10:20 switch ADR", "10:10 contrast =100"});
  EXPECT_EQ(run.attempts[0].end, Clock("10:20"));
  EXPECT_EQ(run.contrast.back().value, 130);
}

TEST(RunState, ASampleIsAwaitedUntilItsReading) {
  EXPECT_EQ(AwaitedSample(RunOfLines({"10:00 act sent"})), Clock("10:00"));
  EXPECT_FALSE(AwaitedSample(RunOfLines({"10:00 act sent", "10:00 act 285"})));
  EXPECT_EQ(AwaitedSample(RunOfLines({"09:30 act 285", "10:00 act sent"})), Clock("10:00"));
  EXPECT_TRUE(RunOfLines({"10:00 act high"}).acts[0].value.off_scale);
}

TEST(RunState, TroubleKeepsTheTechniqueAndTheDevicesOfItsMoment) {
  const RunState run = RunOfLines({"10:00 guide a in", "10:00 wire a in", "10:01 start AW", "10:20 trouble", "10:21 perforation II distal wire", "10:25 switch RDR", "10:40 perforation sealed"});
  ASSERT_EQ(run.troubles.size(), 1u);
  EXPECT_EQ(run.troubles[0].kind, "perforation");
  EXPECT_EQ(run.troubles[0].at, Clock("10:20"));
  EXPECT_EQ(run.troubles[0].active, Strategy::kAntegradeWiring);
  EXPECT_EQ(run.troubles[0].grade, "II");
  EXPECT_EQ(run.troubles[0].in_body, (std::vector<std::string>{"g1", "w1"}));
  EXPECT_EQ(run.troubles[0].over, Clock("10:40"));
}

TEST(RunState, ASecondVisitCarriesOverWhatTheFirstUsed) {
  const RunState run = RunOfLines({"10:00 access femoral", "10:10 contrast =200", "10:20 ak 3", "11:00 end", "11:05 result prepared", "12:00 access radial", "12:10 contrast +20"});
  ASSERT_EQ(run.sessions.size(), 2u);
  ASSERT_EQ(run.earlier.size(), 1u);
  EXPECT_EQ(run.earlier[0].contrast_ml, 200);
  EXPECT_EQ(run.contrast.back().value, 20);
  EXPECT_FALSE(Over(run));
}

TEST(RunState, TheEndTakesAllButTheSheathsOut) {
  const RunState run = RunOfLines({"10:00 access femoral", "10:01 guide a in", "10:02 wire a in", "10:03 start AW", "11:00 end"});
  EXPECT_EQ(Tags(run), "sheath");
  EXPECT_TRUE(Over(run));
  EXPECT_EQ(run.attempts[0].ended, AttemptEnd::kStopped);
}

TEST(RunState, TheListBeforeOpensNoVisit) {
  const RunState run = RunOfLines({"08:00 tick before consent done", "08:01 prior 120mL 3d", "08:02 lab 1.2mg/dL"});
  EXPECT_TRUE(run.sessions.empty());
  EXPECT_EQ(run.earlier[0].contrast_ml, 120);
  const RunState later = RunOfLines({"08:00 tick before consent done", "10:00 access femoral"});
  EXPECT_TRUE(later.ticks.contains({"before", "consent"}));
}

}  // namespace
}  // namespace fairlead
