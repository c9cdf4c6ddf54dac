// SPDX-License-Identifier: Apache-2.0
#include "casebook/fact_json.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>

#include "casebook/json_depth.h"

namespace fairlead {
namespace {

using Json = nlohmann::json;

constexpr std::size_t kMaxBytes = std::size_t{1} << 20;  // chosen: a file of every fact is below 20 kB
constexpr std::size_t kMaxValueBytes = std::size_t{1} << 16;
constexpr int kMaxDepth = 8;
constexpr std::size_t kMaxChannels = 64;
constexpr std::size_t kMaxReadings = 64;
constexpr double kSumTolerance = 1e-6;

std::string Text(double number) {
  char buffer[32];
  const auto end = std::to_chars(buffer, buffer + sizeof buffer, number);
  return {buffer, end.ptr};
}

// The start of a name or value from outside, fit to stand in a sentence.
std::string Quoted(std::string_view raw) {
  std::string shown(raw.substr(0, 40));
  std::ranges::replace_if(
      shown, [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; }, '?');
  return "\"" + shown + (raw.size() > 40 ? "...\"" : "\"");
}

Result<Json> ParseText(std::string_view text, std::size_t max_bytes) {
  if (text.size() > max_bytes) {
    return Error{"the text has " + std::to_string(text.size()) + " bytes", "facts",
                 "give at most " + std::to_string(max_bytes) + " bytes"};
  }
  if (NestsDeeper(text, kMaxDepth)) return Error{"brackets are nested more than 8 deep", "facts", "give an object of name and value"};
  std::vector<std::set<std::string>> names;
  std::string twice;
  const auto watch = [&](int /*depth*/, Json::parse_event_t event, Json& parsed) {
    if (event == Json::parse_event_t::object_start) names.emplace_back();
    if (event == Json::parse_event_t::object_end) names.pop_back();
    if (event == Json::parse_event_t::key && !names.back().insert(parsed.get<std::string>()).second) {
      twice = parsed.get<std::string>();
    }
    return true;
  };
  Json parsed = Json::parse(text.begin(), text.end(), watch, false);
  if (parsed.is_discarded()) {
    return Error{"the text is not JSON", "facts", "check brackets, quotes and commas; numbers must be finite"};
  }
  if (!twice.empty()) {
    return Error{Quoted(twice) + " is given twice", "facts", "keep one of the two"};
  }
  return parsed;
}

Error Refused(const FactRow& row, std::string what, std::string to_do) {
  return {std::move(what), std::string(row.name), std::move(to_do)};
}

std::string Joined(std::span<const std::string_view> words) {
  std::string all;
  for (const auto word : words) all += (all.empty() ? "" : ", ") + std::string(word);
  return all;
}

std::string Expected(const FactRow& row) {
  std::string expected;
  switch (row.type) {
    case FactType::kFlag:
      expected = "true, false or a probability from 0 to 1";
      break;
    case FactType::kGrade:
      expected = "one of " + Joined(row.grades) + ", or odds between them that sum to 1";
      break;
    case FactType::kCount:
      expected = "a whole number";
      break;
    case FactType::kReading:
      expected = "a number or {\"value\", \"sd\"}";
      break;
    case FactType::kReadings:
      expected = "a list of numbers or of {\"value\", \"sd\"}";
      break;
  }
  if (row.may_be_unseen && row.type != FactType::kGrade) expected += ", or \"unseen\"";
  if (row.may_be_not_determinable) expected += ", or \"not determinable\"";
  return "give " + expected + ", or null for unknown";
}

Result<double> InRange(const FactRow& row, double value) {
  if (std::isfinite(value) && value >= row.low && value <= row.high) return value;
  const std::string unit = row.unit.empty() ? "" : " " + std::string(row.unit);
  return Refused(row, Text(value) + " is out of range",
                 "give a value from " + Text(row.low) + " to " + Text(row.high) + unit + ", or null for unknown");
}

Result<Number> ParseNumber(const FactRow& row, const Json& json) {
  Number number;
  if (json.is_number()) {
    const auto value = InRange(row, json.get<double>());
    if (!value) return value.error();
    number.value = *value;
  } else {
    for (const auto& [name, part] : json.items()) {
      if (name != "value" && name != "sd")
        return Refused(row, Quoted(name) + " is no part of a reading", Expected(row));
      if (!part.is_number()) return Refused(row, Quoted(name) + " is not a number", Expected(row));
    }
    if (!json.contains("value")) return Refused(row, "the reading has no \"value\"", Expected(row));
    const auto value = InRange(row, json["value"].get<double>());
    if (!value) return value.error();
    number.value = *value;
    if (json.contains("sd")) {
      const double sd = json["sd"].get<double>();
      if (!(sd >= 0.0) || !(sd <= row.high - row.low)) {
        return Refused(row, "a standard deviation of " + Text(sd) + " is out of range",
                       "give one from 0 to " + Text(row.high - row.low));
      }
      number.sd = sd;
    }
  }
  if (row.type == FactType::kCount && !number.sd && number.value != std::floor(number.value)) {
    return Refused(row, Text(number.value) + " is not a whole number", Expected(row));
  }
  return number;
}

Result<Belief> ParseOdds(const FactRow& row, const Json& json) {
  double sum = 0.0;
  for (const auto& [grade, share] : json.items()) {
    if (std::ranges::find(row.grades, grade) == row.grades.end()) {
      return Refused(row, Quoted(grade) + " is not one of its grades", Expected(row));
    }
    if (!share.is_number() || !(share.get<double>() >= 0.0) || !(share.get<double>() <= 1.0 + kSumTolerance)) {
      return Refused(row, "the probability of " + Quoted(grade) + " is not from 0 to 1", Expected(row));
    }
    sum += share.get<double>();
  }
  if (!(std::abs(sum - 1.0) <= kSumTolerance)) {
    return Refused(row, "the odds sum to " + Text(sum), "make them sum to 1");
  }
  GradeOdds odds;
  for (const auto grade : row.grades) {
    const auto share = json.find(std::string(grade));
    if (share != json.end() && share->get<double>() > 0.0) {
      odds.odds.emplace_back(std::string(grade), share->get<double>() / sum);
    }
  }
  if (odds.odds.size() == 1 && odds.odds[0].first == "unseen") return Belief{Unseen{}};
  return Belief{odds};
}

// Diabetes is a grade that may also be told as yes, no or a probability.
Result<Belief> ParseDiabetes(const FactRow& row, double yes) {
  if (!(yes >= 0.0 && yes <= 1.0)) return Refused(row, "a probability of " + Text(yes), Expected(row));
  GradeOdds odds;
  if (yes < 1.0) odds.odds.emplace_back("none", 1.0 - yes);
  if (yes > 0.0) odds.odds.emplace_back("unspecified", yes);
  return Belief{odds};
}

Result<Belief> ParseGrade(const FactRow& row, const Json& json) {
  if (json.is_object()) return ParseOdds(row, json);
  std::string word;
  if (json.is_string()) word = json.get<std::string>();
  if (row.name == "diabetes" && json.is_boolean()) return ParseDiabetes(row, json.get<bool>() ? 1.0 : 0.0);
  if (row.name == "diabetes" && json.is_number()) return ParseDiabetes(row, json.get<double>());
  if (json.is_number() && std::abs(json.get<double>()) < 1e3 && json.get<double>() == std::floor(json.get<double>())) {
    word = std::to_string(static_cast<int>(json.get<double>()));  // a grade of digits, written as a number
  }
  if (std::ranges::find(row.grades, word) == row.grades.end()) {
    return Refused(row, Quoted(json.is_string() ? word : json.dump()) + " is not one of its grades", Expected(row));
  }
  return Belief{GradeOdds{{{word, 1.0}}}};
}

Result<Belief> ParseFlag(const FactRow& row, const Json& json) {
  if (json.is_boolean()) return Belief{FlagOdds{json.get<bool>() ? 1.0 : 0.0}};
  if (!json.is_number()) return Refused(row, "the value is neither yes nor no nor a probability", Expected(row));
  const double yes = json.get<double>();
  if (!(yes >= 0.0 && yes <= 1.0))
    return Refused(row, "a probability of " + Text(yes) + " is out of range", Expected(row));
  return Belief{FlagOdds{yes}};
}

Result<Belief> ParseReadings(const FactRow& row, const Json& json) {
  if (!json.is_array() || json.size() > kMaxReadings) {
    return Refused(row, json.is_array() ? "the list has more than 64 readings" : "the value is not a list",
                   Expected(row));
  }
  Numbers numbers;
  for (const auto& part : json) {
    if (!part.is_number() && !part.is_object()) return Refused(row, "the list holds something else", Expected(row));
    const auto number = ParseNumber(row, part);
    if (!number) return number.error();
    numbers.values.push_back(*number);
  }
  return Belief{numbers};
}

Result<Belief> ParseJson(const FactRow& row, const Json& json) {
  if (json.is_null()) return Belief{Unknown{}};
  if (json.is_string() && json == "unseen" && row.may_be_unseen) return Belief{Unseen{}};
  if (json.is_string() && json == "not determinable" && row.may_be_not_determinable) return Belief{NotDeterminable{}};
  switch (row.type) {
    case FactType::kFlag:
      return ParseFlag(row, json);
    case FactType::kGrade:
      return ParseGrade(row, json);
    case FactType::kReadings:
      return ParseReadings(row, json);
    case FactType::kCount:
    case FactType::kReading:
      break;
  }
  if (!json.is_number() && !json.is_object()) return Refused(row, "the value is not a number", Expected(row));
  const auto number = ParseNumber(row, json);
  if (!number) return number.error();
  return Belief{*number};
}

// Adds the facts of one object: the file itself (`of` empty) or one channel.
Status AddFacts(const Json& object, const std::string& of, Facts& facts) {
  for (const auto& [name, value] : object.items()) {
    if (name.starts_with('_') || (of.empty() && name == "channels")) continue;
    const FactRow* row = FindFact(name);
    if (row == nullptr) {
      return Error{Quoted(name) + " is not a fact", of.empty() ? "facts" : "channel " + of,
                   "the nearest known name is " + std::string(NearestFact(name))};
    }
    if (!of.empty() && !row->per_channel) {
      return Error{name + " belongs to the lesion", "channel " + of, "move it out of \"channels\""};
    }
    const auto belief = ParseJson(*row, value);
    if (!belief) return of.empty() ? belief.error() : Within("channel " + of, belief.error());
    facts.insert_or_assign(FactKey{name, of}, *belief);
  }
  return Done{};
}

bool GoodChannelName(const std::string& name) {
  return !name.empty() && name.size() <= 24 && std::ranges::all_of(name, [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
  });
}

}  // namespace

Result<Belief> ParseBelief(const FactRow& row, std::string_view json) {
  const auto parsed = ParseText(json, kMaxValueBytes);
  if (!parsed) return Within(row.name, parsed.error());
  return ParseJson(row, *parsed);
}

Result<Facts> ParseFacts(std::string_view json) {
  const auto parsed = ParseText(json, kMaxBytes);
  if (!parsed) return parsed.error();
  if (!parsed->is_object()) return Error{"the file is not an object of name and value", "facts", "put it in braces"};
  Facts facts;
  if (const auto added = AddFacts(*parsed, "", facts); !added) return added.error();
  const auto channels = parsed->find("channels");
  if (channels == parsed->end() || channels->is_null()) return facts;
  if (!channels->is_object() || channels->size() > kMaxChannels) {
    return Error{"\"channels\" is not an object of at most 64 channels", "facts", "write {\"channels\": {\"c1\": {}}}"};
  }
  for (const auto& [name, object] : channels->items()) {
    if (!GoodChannelName(name) || !object.is_object()) {
      return Error{"channel " + Quoted(name) + " cannot be read", "channels",
                   "name it with 1 to 24 letters, digits, - or _, and give it an object of facts"};
    }
    if (const auto added = AddFacts(object, name, facts); !added) return added.error();
  }
  return facts;
}

}  // namespace fairlead
