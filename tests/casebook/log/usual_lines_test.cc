// SPDX-License-Identifier: Apache-2.0
#include "casebook/log/usual_lines.h"

#include <gtest/gtest.h>

#include <set>

#include "casebook/log/log_line.h"
#include "casebook/run_table.h"

namespace fairlead {
namespace {

const LogRoom kRoom{*ParseIso("2026-11-30T10:00:00Z"), Duration::Minutes(0), 1.0, 1.0};

TEST(UsualLines, EachIsAWholeLineOfItsVerbAndReadsBack) {
  std::set<std::string_view> texts;
  Verb last = Verb::kTimeout;
  for (const UsualLine& usual : UsualLines()) {
    const auto line = ParseLogLine(usual.text, kRoom);
    ASSERT_TRUE(line.ok()) << usual.text << ": " << Sentence(line.error());
    const auto& event = std::get<RunEvent>(line->data);
    EXPECT_EQ(event.verb, usual.verb) << usual.text;
    const auto again = ParseLogLine(LogText(event), kRoom);
    ASSERT_TRUE(again.ok()) << usual.text;
    EXPECT_EQ(std::get<RunEvent>(again->data), event) << usual.text;
    EXPECT_GE(usual.verb, last) << usual.text << " is out of the table's order";
    last = usual.verb;
    EXPECT_TRUE(texts.insert(usual.text).second) << usual.text << " stands twice";
  }
}

// What no list can hold: totals that are read off a console, names, answers to a gate or to a caution.
TEST(UsualLines, EveryOtherVerbHasOne) {
  const std::set<Verb> without = {Verb::kAk, Verb::kDap, Verb::kFluoro, Verb::kPrior, Verb::kLab, Verb::kTick, Verb::kAccept, Verb::kFollowUp};
  std::set<Verb> with;
  for (const UsualLine& usual : UsualLines()) with.insert(usual.verb);
  for (const VerbRow& row : RunTable()) EXPECT_NE(with.contains(row.id), without.contains(row.id)) << row.verb;
}

}  // namespace
}  // namespace fairlead
