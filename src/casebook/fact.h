// SPDX-License-Identifier: Apache-2.0
// A fact is one named piece of knowledge about patient or lesion. The dictionary is the one table that names them all;
// scores, forms, the JSON Schema, the page's types and `fairlead facts` are made from it.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "measure/source.h"

namespace fairlead {

enum class FactType {
  kFlag,      // yes or no
  kGrade,     // one of a short list of words
  kCount,     // a whole number
  kReading,   // a measured number with a standard deviation
  kReadings,  // a list of measured numbers (bends along a vessel)
};

// How the page groups the facts.
enum class FactGroup { kPatient, kIndication, kLesion, kOnCt, kDistal, kCollateral, kProcedure };

// The spread that stands in when a reader gives a number and no standard deviation: the larger of share x value and
// floor, in the fact's unit. Zero means that none is assumed.
struct UsualSpread {
  double share = 0.0;
  double floor = 0.0;
};

struct FactRow {
  std::string_view name;        // "length_angio_mm"; the name in every file, form and report
  FactType type;
  FactGroup group;
  std::string_view label;       // "Occlusion length, angiogram"
  std::string_view unit;        // "mm", "deg", "%"; empty for a flag or grade
  std::span<const std::string_view> grades;  // for kGrade, from least to most; may hold "unseen"
  bool may_be_unseen;           // flags and numbers that a reader may look for and not see
  bool may_be_not_determinable; // an answer in its own right (occlusion duration)
  bool per_channel;             // one value for each collateral channel
  double low, high;             // outside these a number is refused; in `unit`
  UsualSpread usual_spread;
  std::string_view definition;  // what exactly is meant, for the form and the documentation
  SourceId source;
};

std::span<const FactRow> Dictionary();

// Null if there is no such fact. `NearestFact` gives the closest spelling, for the error sentence.
const FactRow* FindFact(std::string_view name);
std::string_view NearestFact(std::string_view name);

// --- What may be believed about a fact. Unknown (nobody looked), unseen (somebody looked and could not see) and not
// determinable (an answer) are three different things.
struct Unknown {
  friend bool operator==(const Unknown&, const Unknown&) = default;
};
struct Unseen {
  friend bool operator==(const Unseen&, const Unseen&) = default;
};
struct NotDeterminable {
  friend bool operator==(const NotDeterminable&, const NotDeterminable&) = default;
};
struct FlagOdds {
  double yes = 0.0;  // probability in [0, 1]
  friend bool operator==(const FlagOdds&, const FlagOdds&) = default;
};
struct GradeOdds {
  std::vector<std::pair<std::string, double>> odds;  // grade -> probability, in dictionary order, sum 1, none zero
  friend bool operator==(const GradeOdds&, const GradeOdds&) = default;
};
struct Number {
  double value = 0.0;        // in the row's unit
  std::optional<double> sd;  // absent: exact as typed, sd unknown
  friend bool operator==(const Number&, const Number&) = default;
};
struct Numbers {
  std::vector<Number> values;
  friend bool operator==(const Numbers&, const Numbers&) = default;
};
using Belief = std::variant<Unknown, Unseen, NotDeterminable, FlagOdds, GradeOdds, Number, Numbers>;

// A fact of the case (`of` empty) or of one collateral channel (`of` = the channel's short name, "c1").
struct FactKey {
  std::string name;
  std::string of;
  friend auto operator<=>(const FactKey&, const FactKey&) = default;
  friend bool operator==(const FactKey&, const FactKey&) = default;
};

// What is believed about one lesion and its channels. A fact that is not in the map is unknown.
using Facts = std::map<FactKey, Belief>;

// The belief, or Unknown if the map has none.
const Belief& BeliefOf(const Facts& facts, const FactKey& key);

}  // namespace fairlead
