// SPDX-License-Identifier: Apache-2.0
// Typing into the log from several places, and cautions that come by time alone.
#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <filesystem>
#include <set>
#include <thread>

#include "casebook/run/run_state.h"
#include "front/server/events.h"
#include "front/server/log_entry.h"
#include "front/server/wakes.h"
#include "tests/front/server/one_practice.h"

namespace fairlead {
namespace {

class Typing : public OnePractice {
 protected:
  // True if it was written; false if it was asked about.
  bool Type(const std::string& text, const std::string& by = "AB", Instant now = Now(), bool confirm = false) {
    bool asked = false;
    const auto receipts = practice_->AppendPlanned(case_, [&](const State& state) -> Result<std::vector<IncomingEntry>> {
      const LogRoom room{now, Duration::Minutes(0), 1.0, 1.0};
      LogRequest request;
      request.text = text, request.by = by, request.device = "test";
      auto plan = PlanLog(state, request, room);
      if (!plan.ok()) return plan.error();
      asked = !plan->asks.empty() && !confirm;
      return asked ? std::vector<IncomingEntry>{} : std::move(plan->entries);
    });
    if (!receipts.ok()) ADD_FAILURE() << text << ": " << Sentence(receipts.error());
    return receipts.ok() && !asked;
  }
  State Standing() { return *practice_->StateOf(case_, std::nullopt); }

};

TEST_F(Typing, TwoRecordersAtOnceKeepBothEntriesAndNumberThemOneAfterTheOther) {
  constexpr int kEach = 12;
  const auto type = [this](const char* by) {
    for (int i = 0; i < kEach; ++i) Type("wire a in", by);
  };
  {
    std::jthread first([&] { type("AB"); }), second([&] { type("CD"); });
  }
  const RunState run = RunOf(Standing());
  std::set<std::string> tags;
  for (const RunDevice& device : run.devices) tags.insert(device.tag);
  EXPECT_EQ(run.devices.size(), 2u * kEach);
  EXPECT_EQ(tags.size(), 2u * kEach) << "two wires of one number";
}

TEST_F(Typing, TheSameDoseByTwoRecordersIsWrittenOnceAndAskedAboutOnce) {
  std::atomic<int> written{0};
  {
    std::jthread first([&] { written += Type("hep 8000", "AB") ? 1 : 0; });
    std::jthread second([&] { written += Type("hep 8000", "CD") ? 1 : 0; });
  }
  EXPECT_EQ(written, 1);
  EXPECT_EQ(RunOf(Standing()).heparin.size(), 1u);
  EXPECT_TRUE(Type("hep 8000", "CD", Now(), true));  // given twice indeed
  EXPECT_EQ(RunOf(Standing()).heparin.size(), 2u);
}

TEST_F(Typing, KeepsWhatTheBoardSaidAtEachStep) {
  for (const char* text : {"access femoral", "guide a in", "wire a in", "start AW", "contrast +40", "switch ADR outside-plaque", "end"}) Type(text);
  practice_->Settle();
  std::vector<std::string> steps;
  std::string at_switch;
  for (const Entry& entry : Standing().entries)
    if (const auto* shown = std::get_if<Shown>(&entry.data)) {
      steps.push_back(shown->at_step);
      if (shown->at_step == "switch") at_switch = shown->text;
    }
  EXPECT_EQ(steps, (std::vector<std::string>{"start", "switch", "gate"}));
  EXPECT_NE(at_switch.find("attempt ADR"), std::string::npos) << at_switch;
  EXPECT_NE(at_switch.find("contrast 40 mL"), std::string::npos) << at_switch;
  EXPECT_NE(at_switch.find("S-17 caution"), std::string::npos) << at_switch;
  EXPECT_NE(at_switch.find("gate before, open: "), std::string::npos) << at_switch;
}

TEST_F(Typing, UndoPassesOverWhatTheProgramWrote) {
  Type("access femoral");
  Type("start AW");
  EXPECT_TRUE(Type("undo"));
  EXPECT_TRUE(RunOf(Standing()).attempts.empty());
}

TEST_F(Typing, RefusesAnItemOrARuleThatIsNotKnown) {
  const auto refusal = [this](const std::string& text) {
    LogRequest request;
    request.text = text, request.by = "AB", request.device = "test";
    const auto plan = PlanLog(Standing(), request, {Now(), Duration::Minutes(0), 1.0, 1.0});
    return plan.ok() ? std::string("taken") : Sentence(plan.error());
  };
  EXPECT_EQ(refusal("tick before consnt done"), "\"consnt\" is no item of before (the log line): did you mean \"consent\"?");
  EXPECT_EQ(refusal("tick before consent done"), "taken");
  EXPECT_EQ(refusal("tick drill perforation-balloon done"), "taken");
  EXPECT_EQ(refusal("tick drill covered-stents done"), "taken");
  EXPECT_EQ(refusal("accept S-99 ; why"), "S-99 is no rule (the log line): the rules are S-01 to S-56");
  EXPECT_EQ(refusal("accept S-14"), "why S-14 is accepted is not said (the log line): type accept S-14 ; and why");
  EXPECT_EQ(refusal("accept S-14 ; near the end"), "taken");
}

class HeldStream : public Stream {
 public:
  bool Send(std::shared_ptr<const std::string> bytes) override {
    said += *bytes;
    return true;
  }
  void End() override {}
  std::string said;
};

TEST_F(Typing, ACautionThatComesByTimeAloneIsToldAtItsInstant) {
  const Instant now = Now();
  for (const char* text : {"access femoral", "wire a in", "hep 8000", "act 360", "bp 120/70"}) Type(text, "AB", now);
  const auto wake = NextWake(Standing(), **practice_->Lab(), now);
  ASSERT_TRUE(wake);
  Events events;
  const auto stream = std::make_shared<HeldStream>();
  events.Follow({case_}, stream, {});
  Wakes wakes(*practice_, events);
  wakes.Look(now);
  EXPECT_EQ(stream->said, "");
  // Every minute for an hour: told exactly once at each instant at which the list changes, the first of them known.
  const Instant before = *wake + Duration::Seconds(-1);
  wakes.Look(before);
  EXPECT_EQ(stream->said, "");
  wakes.Look(*wake);
  EXPECT_NE(stream->said.find("event: time\ndata: {\"case\":\"" + case_ + "\",\"at\":\"" + ToIso(*wake) + "\""), std::string::npos) << stream->said;
  const std::string once = stream->said;
  wakes.Look(*wake);
  EXPECT_EQ(stream->said, once);
  // 30 min after the ACT its own caution is told.
  for (int minute = 1; minute <= 31; ++minute) wakes.Look(now + Duration::Minutes(minute));
  EXPECT_NE(stream->said.find(ToIso(now + Duration::Minutes(30))), std::string::npos) << stream->said;
}

TEST_F(Typing, AnEntryMovesTheInstant) {
  const Instant now = Now();
  for (const char* text : {"access femoral", "wire a in", "hep 8000", "act 360"}) Type(text, "AB", now);
  Events events;
  const auto stream = std::make_shared<HeldStream>();
  events.Follow({case_}, stream, {});
  Wakes wakes(*practice_, events);
  wakes.Look(now);
  Type("end", "AB", now);
  wakes.Wrote(case_);
  wakes.Look(now + Duration::Minutes(45));
  EXPECT_EQ(stream->said, "");  // a session that is over waits for nothing
}

}  // namespace
}  // namespace fairlead
