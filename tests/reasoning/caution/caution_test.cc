// SPDX-License-Identifier: Apache-2.0
// Cautions as intervals: the same list however and whenever it is asked for.
#include "reasoning/caution/caution.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/casebook/run/typed.h"

namespace fairlead {
namespace {

const std::vector<std::string> kLines = {"08:00 fact weight_kg 80", "08:00 fact age_years 72", "08:00 fact sex male", "08:00 fact creatinine 1.4",
                                         "10:00 access femoral", "10:01 guide a in 7F 100cm", "10:02 wire a in soft", "10:03 hep 8000", "10:10 act 360", "10:12 start AW",
                                         "10:30 contrast =60", "10:45 contrast +50", "10:52 act 310", "11:10 ak 3.2", "11:30 act 290", "11:40 ak 5.1"};

Cautions Of(const std::vector<std::string>& lines, Instant now, std::vector<Relevelled> changes = {}) { return CautionsOf(Fold(Typed(lines)), {}, changes, now); }

std::string Text(const Cautions& cautions, Instant until) {
  std::string text;
  for (const Caution& caution : cautions.intervals) {
    if (caution.begin > until) continue;
    text += std::string(caution.rule->id) + "/" + std::to_string(caution.step) + " " + ToIso(caution.begin) + "\n";
  }
  return text;
}

// At 60x, at 1x, or in one step after sleeping: what began by an instant began at the same instant.
TEST(Cautions, AReplayAndAServerThatSleptGiveTheSameList) {
  const Instant end = Clock("13:30");
  const Cautions slept = Of(kLines, end);
  for (Instant now = Clock("10:00"); now <= end; now = now + Duration::Minutes(1)) {
    std::vector<std::string> so_far;
    for (const std::string& line : kLines)
      if (Clock(line.substr(0, 5)) <= now) so_far.push_back(line);
    EXPECT_EQ(Text(Of(so_far, now), now), Text(slept, now)) << ToIso(now);
  }
}

// No entry is written: the next change is at holds_until and not a millisecond before.
TEST(Cautions, ChangeByTimeAloneAtTheInstantThatWasTold) {
  Instant now = Clock("11:41");
  int changes = 0;
  for (Cautions cautions = Of(kLines, now); cautions.holds_until && *cautions.holds_until < Clock("16:00"); ++changes) {
    const Instant next = *cautions.holds_until;
    ASSERT_GT(next, now);
    const auto ids = [](const Cautions& held) {
      std::vector<std::string> list;
      for (const Caution* caution : Holding(held)) list.push_back(std::string(caution->rule->id) + std::to_string(caution->step));
      for (const NotWatched& one : held.not_watched) list.push_back(one.lacks);
      std::ranges::sort(list);
      return list;
    };
    EXPECT_EQ(ids(Of(kLines, Instant{next.ms - 1})), ids(cautions)) << ToIso(next);
    cautions = Of(kLines, next);
    EXPECT_NE(ids(cautions), ids(Of(kLines, Instant{next.ms - 1}))) << ToIso(next);
    now = next;
  }
  EXPECT_GE(changes, 2);
}

const Caution* Find(const Cautions& cautions, std::string_view rule) {
  for (const Caution* caution : Holding(cautions))
    if (caution->rule->id == rule) return caution;
  return nullptr;
}

TEST(Cautions, AnAcceptedOneStepsBackUntilTheNextStep) {
  auto lines = kLines;
  lines.push_back("11:45 accept S-19 ; said aloud");
  Cautions cautions = Of(lines, Clock("11:46"));
  ASSERT_NE(Find(cautions, "S-19"), nullptr);
  EXPECT_EQ(Find(cautions, "S-19")->accepted->value, "said aloud");
  lines.push_back("11:50 ak 6.0");
  cautions = Of(lines, Clock("11:51"));
  EXPECT_FALSE(Find(cautions, "S-19")->accepted);
}

TEST(Cautions, ThirtyFourToThirtyNineAreNotSilencedByAccepting) {
  const std::vector<std::string> lines = {"10:00 access femoral", "10:05 start AW", "10:10 perforation I distal", "10:25 accept S-35 ; soon"};
  const Cautions cautions = Of(lines, Clock("10:26"));
  ASSERT_NE(Find(cautions, "S-35"), nullptr);
  EXPECT_FALSE(Find(cautions, "S-35")->accepted);
  for (const char* id : {"S-34", "S-35", "S-36", "S-37", "S-38", "S-39"}) EXPECT_FALSE(FindRule(id)->can_be_accepted);
  EXPECT_EQ(std::ranges::count(Rules(), false, &Rule::can_be_accepted), 6);
}

TEST(Cautions, TheLabSwitchesOffAndLevelsAnewNeverSilently) {
  EXPECT_NE(Find(Of(kLines, Clock("11:46")), "S-20"), nullptr);
  EXPECT_EQ(Find(Of(kLines, Clock("11:46"), {{"S-20", true, std::nullopt, "trial"}}), "S-20"), nullptr);
  EXPECT_EQ(Find(Of(kLines, Clock("11:46"), {{"S-20", false, Severity::kInfo, "trial"}}), "S-20")->severity, Severity::kInfo);
  const auto changes = RelevelledFromJson(R"({"S-25": {"off": true, "why": "consoles send it"}, "S-16": {"severity": "caution", "why": "asked for"}})");
  ASSERT_TRUE(changes);
  EXPECT_EQ(changes->size(), 2u);
  EXPECT_EQ(Sentence(RelevelledFromJson(R"({"S-25": {"off": true}})").error()), "why is missing: no rule is changed silently (rules.S-25): correct the lab's rules");
  EXPECT_FALSE(RelevelledFromJson(R"({"S-99": {"off": true, "why": "x"}})"));
  EXPECT_FALSE(RelevelledFromJson("[]"));
}

TEST(Cautions, OneThatComesBackWithinTenMinutesIsNotAnnouncedAnew) {
  const std::vector<std::string> lines = {"10:00 access femoral", "10:00 wire a in", "10:01 hep 8000", "10:10 act 420", "10:12 act 390", "10:15 act 410"};
  const Cautions cautions = Of(lines, Clock("10:16"));
  ASSERT_NE(Find(cautions, "S-05"), nullptr);
  EXPECT_TRUE(Find(cautions, "S-05")->again);
}

TEST(Cautions, SayWhatIsNotWatchedAndForWantOfWhat) {
  const Cautions cautions = Of({"10:00 access femoral", "10:00 wire a in", "10:01 hep 8000", "10:05 contrast =20"}, Clock("10:30"));
  const auto lacks = [&](std::string_view what) { return std::ranges::any_of(cautions.not_watched, [&](const NotWatched& one) { return one.lacks == what; }); };
  EXPECT_TRUE(lacks("weight"));
  EXPECT_TRUE(lacks("kidney function"));
  EXPECT_TRUE(lacks("a blood pressure of the last 15 min"));
}

// Typed 20 minutes late, a sample takes back the caution that stood meanwhile.
TEST(Cautions, ALateEntryChangesThePastAndIsMarked) {
  const std::vector<std::string> lines = {"10:00 access femoral", "10:00 wire a in", "10:01 hep 8000", "10:10 act 360"};
  EXPECT_NE(Find(Of(lines, Clock("10:45")), "S-03"), nullptr);
  auto entries = Typed({"10:00 access femoral", "10:00 wire a in", "10:01 hep 8000", "10:10 act 360", "10:35 act 420"});
  entries.back().written = Clock("10:55");
  const Cautions cautions = CautionsOf(Fold(std::move(entries)), {}, {}, Clock("10:56"));
  EXPECT_EQ(Find(cautions, "S-03"), nullptr);
  ASSERT_NE(Find(cautions, "S-05"), nullptr);
  EXPECT_TRUE(Find(cautions, "S-05")->late);
}

}  // namespace
}  // namespace fairlead
