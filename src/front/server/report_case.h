// SPDX-License-Identifier: Apache-2.0
// The report of a case with the lab's limits, and the entry that signs it.
#pragma once

#include <string>
#include <vector>

#include "casebook/entry_json.h"
#include "casebook/fold.h"
#include "casebook/knowledge.h"
#include "measure/result.h"
#include "record/lesson/lesson.h"
#include "record/report/letter.h"
#include "record/report/report.h"

namespace fairlead {

// Errors: the lab's limits cannot be read.
Result<Report> ReportOfCase(const State& state, const Knowledge& lab, int zone_min);

// The letter in plain words, from the same.
Result<Letter> LetterOfCase(const State& state, const Knowledge& lab, int zone_min);

struct LessonWords {
  std::vector<std::string> mask, keep;  // must not appear; may be names for all the program knows, and stay
};

// For the teaching page. `key` makes the tags of masked words and is kept nowhere. `clips` are those of ClipsOf.
Lesson LessonOfCase(const State& state, LessonWords words, const std::string& key, std::vector<LessonClip> clips);

struct Signer {
  std::string by, device;  // by: a name or initials
  std::string program;     // its version
  Instant at;
};

// The entry of kind `shown` that seals the report as it reads at that instant. Errors: entries of a newer program are not
// understood; nothing has changed since the last signature; nobody is named.
Result<IncomingEntry> SignatureOf(const State& state, const Knowledge& lab, int zone_min, const Signer& signer);

}  // namespace fairlead
