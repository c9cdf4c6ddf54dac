// SPDX-License-Identifier: Apache-2.0
// Work that nobody waits for, and what the screens said at the steps of a run, which is such work. Expected values are the
// promises of the headers.
#include "front/server/afterwards.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <future>
#include <vector>

#include "front/server/log_entry.h"
#include "tests/front/server/one_practice.h"

namespace fairlead {
namespace {

TEST(Afterwards, DoesEverythingInTheOrderInWhichItWasPut) {
  std::vector<int> done;
  Afterwards later;
  for (int i = 0; i < 50; ++i) later.Put([&done, i]() -> Status { return done.push_back(i), Done{}; });
  later.Settle();
  ASSERT_EQ(done.size(), 50u);
  for (int i = 0; i < 50; ++i) EXPECT_EQ(done[static_cast<std::size_t>(i)], i);
}

TEST(Afterwards, NobodyWaitsForIt) {
  std::promise<void> go;
  bool done = false;
  Afterwards later;
  later.Put([&]() -> Status { return go.get_future().wait(), done = true, Done{}; });
  EXPECT_FALSE(done);  // Put came back, and the work has not been let go yet
  go.set_value();
  later.Settle();
  EXPECT_TRUE(done);
}

TEST(Afterwards, AFullDiskIsTriedAgainInItsPlaceAndAWrongInputIsLetGo) {
  std::vector<std::string> done;
  int outside = 0;
  {
    Afterwards later;
    later.Put([&]() -> Status { return done.emplace_back("wrong"), Error{"wrong", "here", "nothing", Fault::kInput}; });
    later.Put([&]() -> Status {
      if (++outside < 2) return Error{"the disk is full", "here", "make room", Fault::kOutside};
      return done.emplace_back("written"), Done{};
    });
    later.Put([&]() -> Status { return done.emplace_back("next"), Done{}; });
    later.Settle();
    later.Finish();  // does not wait two seconds: all that is left is tried at once
  }
  EXPECT_EQ(done, (std::vector<std::string>{"wrong", "written", "next"}));
  EXPECT_EQ(outside, 2);
}

TEST(Afterwards, FinishTriesADiskThatStaysFullNoMoreThanOnceAndEnds) {
  int tries = 0;
  Afterwards later;
  later.Put([&]() -> Status { return ++tries, Error{"the disk is full", "here", "make room", Fault::kOutside}; });
  later.Settle();
  later.Finish();
  EXPECT_EQ(tries, 2);
  later.Put([&]() -> Status { return ++tries, Done{}; });  // taken no longer
  later.Finish();
  EXPECT_EQ(tries, 2);
}

class ShownAfterwards : public OnePractice {
 protected:
  std::vector<IncomingEntry> Lines(const std::vector<std::string>& lines) {
    std::vector<IncomingEntry> all;
    for (const std::string& line : lines) {
      LogRequest request;
      request.text = line, request.by = "AB", request.device = "test";
      auto plan = PlanLog(*practice_->StateOf(case_, std::nullopt), request, {Now(), Duration::Minutes(0), 1.0, 1.0});
      if (plan.ok()) all.push_back(std::move(plan->entries.front()));
      else ADD_FAILURE() << Sentence(plan.error());
    }
    return all;
  }
  std::vector<Shown> AllShown() {
    std::vector<Shown> all;
    const State state = *practice_->StateOf(case_, std::nullopt);
    for (const Entry& entry : state.entries)
      if (const auto* shown = std::get_if<Shown>(&entry.data)) all.push_back(*shown);
    return all;
  }
  void Reopen(bool keep_missed) {
    practice_.reset();
    PracticeOptions options;
    options.keep_missed = keep_missed;
    auto opened = Practice::Open(folder_, std::move(options));
    ASSERT_TRUE(opened.ok()) << Sentence(opened.error());
    practice_ = std::move(*opened);
  }
};

TEST_F(ShownAfterwards, EachStepOfABatchKeepsTheBoardOfItsOwnMoment) {
  ASSERT_TRUE(practice_->Append(case_, Lines({"access femoral", "guide a in", "wire a in", "start AW"})).ok());
  ASSERT_TRUE(practice_->Append(case_, Lines({"contrast +40", "switch ADR outside-plaque", "contrast +30", "stopped limit"})).ok());
  practice_->Settle();
  const auto shown = AllShown();
  ASSERT_EQ(shown.size(), 3u);
  EXPECT_EQ(shown[0].at_step, "start");
  EXPECT_NE(shown[0].text.find("contrast 0 "), std::string::npos) << shown[0].text;
  EXPECT_NE(shown[0].text.find("attempt AW"), std::string::npos) << shown[0].text;
  EXPECT_EQ(shown[1].at_step, "switch");
  EXPECT_NE(shown[1].text.find("contrast 40 "), std::string::npos) << shown[1].text;
  EXPECT_EQ(shown[2].at_step, "stop");
  EXPECT_NE(shown[2].text.find("contrast 70 "), std::string::npos) << shown[2].text;
}

TEST_F(ShownAfterwards, WhatACrashLeftOutIsWrittenOnceWhenTheCaseIsReadAgain) {
  practice_->Finish();  // as after a crash: the entry is on the disk, what belongs to it is not
  ASSERT_TRUE(practice_->Append(case_, Lines({"access femoral", "start AW"})).ok());
  EXPECT_TRUE(AllShown().empty());
  Reopen(false);
  practice_->Settle();
  EXPECT_TRUE(AllShown().empty()) << "a command that only reads writes nothing";
  for (int again = 0; again < 3; ++again) {
    Reopen(true);
    ASSERT_TRUE(practice_->BoardSeqOf(case_).ok());
    practice_->Settle();
    ASSERT_EQ(AllShown().size(), 1u);
    EXPECT_EQ(AllShown().front().at_step, "start");
  }
}

}  // namespace
}  // namespace fairlead
