// SPDX-License-Identifier: Apache-2.0
// The same visit in plain words on one page: above for the patient, below for the referring doctor. What nobody recorded
// is left open for a hand to fill.
#pragma once

#include <string>
#include <vector>

#include "record/report/report.h"

namespace fairlead {

struct LetterPart {
  std::string heading;
  std::vector<std::string> paragraphs;
};
struct Letter {
  std::string title, day;
  bool invented = false;
  Instant as_of;
  std::vector<LetterPart> patient, doctor;
};

inline constexpr std::string_view kToFill = "[to be filled in by the doctor]";

Letter MakeLetter(const State& state, const ReportSettings& settings);
std::string LetterHtml(const Letter& letter);

}  // namespace fairlead
