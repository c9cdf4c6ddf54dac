// SPDX-License-Identifier: Apache-2.0
#include "record/lesson/lesson.h"

#include <algorithm>

#include "record/lesson/clean.h"
#include "tests/record/report/told_case.h"

namespace fairlead {
namespace {

LessonSettings Plain() { return {{}, [](std::string_view word) { return "tag-" + std::to_string(word.size()); }, {}}; }

// By hand from the typed log: start 06:40, switches 07:04 and 07:34, a leak 08:58; the first puncture was at 06:22.
TEST(Lesson, ItsDecisionsAreThoseOfTheLogCountedFromTheFirstPuncture) {
  const Lesson lesson = MakeLesson(Fold(ToldEntries()), Plain());
  std::vector<std::string> when;
  for (const LessonPoint& point : lesson.points) when.push_back(point.when);
  EXPECT_EQ(when, (std::vector<std::string>{"18 min after the first puncture", "42 min after the first puncture", "72 min after the first puncture", "156 min after the first puncture"}));
  const LessonPoint& change = lesson.points[1];
  EXPECT_EQ(change.choices.front(), "go on: antegrade wiring (AW)");
  ASSERT_GE(change.done, 0);
  EXPECT_EQ(change.choices[static_cast<std::size_t>(change.done)], "antegrade dissection and re-entry (ADR)");
  EXPECT_NE(change.what_was_done.find("wire outside the plaque"), std::string::npos);
  EXPECT_EQ(lesson.points[0].question, "How do you begin?");
}

bool Knows(const LessonPoint& point, std::string_view label) { return std::ranges::find(point.facts, label, &LessonLine::label) != point.facts.end(); }

TEST(Lesson, NothingThatWasWrittenLaterIsKnownAtADecision) {
  auto entries = ToldEntries();
  // A fact typed the day after, for a moment before the run: hindsight.
  Entry late = NextEntry(entries, FactStated{{"lvef_pct", ""}, Number{41.0, std::nullopt}, Mark::kStated, {}, ""});
  late.at = entries.front().at;
  entries.push_back(late);
  for (const LessonPoint& point : MakeLesson(Fold(entries), Plain()).points) EXPECT_FALSE(Knows(point, "Left ventricular ejection fraction"));
  entries.back().written = entries.back().at;  // written at the time: known
  for (const LessonPoint& point : MakeLesson(Fold(entries), Plain()).points) EXPECT_TRUE(Knows(point, "Left ventricular ejection fraction"));
}

TEST(Lesson, TheMomentHoldsNoTotalOfLater) {
  const Lesson lesson = MakeLesson(Fold(ToldEntries()), Plain());
  const auto value = [&](std::size_t point, std::string_view label) {
    const auto found = std::ranges::find(lesson.points[point].situation, label, &LessonLine::label);
    return found == lesson.points[point].situation.end() ? std::string("none") : found->value;
  };
  EXPECT_EQ(value(1, "Contrast"), "42 mL");  // 30 + 12 by 07:04
  EXPECT_EQ(value(2, "Contrast"), "57 mL");  // + 15 by 07:34
  EXPECT_EQ(value(1, "Air kerma"), "0.48 Gy");
}

TEST(Lesson, TeachingWordsStandAtTheDecisionOfTheirTime) {
  auto entries = ToldEntries();
  Entry words = NextEntry(entries, NoteWritten{"lesson: Ten minutes outside the plaque were enough."});
  words.at = *ParseIso("2026-09-17T07:05:00Z");
  entries.push_back(words);
  entries.push_back(NextEntry(entries, NoteWritten{"speaker: Ask the room first."}, 2));
  entries.back().at = *ParseIso("2026-09-18T10:00:00Z");  // long after the last decision: of the whole case
  const Lesson lesson = MakeLesson(Fold(entries), Plain());
  EXPECT_EQ(lesson.points[1].lessons, std::vector<std::string>{"Ten minutes outside the plaque were enough."});
  EXPECT_EQ(lesson.speaker, std::vector<std::string>{"Ask the room first."});
}

// Identifiers planted wherever a person can type: none may be found in any byte of the page. Kinds of identifiers after the
// safe-harbour list of 45 CFR 164.514(b)(2), from memory.
TEST(Lesson, PlantedIdentifiersAreInNoByteOfThePage) {
  auto entries = ToldEntries();
  std::get<CaseOpened>(entries.front().data) = {"Zanzibar Quillfeather RCA", "Room Quillfeather", true};
  for (Entry& entry : entries) {
    entry.by = "Dr Vantongeren", entry.device = "tablet-Oxbow";
    if (auto* event = std::get_if<RunEvent>(&entry.data)) event->remark = "Quillfeather, born 1951-03-07, MRN 88123477";
    if (auto* fact = std::get_if<FactStated>(&entry.data)) {
      fact->note = "per Quillfeather";
      if (fact->key.name == "age_years") fact->belief = Number{93.0, std::nullopt};
    }
  }
  entries.push_back(NextEntry(entries, NoteWritten{"Quillfeather called on 0151-555-0199"}));
  Entry words = NextEntry(entries, NoteWritten{"lesson: VANTONGEREN said to mrs Quillfeather on 7/3/1951 at 14:35 that record 88123477 of 01M2NG00X0DEM0CASE00000004 was right"}, 2);
  entries.push_back(words);
  LessonSettings settings = Plain();
  settings.mask = {"Quillfeather"};
  settings.mask.push_back("Vantongeren");
  const std::string html = LessonHtml(MakeLesson(Fold(entries), settings));
  std::string small = html;
  std::ranges::transform(small, small.begin(), [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  for (const char* planted : {"quillfeather", "vantongeren", "oxbow", "zanzibar", "88123477", "1951", "14:35", "2026-09", "01m2ng00", "0151-555", "93 years"})
    EXPECT_EQ(small.find(planted), std::string::npos) << planted;
  EXPECT_NE(small.find("90 years or more"), std::string::npos);
  for (const Entry& entry : entries) EXPECT_EQ(html.find(entry.id), std::string::npos);
}

TEST(Lesson, MaskingTakesWholeWordsOnly) {
  LessonSettings settings = Plain();
  settings.mask = {"AB"};
  EXPECT_EQ(Unrecognised("AB about ab, grab AB.", settings), "tag-2 about tag-2, grab tag-2.");
  // Dates in words, telephone numbers, addresses; what is none of them stays. Planted by hand, from memory of how people write.
  EXPECT_EQ(Unrecognised("born 7 March 1951, seen March 9, 2026 and in April 2026, 3rd of May 2026", settings), "born (date), seen (date) and in (date), (date)");
  EXPECT_EQ(Unrecognised("call 0151-555-0199 or +44 151 555 0199, mail j.oxbow@example.org", settings), "call (number) or (number), mail (address)");
  EXPECT_EQ(Unrecognised("wire 2 may be outside, march on; 3-5 min, 0.014 in, 20-30 mL", settings), "wire 2 may be outside, march on; 3-5 min, 0.014 in, 20-30 mL");
  EXPECT_EQ(Unrecognised("2.5x15 mm, 12 atm, ACT 310 s, w3, S-12, segment 2", settings), "2.5x15 mm, 12 atm, ACT 310 s, w3, S-12, segment 2");
}

TEST(Lesson, ThePageNeedsNothingFromElsewhereAndEscapesItsText) {
  auto entries = ToldEntries();
  entries.push_back(NextEntry(entries, NoteWritten{"lesson: <img src=x onerror=alert(1)> </script><script>alert(2)</script>"}));
  const std::string html = LessonHtml(MakeLesson(Fold(entries), Plain()));
  EXPECT_EQ(html.find("<img"), std::string::npos);
  EXPECT_EQ(html.find("alert(2)</script>"), std::string::npos);
  for (const char* outside : {"http://", "https://", "src=\"", "@import", "url("}) EXPECT_EQ(html.find(outside), std::string::npos) << outside;
  EXPECT_NE(html.find("default-src 'none'"), std::string::npos);
}

TEST(Lesson, SameCaseSameBytesAndAnEmptyOneIsAPageToo) {
  const State state = Fold(ToldEntries());
  EXPECT_EQ(LessonHtml(MakeLesson(state, Plain())), LessonHtml(MakeLesson(state, Plain())));
  EXPECT_NE(LessonHtml(MakeLesson(Fold(std::vector<Entry>{}), Plain())).find("0 decisions"), std::string::npos);
}

TEST(Lesson, NamesBehindATitleAreMaskedWhereverTheyStandAndOthersAreShownToAPerson) {
  EXPECT_EQ(TitledNames("seen with Dr. J. Oxbow and Mrs Anne-Marie Quillfeather; the doctor left; patient stable"), (std::vector<std::string>{"Anne-Marie", "Oxbow", "Quillfeather"}));
  EXPECT_EQ(TitledNames("told the patient. She agreed; the surgeon, Once asked"), std::vector<std::string>{});
  auto entries = ToldEntries();
  entries.push_back(NextEntry(entries, NoteWritten{"lesson: Dr Oxbow chose the septal."}));
  entries.push_back(NextEntry(entries, NoteWritten{"speaker: ask OXBOW why"}, 2));
  const std::string html = LessonHtml(MakeLesson(Fold(entries), {}));
  EXPECT_EQ(html.find("Oxbow"), std::string::npos);
  EXPECT_EQ(html.find("OXBOW"), std::string::npos);
  EXPECT_NE(html.find("chose the septal"), std::string::npos);
}

// A clip of a run that came after the decision must not give it away before the choice.
TEST(Lesson, ClipsStandWhereTheNoteSaysAndNothingIsSeenBeforeItWasThere) {
  const State state = Fold(ToldEntries());
  const Lesson bare = MakeLesson(state, {});
  ASSERT_FALSE(bare.points.empty());
  Instant decided{};
  for (const EntryIndex index : state.run) {
    const auto* event = std::get_if<RunEvent>(&state.entries[index].data);
    if (event == nullptr || event->verb != Verb::kStart) continue;
    decided = state.entries[index].at;
    break;
  }
  LessonClip early{"LAO 31 CRA 0, frames 1 to 2", "the <cap>, said Dr Oxbow", decided + Duration::Minutes(1), decided, 66.7, {"\xFF\xD8one", "\xFF\xD8two"}}, late = early, far = early;
  late.joined = decided + Duration::Minutes(2), far.at = decided + Duration::Minutes(60.0 * 24.0);
  const Lesson lesson = MakeLesson(state, {{}, {}, {early, late, far}});
  EXPECT_EQ(lesson.points.front().clips.size(), 1U);
  EXPECT_EQ(lesson.points.front().clips_then.size(), 1U);
  EXPECT_EQ(lesson.clips.size(), 1U);
  const std::string html = LessonHtml(lesson);
  EXPECT_EQ(html.find("Oxbow"), std::string::npos);
  EXPECT_EQ(html.find("<cap>"), std::string::npos);
  EXPECT_NE(html.find("src=\"data:image/jpeg;base64,/9hvbmU=\""), std::string::npos) << "RFC 4648 of FF D8 'one'";
  const std::size_t page = html.find("<section><p class=\"when\">"), choice = html.find("<div class=\"choices\">", page), clip = html.find("<figure", page);
  EXPECT_LT(clip, choice);
}

}  // namespace
}  // namespace fairlead
