// SPDX-License-Identifier: Apache-2.0
// Text made unrecognisable.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "record/lesson/lesson.h"

namespace fairlead {

// Masked words (whatever their case) become their tag; ids, dates and times of day become a sign that they were there; a word that may be
// a name (words.h) becomes "(name?)" unless `keep` has it.
std::string Unrecognised(std::string_view text, const LessonSettings& settings);

// The words of `text` that Unrecognised takes out as possible names, each once, as they were written.
std::vector<std::string> NamesTakenOut(std::string_view text, const LessonSettings& settings);

// Ordinary words that stay, and are names as well ("baker"), each once, in small letters: for whoever makes the page, to be given as masks.
std::vector<std::string> NamesThatMayStay(std::string_view text, const LessonSettings& settings);

// Who wrote entries, and what rooms and devices are called: masked without being asked. Roles and single letters are not.
std::vector<std::string> NamesIn(const State& state);

// Names that follow a title or a word for a person ("Mr", "Dr", "Prof", "Sister", "patient"): "Oxbow" of "seen with Dr. Oxbow". For the mask.
std::vector<std::string> TitledNames(std::string_view text);

}  // namespace fairlead
