// SPDX-License-Identifier: Apache-2.0
// "Does the ultrasound catheter go beside a microcatheter in a 7 French guide?", before anybody named one of them: a text
// that names a kind stands for every device of that kind on the shelf, and each combination is answered.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "reasoning/kit/question.h"

namespace fairlead {

// A kind as one says it: "ultrasound catheter", "any microcatheter", "this 7 French guide", "microcatheter usable>=150cm".
// The French size is that which the label prints, or else that of the outside. A bare French size names the guides that
// have it, since a guide's French size says nothing of its lumen; where the shelf has none, it is no kind.
struct Kind {
  std::string text;               // as asked
  std::vector<std::size_t> devices;  // of the shelf; one for each geometry, and the others of that geometry beside it
  std::vector<std::vector<std::string>> names;  // of all that share it
};
// Empty: the text is a size, names one device, or is no kind.
std::optional<Kind> KindOf(const Shelf& shelf, std::string_view text, bool as_lumen);

struct Combination {
  FitQuestion question;           // names, to be asked again by itself
  std::vector<std::string> lumens, items;  // with all the names that share a geometry
  FitHostAnswer host;             // the lumen that decides
};

struct KindsReport {
  FitRules rules;
  std::vector<Combination> combinations;  // fits, tight, no, unknown; within each the largest margin first
  std::vector<std::string> remarks;
};

// Nothing: no text names a kind, AnswerFit has the answer. Errors as of AnswerFit; a kind of which the shelf has none; more
// than 400 combinations.
Result<std::optional<KindsReport>> AnswerKinds(const FitQuestion& question, const Shelf& shelf);

}  // namespace fairlead
