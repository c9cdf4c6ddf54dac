// SPDX-License-Identifier: Apache-2.0
#include "casebook/log/fact_line.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <string>
#include <vector>

#include "casebook/fact_json.h"
#include "casebook/log/log_words.h"
#include "measure/nearest.h"

namespace fairlead {
namespace {

constexpr std::array<std::string_view, 2> kVerbs = {"note", "fact"};

// Words; "±" and "+-" stand alone, however they are typed.
std::vector<std::string> Words(std::string_view text) {
  std::string spaced;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool plus_minus = text.substr(i).starts_with("±") || text.substr(i).starts_with("+-");
    if (plus_minus) {
      spaced += " ± ";
      ++i;  // both are two bytes
    } else {
      spaced += text[i] == '\t' ? ' ' : text[i];
    }
  }
  std::vector<std::string> words;
  for (std::size_t at = 0; at < spaced.size();) {
    const std::size_t start = spaced.find_first_not_of(' ', at);
    if (start == std::string::npos) break;
    const std::size_t end = std::min(spaced.find(' ', start), spaced.size());
    words.push_back(spaced.substr(start, end - start));
    at = end;
  }
  return words;
}

Error NotUnderstoodWord(const std::string& word, std::string_view what, std::span<const std::string_view> known) {
  std::string hint = DidYouMean(LowerCase(word), known);
  if (hint.empty()) {
    for (const auto k : known) hint += (hint.empty() ? "known are " : ", ") + std::string(k);
  }
  return {"\"" + word.substr(0, 40) + "\" is no " + std::string(what), "the log line", hint};
}

// Laboratories count creatinine in two units: 88.4 µmol/L are 1 mg/dL. By its unit only, never by its size.
constexpr double kUmolPerMgDl = 88.4;
bool IsOtherUnit(const FactRow& row, std::string_view unit) {
  const std::string small = LowerCase(unit);
  return row.name == "creatinine" && (small == "umol/l" || small == "µmol/l");
}

// "19.2", "19.2mm", "98umol/L": the number in the fact's unit, if the rest is a unit of it.
bool TakeNumber(const FactRow& row, const std::string& word, double& value) {
  const char* end = word.data() + word.size();
  const auto [rest, code] = std::from_chars(word.data(), end, value);
  if (code != std::errc() || !std::isfinite(value)) return false;
  if (IsOtherUnit(row, {rest, end})) return value /= kUmolPerMgDl, true;
  return rest == end || LowerCase({rest, end}) == LowerCase(row.unit);
}

// The JSON of a value as docs/wire.md has it; ParseBelief then checks it against the row.
Result<std::string> NumberJson(const FactRow& row, std::vector<std::string> words) {
  if (words.size() > 1 && LowerCase(words.back()) == LowerCase(row.unit)) words.pop_back();
  if (words.size() > 1 && IsOtherUnit(row, words.back())) {  // "98 ± 4 umol/L"
    const std::string unit = words.back();
    words.pop_back();
    for (std::string& word : words)
      if (word != "±" && !word.ends_with(unit)) word += unit;
  }
  double value = 0.0;
  double sd = 0.0;
  if (!TakeNumber(row, words[0], value)) {
    return Error{"\"" + words[0].substr(0, 40) + "\" is no number" +
                     (row.unit.empty() ? std::string() : " in " + std::string(row.unit)),
                 std::string(row.name), "type a number, or unseen or unknown"};
  }
  if (words.size() == 1) return ShortestDigits(value);
  if (words.size() == 3 && words[1] == "±" && TakeNumber(row, words[2], sd)) {
    return "{\"value\":" + ShortestDigits(value) + ",\"sd\":" + ShortestDigits(sd) + "}";
  }
  return Error{"what follows the number is not understood", std::string(row.name), "type VALUE, or VALUE ± SD"};
}

// `typed` as it was typed and in small letters.
Result<std::string> FlagJson(const FactRow& row, const std::string& typed, const std::string& lower) {
  if (lower == "yes" || lower == "true") return std::string("true");
  if (lower == "no" || lower == "false") return std::string("false");
  double odds = 0.0;
  if (TakeNumber(row, typed, odds)) return ShortestDigits(odds);
  static constexpr std::array<std::string_view, 4> kFlags = {"yes", "no", "unseen", "unknown"};
  return NotUnderstoodWord(typed, "answer to yes or no", kFlags);
}

Result<std::string> GradeJson(const FactRow& row, const std::string& typed, const std::string& lower) {
  for (const std::string_view grade : row.grades) {
    if (LowerCase(grade) == lower) return "\"" + std::string(grade) + "\"";
  }
  return NotUnderstoodWord(typed, "grade of " + std::string(row.name), row.grades);
}

Result<std::string> ValueJson(const FactRow& row, const std::vector<std::string>& words) {
  std::string joined;
  for (const std::string& word : words) joined += (joined.empty() ? "" : " ") + word;
  const std::string lower = LowerCase(joined);
  if (lower == "unknown") return std::string("null");
  if (lower == "unseen" || lower == "not determinable") return "\"" + lower + "\"";
  if (row.type == FactType::kFlag) return FlagJson(row, joined, lower);
  if (row.type == FactType::kGrade) return GradeJson(row, joined, lower);
  if (row.type != FactType::kReadings) return NumberJson(row, words);
  std::string list;
  for (const std::string& word : words) {
    auto one = NumberJson(row, {word});
    if (!one.ok()) return one;
    list += (list.empty() ? "[" : ",") + *one;
  }
  return list + "]";
}

Result<EntryData> FactLine(const std::vector<std::string>& words) {
  if (words.size() < 3) return Error{"a fact needs a name and a value", "the log line", "type fact NAME VALUE [± SD]"};
  FactStated stated;
  std::string name = words[1];
  if (const std::size_t dot = name.find('.'); dot != std::string::npos) {
    stated.key.of = name.substr(0, dot);
    name = name.substr(dot + 1);
  }
  name = LowerCase(name);
  const FactRow* row = FindFact(name);
  if (row == nullptr) {
    return Error{"there is no fact \"" + name.substr(0, 60) + "\"", "the log line",
                 "did you mean \"" + std::string(NearestFact(name)) + "\"? fairlead facts lists them"};
  }
  if (row->per_channel && stated.key.of.empty()) {
    return Error{"this fact belongs to a collateral channel", name, "name the channel: c1." + name};
  }
  if (!row->per_channel && !stated.key.of.empty()) {
    return Error{"this fact belongs to no collateral channel", name, "leave \"" + stated.key.of + ".\" out"};
  }
  stated.key.name = name;
  auto json = ValueJson(*row, {words.begin() + 2, words.end()});
  if (!json.ok()) return json.error();
  auto belief = ParseBelief(*row, *json);
  if (!belief.ok() && row->name == "creatinine") return Error{belief.error().what, belief.error().where, belief.error().to_do + "; micromoles with their unit: 98umol/L"};
  if (!belief.ok()) return belief.error();
  stated.belief = std::move(*belief);
  return EntryData(std::move(stated));
}

}  // namespace

Result<EntryData> ParsePlainLine(std::string_view text) {
  if (text.size() > 4000) return Error{"the line is longer than 4000 bytes", "the log line", "write several"};
  if (text.find_first_of("\n\r") != std::string_view::npos) {
    return Error{"an entry is one line", "the log line", "write several entries"};
  }
  const std::vector<std::string> words = Words(text);
  if (words.empty()) return Error{"the line is empty", "the log line", "type note TEXT or fact NAME VALUE [± SD]"};
  const std::string verb = LowerCase(words[0]);
  if (verb == "fact") return FactLine(words);
  if (verb != "note") return NotUnderstoodWord(words[0], "word of the log", kVerbs);
  const std::size_t start = text.find_first_not_of(" \t");
  const std::size_t rest = text.find_first_not_of(" \t", start + verb.size());
  if (rest == std::string_view::npos) return Error{"the note is empty", "the log line", "type note TEXT"};
  return EntryData(NoteWritten{std::string(text.substr(rest))});
}

}  // namespace fairlead
