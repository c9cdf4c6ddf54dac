// SPDX-License-Identifier: Apache-2.0
// A teaching page from a case: at each decision the facts that were known at that time and no later one, what could be
// chosen, then what was done, what the screens said, and what came of it. Nobody can be recognised: no names, no dates, no
// times of day, no ids; free text only where it was written for teaching.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/fold.h"
#include "measure/instant.h"

namespace fairlead {

struct LessonLine {
  std::string label, value;
};

struct LessonPoint {
  std::string when;                   // "24 min after the first puncture"
  std::string question;
  std::vector<LessonLine> facts;      // as known then
  std::vector<LessonLine> situation;  // attempt, wires, totals
  std::vector<std::string> choices;
  int done = -1;                      // place in `choices` of what was done
  std::string what_was_done;
  std::string screens;                // what the engine showed then, from the journal
  std::vector<std::string> lessons, speaker;  // the operator's words
};

struct Lesson {
  std::string title;                  // from the facts, never the case's own title
  bool invented = false;
  std::vector<LessonPoint> points;
  std::vector<LessonLine> outcome;
  std::vector<std::string> lessons, speaker;  // of the whole case
};

struct LessonSettings {
  std::vector<std::string> mask;      // words that must not appear: names that slipped into teaching notes
  // What stands in place of a masked word or a person's name: the same for the same word, not to be undone without the
  // key that the caller keeps or throws away.
  std::function<std::string(std::string_view)> tag;
};

// Notes that begin with "lesson:" or "speaker:" are words for the lesson; their `at` says at which decision.
Lesson MakeLesson(const State& state, const LessonSettings& settings);

// One self-contained page: works offline, by keyboard; nothing is fetched.
std::string LessonHtml(const Lesson& lesson);

}  // namespace fairlead
