// SPDX-License-Identifier: Apache-2.0
// The four cases of two wires' spaces; practice, no source.
#include "reasoning/spaces/matrix.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

namespace fairlead {
namespace {

JoiningQuestion Question(const char* near_wire, const char* far_wire) {
  JoiningQuestion question;
  question.near_wire = *ParseSpace(near_wire);
  question.far_wire = *ParseSpace(far_wire);
  VesselSize vessel;
  vessel.eem_min.value = Length::Millimetres(3.1);
  vessel.eem_max.value = Length::Millimetres(3.6);
  vessel.calcium_arc = Angle::Degrees(0.0);
  question.vessel = vessel;
  return question;
}

bool Says(const std::vector<std::string>& sentences, std::string_view part) {
  return std::any_of(sentences.begin(), sentences.end(), [&](const std::string& one) { return one.find(part) != std::string::npos; });
}

TEST(Joining, WritesOutTheFourCases) {
  EXPECT_EQ(HowToJoin(Question("plaque", "plaque"))->title, "both wires in plaque");
  EXPECT_EQ(HowToJoin(Question("outside", "outside"))->title, "both wires outside plaque");
  EXPECT_EQ(HowToJoin(Question("plaque", "outside"))->title, "near wire in plaque, far wire outside");
  EXPECT_EQ(HowToJoin(Question("outside", "plaque"))->title, "near wire outside, far wire in plaque");
  EXPECT_EQ(HowToJoin(Question("lumen", "outside"))->which, WireCase::kNearInFarOut);
}

// Practice: the rule's "inside" is plaque or true lumen; which of the two a wire is in is said as it is known.
TEST(Joining, SaysTrueLumenWhereThatIsKnownAndInsideWhereItIsNot) {
  const auto lumen = HowToJoin(Question("lumen", "outside"));
  EXPECT_EQ(lumen->title, "near wire in the true lumen, far wire outside");
  EXPECT_TRUE(Says(lumen->cautions, "counts with plaque"));
  const auto either = HowToJoin(Question("lumen=0.45,plaque=0.5", "outside"));
  EXPECT_EQ(either->title, "near wire inside the media, far wire outside");
  EXPECT_TRUE(Says(either->cautions, "not told from plaque"));
  const auto both = HowToJoin(Question("lumen", "lumen"));
  EXPECT_EQ(both->title, "both wires in the true lumen");
  EXPECT_EQ(both->which, WireCase::kBothInPlaque);
  EXPECT_TRUE(Says(both->cautions, "no tissue has to be opened"));
  EXPECT_EQ(HowToJoin(Question("lumen", "plaque"))->title, "near wire in the true lumen, far wire in plaque");
}

TEST(Joining, ListsTheManoeuvresInTheTradesOrder) {
  const auto answer = HowToJoin(Question("plaque", "outside"));
  ASSERT_EQ(answer->manoeuvres.size(), 4U);
  EXPECT_TRUE(answer->manoeuvres[0].find("enlarged from inside") != std::string::npos);
  EXPECT_TRUE(answer->manoeuvres[2].find("near wire turned outside") != std::string::npos);
  EXPECT_EQ(HowToJoin(Question("outside", "plaque"))->manoeuvres.size(), 5U);
}

TEST(Joining, DoesNotRunOnASpaceBelowOddsOfEightInTen) {
  const auto answer = HowToJoin(Question("plaque=0.79", "outside"));
  EXPECT_EQ(answer->which, WireCase::kUnknown);
  EXPECT_EQ(answer->near_space, "unknown");
  EXPECT_TRUE(answer->balloon.sizes.empty());
  EXPECT_EQ(HowToJoin(Question("plaque=0.8", "outside"))->which, WireCase::kNearInFarOut);
}

TEST(Joining, ContradictingSignsAreUnknown) {
  JoiningQuestion question = Question("plaque", "plaque");
  question.signs_disagree = true;
  const auto answer = HowToJoin(question);
  EXPECT_EQ(answer->which, WireCase::kUnknown);
  EXPECT_TRUE(Says(answer->cautions, "contradict"));
}

TEST(Joining, WithoutASharedSectionThereIsNoBalloon) {
  JoiningQuestion question = Question("plaque", "outside");
  question.overlap = Length();
  const auto answer = HowToJoin(question);
  EXPECT_EQ(answer->title, "the wires share no cross-section");
  EXPECT_TRUE(answer->balloon.sizes.empty());
  EXPECT_EQ(answer->avoid, "a balloon at a place that was not seen");
}

TEST(Joining, AShortOverlapIsACaution) {
  JoiningQuestion question = Question("plaque", "outside");
  question.overlap = Length::Millimetres(6.0);
  EXPECT_TRUE(Says(HowToJoin(question)->cautions, "6.0 mm; the trade wants 10 mm"));
  question.overlap = Length::Millimetres(10.0);
  EXPECT_FALSE(Says(HowToJoin(question)->cautions, "overlap"));
}

TEST(Joining, SaysWhenThePlaceOrTheFamilyIsChanged) {
  JoiningQuestion question = Question("plaque", "outside");
  question.balloon_cycles = 2;
  EXPECT_TRUE(Says(HowToJoin(question)->cautions, "Two balloon cycles"));
  question.balloon_cycles = 1;
  question.minutes = Duration::Minutes(30.0);
  EXPECT_TRUE(Says(HowToJoin(question)->cautions, "30 minutes"));
  EXPECT_FALSE(Says(HowToJoin(question)->cautions, "Two balloon cycles"));
}

TEST(Joining, WithoutTheVesselsSizeItStillSaysWhatTheSpacesMean) {
  JoiningQuestion question = Question("plaque", "outside");
  question.vessel.reset();
  const auto answer = HowToJoin(question);
  EXPECT_EQ(answer->manoeuvres.size(), 4U);
  EXPECT_TRUE(Says(answer->cautions, "was not given"));
}

TEST(Joining, RefusesNumbersThatCannotBe) {
  JoiningQuestion question = Question("plaque", "outside");
  question.overlap = Length::Millimetres(-1.0);
  EXPECT_EQ(HowToJoin(question).error().what, "a length is not within 0 to 500 mm");
  question = Question("plaque", "outside");
  question.balloon_cycles = -1;
  EXPECT_FALSE(HowToJoin(question).ok());
  question = Question("plaque", "outside");
  question.near_wire.outside = 0.5;
  EXPECT_FALSE(HowToJoin(question).ok());
}

// It shows what the rule allows and never orders: no sentence addresses the operator.
TEST(Joining, NeverCommands) {
  for (const char* near_wire : {"plaque", "outside", "unknown"}) {
    for (const char* far_wire : {"plaque", "outside", "unknown"}) {
      const auto answer = HowToJoin(Question(near_wire, far_wire));
      for (const std::string& line : answer->manoeuvres) {
        for (const char* order : {"must", "should", "use ", "inflate the", "advance the"}) {
          EXPECT_EQ(line.find(order), std::string::npos) << line;
        }
      }
    }
  }
}

}  // namespace
}  // namespace fairlead
