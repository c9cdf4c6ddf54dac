// SPDX-License-Identifier: Apache-2.0
#include "front/demo/demo.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>
#include <stop_token>
#include <variant>

#include "casebook/derive.h"
#include "casebook/fold.h"
#include "geometry/curve.h"
#include "geometry/view.h"
#include "imaging/pullback/invented_vessel.h"

namespace fairlead {
namespace {

const FactStated* Last(const DemoCase& of, std::string_view fact, std::string_view channel = "") {
  const FactStated* last = nullptr;
  for (const IncomingEntry& each : of.entries) {
    const auto* stated = std::get_if<FactStated>(&each.entry.data);
    if (stated != nullptr && stated->key.name == fact && stated->key.of == channel) last = stated;
  }
  return last;
}

double NumberOf(const DemoCase& of, std::string_view fact) {
  const FactStated* stated = Last(of, fact);
  return stated == nullptr ? -1.0 : std::get<Number>(stated->belief).value;
}

TEST(Demo, HasFourInventedCasesWhoseEntriesAreRead) {
  const auto cases = DemoPractice();
  ASSERT_TRUE(cases.ok()) << Sentence(cases.error());
  ASSERT_EQ(cases->size(), 4u);
  std::set<std::string> ids;
  for (const DemoCase& each : *cases) {
    EXPECT_TRUE(IsUlid(each.id)) << each.id;
    ASSERT_FALSE(each.entries.empty());
    const auto* opened = std::get_if<CaseOpened>(&each.entries.front().entry.data);
    ASSERT_NE(opened, nullptr);
    EXPECT_TRUE(opened->invented);
    for (const IncomingEntry& entry : each.entries) {
      EXPECT_TRUE(ids.insert(entry.entry.id).second) << "twice: " << entry.entry.id;
      const auto* note = std::get_if<NoteWritten>(&entry.entry.data);
      if (note != nullptr) {
        EXPECT_EQ(note->text.substr(0, 14), "Invented case.");
      }
    }
    if (&each == &cases->back()) {
      EXPECT_TRUE(each.runs.empty());  // it is there for its run in the lab
      continue;
    }
    EXPECT_GE(each.runs.size(), 3u);
    EXPECT_LE(each.runs.size(), 5u);
    EXPECT_GE(AngleBetweenBeams(each.runs[0].plan.view, each.runs[1].plan.view).degrees(), 45.0);
  }
}

TEST(Demo, TellsFourDifferentStories) {
  const auto cases = DemoPractice().value();
  // The first waits for its length, and its channel is on the same side.
  EXPECT_EQ(Last(cases[0], "length_angio_mm"), nullptr);
  EXPECT_EQ(std::get<GradeOdds>(Last(cases[0], "collateral_channel", "c1")->belief).odds.front().first, "ipsilateral");
  // The second had a first session that was an investment.
  EXPECT_EQ(NumberOf(cases[1], "previous_failed_attempts"), 1.0);
  EXPECT_EQ(std::get<FlagOdds>(Last(cases[1], "investment_last_attempt")->belief).yes, 1.0);
  EXPECT_EQ(Last(cases[1], "rentrop"), nullptr);
  // The fourth is a whole run in the lab.
  const auto typed = std::count_if(cases[3].entries.begin(), cases[3].entries.end(),
                                   [](const IncomingEntry& each) { return std::holds_alternative<RunEvent>(each.entry.data); });
  EXPECT_GE(typed, 80);
  // The third is short, tapered and done.
  EXPECT_LT(NumberOf(cases[2], "length_angio_mm"), 20.0);
  EXPECT_LT(NumberOf(cases[2], "residual_stenosis_pct"), 30.0);
}

TEST(Demo, StatesOfItsRunsWhatTheyShow) {
  const auto cases = DemoPractice().value();
  for (const std::size_t i : {1u, 2u}) {
    const Scene scene = MakeScene(cases[i].runs[0].scene, cases[i].runs[0].seed).value();
    const double truth = LengthOf(OcclusionCourse(scene)).millimetres();
    const Number stated = std::get<Number>(Last(cases[i], "length_angio_mm")->belief);
    EXPECT_NEAR(stated.value, truth, 2.0 * stated.sd.value_or(2.0)) << i;
  }
  // Two catheters where there is a donor on the other side or a graft, one where the channel is on the same side.
  EXPECT_EQ(cases[0].runs[0].plan.injections.size(), 1u);
  EXPECT_EQ(cases[1].runs[0].plan.injections.size(), 2u);
  EXPECT_EQ(cases[2].runs[0].plan.injections.size(), 2u);
}

// The pullback of the run shows what its log says of it: the vessel 3.1 x 3.6 mm, the far wire outside the plaque.
TEST(Demo, ThePullbackShowsWhatItsLogSays) {
  const auto cases = DemoPractice().value();
  for (std::size_t i = 0; i < 3; ++i) EXPECT_FALSE(cases[i].pullback.has_value());
  ASSERT_TRUE(cases[3].pullback.has_value());
  const PullbackOrder& order = *cases[3].pullback;
  const auto vessel = MakeVessel(order);
  ASSERT_TRUE(vessel.ok());
  const double middle = 0.5 * order.frames * order.frame_time.seconds() * order.speed_mm_s;
  const SectionTruth truth = SectionAt(*vessel, middle, 0.0);
  double least = 0.0, most = 0.0;
  for (const IncomingEntry& each : cases[3].entries) {
    const auto* event = std::get_if<RunEvent>(&each.entry.data);
    if (event == nullptr || event->verb != Verb::kEem) continue;
    least = NumberOf(*event, RunField::kEemMin).value_or(0.0), most = NumberOf(*event, RunField::kEemMax).value_or(0.0);
  }
  EXPECT_NEAR(truth.vessel_min_mm, least, 0.1);
  EXPECT_NEAR(truth.vessel_max_mm, most, 0.1);
  EXPECT_TRUE(truth.inside);
  ASSERT_TRUE(truth.far_wire.has_value());
  EXPECT_FALSE(truth.far_wire->in_plaque);
}

TEST(Demo, HoldsNoContradictionThatTheProgramKnows) {
  const auto cases = DemoPractice().value();
  for (const DemoCase& each : cases) {
    Facts facts;
    for (const IncomingEntry& entry : each.entries) {
      if (const auto* stated = std::get_if<FactStated>(&entry.entry.data)) facts[stated->key] = stated->belief;
    }
    for (const auto& remark : Contradictions(WithDerived(facts))) ADD_FAILURE() << each.id << ": " << remark.text;
  }
}

TEST(Demo, OpensEveryCaseBeforeAnyRunAndStopsWhenTold) {
  std::vector<std::string> said;
  std::stop_source stop;
  const Status done = FillDemo({[&](const std::string& id, std::span<const IncomingEntry> entries) -> Status {
                                  said.push_back("case " + id);
                                  EXPECT_FALSE(entries.empty());
                                  return Done{};
                                },
                                [&](const std::string& id, std::span<const std::uint8_t> file) -> Status {
                                  said.push_back("run " + id);
                                  EXPECT_EQ(file[128], 'D');
                                  if (said.size() == 6) stop.request_stop();
                                  return Done{};
                                },
                                [&](std::span<const IncomingEntry> entries) -> Status {
                                  EXPECT_EQ(entries.size(), 1U);  // the lab is told before any case is opened
                                  EXPECT_TRUE(said.empty());
                                  return Done{};
                                }},
                               stop.get_token());
  EXPECT_TRUE(done.ok());
  ASSERT_EQ(said.size(), 6u);
  for (std::size_t i = 0; i < 4; ++i) EXPECT_EQ(said[i].substr(0, 4), "case");
  EXPECT_NE(said[4], said[5]);  // another case's run
}

TEST(Demo, PassesOnWhatADoorRefuses) {
  const Status refused = FillDemo({[](const std::string&, std::span<const IncomingEntry>) -> Status { return Error{"the disk is full", "", ""}; },
                                   [](const std::string&, std::span<const std::uint8_t>) -> Status { return Done{}; },
                                   [](std::span<const IncomingEntry>) -> Status { return Done{}; }},
                                  {});
  ASSERT_FALSE(refused.ok());
  EXPECT_EQ(refused.error().what, "the disk is full");
}

}  // namespace
}  // namespace fairlead
