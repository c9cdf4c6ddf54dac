// SPDX-License-Identifier: Apache-2.0
// The one table of the log: every verb, what it takes, and how that is written. Limits are the borders of nonsense, not
// of safety: a value outside them was mistyped.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "casebook/run_event.h"

namespace fairlead {

enum class FieldType : std::uint8_t {
  kNumber,
  kWord,  // one of a list
  kTag,   // letters and digits: w3, c1, S-12
  kName,  // small letters, digits and - . _ : an item, a nickname, a code
};

struct RunUnit {
  std::string_view unit;  // the first of a list as printed; typed in any case
  double factor;          // canonical = typed * factor
};

struct RunWord {
  std::string_view word;  // as printed and kept
  std::string_view also;  // other spellings, separated by blanks; the first may stand in front of a person
};

// How a member is called and in what units it may be typed, whatever the verb.
struct FieldRow {
  RunField id;
  std::string_view name;   // "act_s"
  FieldType type;
  std::string_view label;  // "seconds"
  std::span<const RunUnit> units;
};

enum class FieldNeed : std::uint8_t { kMay, kAsked, kMust };  // asked: a chip is offered, the entry stands without it

// A field as one verb takes it.
struct VerbField {
  RunField id;
  FieldNeed need = FieldNeed::kMay;
  double low = 0.0, high = 0.0;       // of a number, canonical; outside them it is refused
  std::span<const RunWord> words;        // of a word
  bool bare = false;                  // a number without its unit means this one
  char sign = 0;                      // '+' or '=': the number must carry it
  char joined = 0;                    // 'x' or '/': one token holds this number and the next field's
  std::string_view plus, minus;       // "LAO", "RAO": written in front instead of a sign
  std::string_view letters;           // of a tag: what stands before the digits, alternatives separated by blanks
  bool keyed = false;                 // only as name:value
};

enum class SideUse : std::uint8_t { kNoSide, kMaySide, kMustSide };

struct VerbRow {
  Verb id;
  std::string_view verb;
  std::string_view also;     // other spellings, separated by blanks
  std::string_view group;    // heading in help and of the keys
  SideUse side;
  std::span<const VerbField> fields;
  std::string_view says;     // one line of help
  std::string_view example;  // a whole line that the grammar takes
  bool needs_one = false;    // at least one value must stand
};

std::span<const VerbRow> RunTable();
const VerbRow& RowOf(Verb verb);
const VerbRow* FindVerb(std::string_view word);  // by verb or other spelling, small letters; null if there is none

const FieldRow& RowOf(RunField field);
const VerbField* FieldOf(const VerbRow& row, RunField field);                   // null if the verb does not take it
const VerbField* FieldOf(const VerbRow& row, std::string_view member_name);  // "act_s"

// The kept word for a spelling of it in small letters; empty if the list has none.
std::string_view KeptWord(std::span<const RunWord> words, std::string_view spelling);
// Whether `list`, words separated by blanks, has `word`.
bool Lists(std::string_view list, std::string_view word);

// Whether a value may stand in that field of the verb: a number within its limits, a word of the list, a tag or a name
// of the right letters. What is wrong with it, for a person; empty if nothing.
std::string FaultOf(const VerbField& field, const RunValue& value);

// "contrast +40 mL", "wire w3 antegrade in, polymer, 0.8 g: note"; for the journal's lines.
std::string RunText(const RunEvent& event);

}  // namespace fairlead
