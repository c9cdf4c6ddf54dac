// SPDX-License-Identifier: Apache-2.0
#include "casebook/run/run_check.h"

#include <gtest/gtest.h>

#include "tests/casebook/run/typed.h"

namespace fairlead {
namespace {

struct Said {
  std::string text, refused, asks, amends;
};

// `line` typed at 11:00 after a journal.
Said Say(const std::vector<std::string>& journal, std::string_view line) {
  const LogRoom room{Clock("11:00"), Duration::Minutes(0), 1.0, 1.0};
  const State state = Fold(Typed(journal));
  const auto typed = ParseLogLine(line, room);
  if (!typed) return {"", Sentence(typed.error()), "", ""};
  const auto checked = CheckEvent(state, std::get<RunEvent>(typed->data), typed->at.value_or(room.now), room);
  if (!checked) return {"", Sentence(checked.error()), "", ""};
  Said said{LogText(checked->event), "", "", ""};
  if (!checked->asks.empty()) {
    said.asks = checked->asks.front().what;
    said.amends = checked->asks.front().amends;
  }
  return said;
}

const std::vector<std::string> kRunning = {"10:00 guide a in 7F", "10:01 wire a in soft", "10:02 wire a in polymer", "10:20 start AW"};

TEST(RunCheck, NumbersWiresAndCatheters) {
  EXPECT_EQ(Say({}, "wire a in polymer").text, "wire a in w1 polymer");
  EXPECT_EQ(Say(kRunning, "wire a").text, "wire a in w3");
  EXPECT_EQ(Say(kRunning, "mc r 150cm").text, "mc r in m1 150cm");
}

TEST(RunCheck, FillsATagOnlyWhereThereIsOneAnswer) {
  EXPECT_EQ(Say({"10:00 wire a in"}, "wire a out").text, "wire a out w1");
  EXPECT_EQ(Say(kRunning, "wire a out").refused, "more than one antegrade wire is in the body (the log line): say which: w1, w2");
  EXPECT_EQ(Say(kRunning, "space a true views").refused, "more than one antegrade wire is in the body (the log line): say which: w1, w2");
  EXPECT_EQ(Say(kRunning, "wire r out").refused, "no retrograde wire is in the body then (the log line): type its way in first, with its time");
  EXPECT_EQ(Say(kRunning, "wire a out w7").refused, "w7 is not in the body then (the log line): in the body: w1, w2");
  EXPECT_EQ(Say(kRunning, "wire a in w1").refused, "w1 is in the body already (the log line): leave \"in\" out to say more of it");
}

TEST(RunCheck, ADevicesNumberSaysItsSide) {
  EXPECT_EQ(Say(kRunning, "w2 out").text, "wire a out w2");
  EXPECT_EQ(Say(kRunning, "space w2 extraplaque views").text, "space a w2 extraplaque views");
  EXPECT_EQ(Say(kRunning, "knuckle w2").text, "knuckle a w2");
  EXPECT_EQ(Say(kRunning, "wire r w2 out").refused, "w2 is antegrade (the log line): leave the side out, or name the other device");
  EXPECT_EQ(Say(kRunning, "space r w2 true").refused, "w2 is antegrade (the log line): leave the side out, or name the other device");
  EXPECT_EQ(Say(kRunning, "w9 in").refused, "the side is missing after wire (the log line): type a for antegrade or r for retrograde");
}

TEST(RunCheck, AWayIsClosedOrOpenAgainByItsName) {
  EXPECT_EQ(Say(kRunning, "decide closed ADR").text, "decide closed ADR");
  EXPECT_EQ(Say(kRunning, "decide closed RW c1").text, "decide closed RW c1");
  EXPECT_EQ(Say(kRunning, "decide open ADR").text, "decide open ADR");
  EXPECT_EQ(Say(kRunning, "decide closed").refused, "which way is closed is not said (the log line): type decide closed with AW, ADR, RW or RDR, and a channel as c1");
  EXPECT_EQ(Say(kRunning, "decide go-on ADR").refused, "a way is named only where it is closed, or open again (the log line): type decide go-on alone, or decide closed ADR");
  // It is no stop-or-go decision: the three hours still ask for one.
  const RunState run = RunOfLines({"10:00 access femoral", "10:20 start AW", "10:30 decide closed ADR", "10:31 decide go-on"});
  ASSERT_EQ(run.decisions.size(), 1u);
  EXPECT_EQ(run.decisions[0].value, "go-on");
  ASSERT_EQ(run.rated_ways.size(), 1u);
}

TEST(RunCheck, AStepAgainstAFailureIsAnEntryAndNoDecision) {
  EXPECT_EQ(Say(kRunning, "decide try cap-hard extension").text, "decide try cap-hard extension");
  EXPECT_EQ(Say(kRunning, "decide tried f04 parallel-wire").text, "decide try outside-plaque parallel");
  EXPECT_EQ(Say(kRunning, "decide try cap-hard").refused, "what is tried is not said (the log line): type decide try with a reason and a step, as in decide try cap-hard extension");
  EXPECT_EQ(Say(kRunning, "decide try extension").refused, "what will not go is not said (the log line): type decide try with a reason and a step, as in decide try cap-hard extension");
  EXPECT_EQ(Say(kRunning, "decide go-on extension").refused, "a reason or a step is named only with what is tried (the log line): type decide go-on alone, or decide try cap-hard extension");
  EXPECT_EQ(Say(kRunning, "decide try cap-hard extension ADR").refused, "a way is begun, not tried (the log line): type start or switch with the way, or decide try with what will not go and the step");
  // The three hours still ask for a stop-or-go decision.
  const RunState run = RunOfLines({"10:00 access femoral", "10:20 start AW", "10:30 decide try cap-hard extension"});
  EXPECT_TRUE(run.decisions.empty());
  EXPECT_TRUE(run.rated_ways.empty());
}

TEST(RunCheck, RefusesTwoNumbersInTheWrongOrder) {
  EXPECT_EQ(Say({}, "bp 70/90").refused, "the diastolic is above the systolic (the log line): look at the source again and type what it says");
  EXPECT_EQ(Say({}, "eem a 3.6x3.1").refused, "the least diameter is above the greatest diameter (the log line): look at the source again and type what it says");
  EXPECT_EQ(Say({}, "bp 70/70").text, "bp 70/70");
}

TEST(RunCheck, AnInjectionSaysFromWhichSide) {
  EXPECT_EQ(Say(kRunning, "inject both").text, "inject both");
  EXPECT_EQ(Say(kRunning, "inject dual").text, "inject both");
  EXPECT_EQ(Say(kRunning, "inject guide").refused, "from which side is not said after inject (the log line): type a, r or both");
}

TEST(RunCheck, RefusesAStopBeforeItsStart) {
  EXPECT_EQ(Say(kRunning, "stopped limit").text, "stopped limit");
  EXPECT_EQ(Say(kRunning, "stopped @10:10").refused, "no attempt was running at 10:10 (the log line): type start with the strategy and its time first");
  EXPECT_EQ(Say({}, "switch ADR").refused, "no attempt was running at 11:00 (the log line): type start ADR");
}

TEST(RunCheck, RefusesAPhaseOfAnotherStrategy) {
  EXPECT_EQ(Say(kRunning, "phase tracking").refused, "\"tracking\" is no phase of AW (the log line): its phases: cap, body, lumen");
  EXPECT_EQ(Say(kRunning, "phase body").text, "phase body");
}

TEST(RunCheck, RefusesWhatIsStillToCome) {
  EXPECT_EQ(Say({}, "act 285 @2031-03-04T11:30:00Z").refused, "11:30 is still to come (the log line): type when it happened");
}

TEST(RunCheck, AsksAboutATotalThatGoesDown) {
  const Said said = Say({"10:00 contrast =208"}, "contrast =180");
  EXPECT_EQ(said.asks, "the contrast total was 208 mL at 10:00 and cannot fall");
  EXPECT_EQ(said.amends, "E1");
  EXPECT_EQ(Say({"10:00 contrast =208"}, "contrast =208").asks, "");
  EXPECT_EQ(Say({"10:00 ak 2.0"}, "ak 1.9").asks, "the console said more at 10:00");
  EXPECT_EQ(Say({"10:00 ak 2.0"}, "ak 1.9Gy new").asks, "");
  EXPECT_EQ(Say({"10:00 ak 2.0"}, "ak 1.995").asks, "");
}

TEST(RunCheck, AsksAboutTheSameDoseWithinTwoMinutes) {
  EXPECT_EQ(Say({"10:59 hep 3000"}, "hep 3000").asks, "the same dose stands at 10:59 by AB");
  EXPECT_EQ(Say({"10:59 hep 3000"}, "hep 2000").asks, "");
  EXPECT_EQ(Say({"10:57 hep 3000"}, "hep 3000").asks, "");
}

TEST(RunCheck, AnAmendmentIsNotHeldAgainstTheEntryItReplaces) {
  const LogRoom room{Clock("11:00"), Duration::Minutes(0), 1.0, 1.0};
  const State state = Fold(Typed({"10:00 contrast =280"}));
  const RunEvent right{Verb::kContrast, RunSide::kNone, {{RunField::kTotal, 208, ""}}, ""};
  EXPECT_EQ(CheckEvent(state, right, Clock("10:00"), room)->asks.size(), 1u);
  EXPECT_TRUE(CheckEvent(state, right, Clock("10:00"), room, "E1")->asks.empty());
}

TEST(RunCheck, ListsTheTagsInTheBody) { EXPECT_EQ(TagsInBody(Fold(Typed(kRunning))), (std::vector<std::string>{"g1", "w1", "w2"})); }

}  // namespace
}  // namespace fairlead
