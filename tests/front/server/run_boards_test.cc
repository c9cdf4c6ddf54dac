// SPDX-License-Identifier: Apache-2.0
// The board of a run is made once for all screens, and never older than the last entry or the last rule that woke.
#include "front/server/run_boards.h"

#include <gtest/gtest.h>

#include <filesystem>

#include "front/server/log_entry.h"
#include "front/server/run_json.h"
#include "tests/front/server/one_practice.h"

namespace fairlead {
namespace {

class Boards : public OnePractice {
 protected:
  void Type(const std::string& text, Instant now) {
    const auto receipts = practice_->AppendPlanned(case_, [&](const State& state) -> Result<std::vector<IncomingEntry>> {
      LogRequest request;
      request.text = text, request.by = "AB", request.device = "test", request.at = now;
      auto plan = PlanLog(state, request, {now, Duration::Minutes(0), 1.0, 1.0});
      if (!plan.ok()) return plan.error();
      return std::move(plan->entries);
    });
    ASSERT_TRUE(receipts.ok()) << Sentence(receipts.error());
  }
  std::string Fresh(Instant now) { return RunPanelOf(*practice_->StateOf(case_, std::nullopt), **practice_->Lab(), now)->json; }

};

TEST_F(Boards, OneIsMadeForAllWhoAskWithinASecond) {
  const Instant now = Now();
  for (const char* text : {"access femoral", "wire a in", "hep 8000"}) Type(text, now);
  RunBoards boards(*practice_);
  const auto first = *boards.At(case_, now);
  EXPECT_EQ(*first, Fresh(now));
  EXPECT_EQ(*boards.At(case_, now + Duration::Seconds(0.9)), first) << "the same bytes, not made again";
  const Instant later = now + Duration::Seconds(1.1);
  EXPECT_EQ(**boards.At(case_, later), Fresh(later));
  const Instant earlier = now + Duration::Seconds(-5);
  EXPECT_EQ(**boards.At(case_, earlier), Fresh(earlier)) << "a clock that was set back";
}

TEST_F(Boards, AnEntryAndNewKnowledgeCountAtOnce) {
  const Instant now = Now();
  Type("access femoral", now);
  RunBoards boards(*practice_);
  const auto before = *boards.At(case_, now);
  Type("contrast =120", now);
  EXPECT_EQ(**boards.At(case_, now), Fresh(now));
  EXPECT_NE(**boards.At(case_, now), *before);
  Entry told;
  told.id = NewUlid(now, RandomTail()), told.at = now, told.written = now, told.by = "AB", told.device = "test";
  told.data = KnowledgeWritten{.name = "limits", .owner = "lab", .version = "1", .text = R"({"minutes": 99})"};
  told.kind = KindName(told.data);
  const IncomingEntry incoming = MakeIncoming(told);
  ASSERT_TRUE(practice_->Append(std::string(kLabCase), {&incoming, 1}).ok());
  EXPECT_NE((*boards.At(case_, now))->find("\"limit\":99"), std::string::npos);
}

TEST_F(Boards, WhatTheySaidAtAStepMakesNoneAnew) {
  const Instant now = Now();
  Type("access femoral", now);
  Type("start AW", now);
  RunBoards boards(*practice_);
  const auto board = *boards.At(case_, now);
  practice_->Settle();
  const auto appended = *practice_->After(case_, 0);
  ASSERT_TRUE(appended.back().said) << "what the board said is kept beside the step";
  EXPECT_EQ(*boards.At(case_, now), board) << "the same bytes, for all screens";
}

TEST_F(Boards, ACaseIsOpenInItsRoomFromWhatAPersonWroteUntilTheVisitEnds) {
  const Instant now = Now(), then = now + Duration::Minutes(-3 * 24 * 60);
  const auto worked = [&] {
    const std::string json = *practice_->CasesJson();
    const auto at = json.find("\"worked_at\":") + 12;
    return json.substr(at, json.find_first_of(",}", at) - at);
  };
  for (const char* text : {"access femoral", "wire a in"}) Type(text, then);
  const std::string before = worked();
  EXPECT_NE(before.find(ToIso(then).substr(0, 10)), std::string::npos) << before;
  fairlead::Run run;
  run.hash = std::string(64, 'a'), run.frames = 1, run.rows = 4, run.columns = 4, run.modality = "XA";
  ASSERT_TRUE(practice_->AddImage(case_, run, "test").ok());
  EXPECT_EQ(worked(), before) << "a run that joins an old case opens nothing in its room";
  Type("end", now);
  EXPECT_EQ(worked(), "null");
  Type("followup visit well 30d", now);
  EXPECT_EQ(worked(), "null") << "what is said after the visit opens it no more";
}

TEST_F(Boards, NoneIsGivenPastTheInstantAtWhichItChangesByTimeAlone) {
  const Instant now = Now();
  for (const char* text : {"access femoral", "wire a in", "hep 8000", "act 360", "bp 120/70"}) Type(text, now);
  const auto wakes = [&](Instant at) { return RunPanelOf(*practice_->StateOf(case_, std::nullopt), **practice_->Lab(), at)->holds_until; };
  // 30 min after the ACT its rule speaks: just before and at that instant, half a second apart.
  const Instant speaks = now + Duration::Minutes(30);
  const Instant just_before = speaks + Duration::Seconds(-0.5);
  ASSERT_EQ(wakes(just_before), std::optional(speaks));
  RunBoards boards(*practice_);
  const auto quiet = *boards.At(case_, just_before);
  EXPECT_EQ(**boards.At(case_, speaks), Fresh(speaks));
  EXPECT_NE(**boards.At(case_, speaks), *quiet);
}

TEST_F(Boards, EntriesSentReadyMadeMayNotContradictTheRun) {
  const Instant now = Now();
  const LogRoom room{now, Duration::Minutes(0), 1.0, 1.0};
  const auto ready = [&](EntryData data) {
    Entry entry;
    entry.id = NewUlid(now, RandomTail()), entry.at = now, entry.written = now, entry.by = "AB", entry.device = "test";
    entry.kind = KindName(data);
    entry.data = std::move(data);
    return MakeIncoming(std::move(entry));
  };
  const State state = *practice_->StateOf(case_, std::nullopt);
  const RunEvent out{Verb::kWire, RunSide::kAntegrade, {{RunField::kMove, 0, "out"}, {RunField::kTag, 0, "w1"}}, ""};
  const std::vector<IncomingEntry> nothing_in{ready(out)};
  const auto refused = HoldAgainst(state, nothing_in, room);
  ASSERT_FALSE(refused.ok());
  EXPECT_NE(Sentence(refused.error()).find("entries[0]"), std::string::npos) << Sentence(refused.error());
  // With its way in before it, in the same request, it holds.
  const RunEvent in{Verb::kWire, RunSide::kAntegrade, {{RunField::kMove, 0, "in"}, {RunField::kTag, 0, "w1"}}, ""};
  const std::vector<IncomingEntry> both{ready(in), ready(out)};
  const auto held = HoldAgainst(state, both, room);
  EXPECT_TRUE(held.ok()) << Sentence(held.error());
}

TEST_F(Boards, MinutesBackCountFromTheMomentThatTheWriterIsAt) {
  const Instant now = Now();
  Type("access femoral", now + Duration::Minutes(-60));
  LogRequest request;
  request.text = "act 300 @-5m", request.by = "AB", request.device = "test", request.at = now + Duration::Minutes(-30);
  const auto plan = PlanLog(*practice_->StateOf(case_, std::nullopt), request, {now, Duration::Minutes(0), 1.0, 1.0});
  ASSERT_TRUE(plan.ok()) << Sentence(plan.error());
  EXPECT_EQ(plan->entries.front().entry.at, now + Duration::Minutes(-35));
}

}  // namespace
}  // namespace fairlead
