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

// A stretch of a run, masked and ready to be shown.
struct LessonClip {
  std::string what;                   // "LAO 31 CRA 0, frames 10 to 60"
  std::string caption;                // the operator's words
  Instant at;                         // of the note that chose it: says at which decision it stands
  Instant joined;                     // when the run had joined the case: before a choice only what was there then is seen
  double frame_ms = 66.0;
  std::vector<std::string> frames;    // JPEG
};

struct LessonPoint {
  Instant at;                         // of the decision; never printed
  std::string when;                   // "24 min after the first puncture"
  std::string question;
  std::vector<LessonLine> facts;      // as known then
  std::vector<LessonLine> situation;  // attempt, wires, totals
  std::vector<std::string> choices;
  int done = -1;                      // place in `choices` of what was done
  std::string what_was_done;
  std::string screens;                // what the engine showed then, from the journal
  std::vector<std::string> lessons, speaker;  // the operator's words
  std::vector<LessonClip> clips, clips_then;  // before the choice; after it
};

struct Lesson {
  std::string title;                  // from the facts, never the case's own title
  bool invented = false;
  std::vector<LessonPoint> points;
  std::vector<LessonLine> outcome;
  std::vector<std::string> lessons, speaker;  // of the whole case
  std::vector<LessonClip> clips, clips_end;   // on the first page; on the last
  std::vector<std::string> stayed{};          // ordinary words of the free text that are names as well: for whoever makes it
  std::vector<std::string> taken_out;         // possible names that are not shown: for whoever makes the lesson, never in it
};

struct LessonSettings {
  std::vector<std::string> mask;      // words that must not appear: names that slipped into teaching notes
  // What stands in place of a masked word or a person's name: the same for the same word, not to be undone without the
  // key that the caller keeps or throws away.
  std::function<std::string(std::string_view)> tag;
  std::vector<LessonClip> clips{};
  std::vector<std::string> keep{};    // words that may be names for all the program knows, and are none
};

// Notes that begin with "lesson:" or "speaker:" are words for the lesson; their `at` says at which decision.
Lesson MakeLesson(const State& state, const LessonSettings& settings);

// The decision at which something of `at` stands: the last one at most half an hour before; as many as there are points if there is none.
std::size_t PlaceInLesson(const Lesson& lesson, Instant at);

// One self-contained page: works offline, by keyboard; nothing is fetched.
std::string LessonHtml(const Lesson& lesson);

}  // namespace fairlead
