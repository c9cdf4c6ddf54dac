// SPDX-License-Identifier: Apache-2.0
#include "casebook/log/log_line.h"

#include <algorithm>
#include <cstddef>
#include <span>
#include <utility>

#include "casebook/log/fact_line.h"
#include "casebook/log/log_words.h"
#include "measure/nearest.h"

namespace fairlead {
namespace {

constexpr const char* kWhere = "the log line";

Error Refused(std::string what, std::string to_do) { return {std::move(what), kWhere, std::move(to_do)}; }
std::string Shown(std::string_view word) { return "\"" + std::string(word.substr(0, 40)) + "\""; }

// One letter changed, left out or too many.
bool OneSlipApart(std::string_view a, std::string_view b) {
  if (a.size() > b.size()) std::swap(a, b);
  if (b.size() - a.size() > 1) return false;
  const auto differ = std::ranges::mismatch(a, b);
  const std::string_view rest_a(differ.in1, a.end()), rest_b(differ.in2, b.end());
  if (rest_b.empty()) return true;
  return a.size() == b.size() ? rest_a.substr(1) == rest_b.substr(1) : rest_a == rest_b.substr(1);
}

// Reads the words after the verb, one after another, into the event.
class VerbReader {
 public:
  VerbReader(const VerbRow& row, const LogRoom& room) : row_(row), room_(room) { event_.verb = row.id; }

  Status Take(std::span<const std::string> words) {
    for (std::size_t i = 0; i < words.size(); ++i) {
      std::string small = LowerCase(words[i]);
      // "40 mL", "LAO 45", "+ 40", "2.5 x 15": what belongs together may be typed apart.
      if (i + 2 < words.size() && LowerCase(words[i + 1]) == "x" && IsPlainNumber(small) && ReadTypedNumber(LowerCase(words[i + 2]))) {
        small += "x" + LowerCase(words[i + 2]);
        i += 2;
      }
      if (i + 1 < words.size() && BelongsTogether(small, LowerCase(words[i + 1]))) small += LowerCase(words[++i]);
      if (auto taken = TakeWord(small); !taken.ok()) return taken;
    }
    return Whole();
  }
  RunEvent Finish() && { return std::move(event_); }

 private:
  static bool IsPlainNumber(const std::string& small) {
    const auto number = ReadTypedNumber(small);
    return number && number->sign == 0 && number->joined == 0 && number->turned.empty() && number->unit.empty();
  }
  bool BelongsTogether(const std::string& word, const std::string& next) const {
    if (word == "+" || word == "=" || word == "lao" || word == "rao" || word == "cra" || word == "cau") return true;
    const auto number = ReadTypedNumber(word);
    if (!number || !number->unit.empty()) return false;
    return std::ranges::any_of(row_.fields, [&](const VerbField& field) { return UnitFactor(RowOf(field.id), next).has_value(); }) &&
           !MeansSomething(row_, next);
  }

  Status TakeWord(const std::string& small) {
    if (TakeSide(small)) return Done{};
    if (small.find(':') != std::string::npos) return TakeKeyed(small);
    if (const VerbField* field = FieldWithWord(small)) return PutWord(*field, std::string(KeptWord(field->words, small)));
    if (const VerbField* field = FieldWithTag(small)) return PutWord(*field, TagAsKept(*field, small));
    if (const auto number = ReadTypedNumber(small)) return TakeNumber(small, *number);
    for (const VerbField& field : row_.fields) {
      if (RowOf(field.id).type != FieldType::kName || field.keyed || ValueOf(event_, field.id) != nullptr) continue;
      if (FaultOf(field, {field.id, 0.0, small}).empty() && !NearAWord(small)) return PutWord(field, small);
    }
    return NotUnderstoodWord(small);
  }

  bool TakeSide(std::string_view small) {
    if (row_.side == SideUse::kNoSide || event_.side != RunSide::kNone) return false;
    if (small == "a" || small == "antegrade") event_.side = RunSide::kAntegrade;
    else if (small == "r" || small == "retrograde") event_.side = RunSide::kRetrograde;
    return event_.side != RunSide::kNone;
  }

  const VerbField* FieldWithWord(const std::string& small) const {
    for (const VerbField& field : row_.fields)
      if (!field.words.empty() && !KeptWord(field.words, small).empty()) return &field;
    return nullptr;
  }
  const VerbField* FieldWithTag(const std::string& small) const {
    for (const VerbField& field : row_.fields)
      if (RowOf(field.id).type == FieldType::kTag && FaultOf(field, {field.id, 0.0, TagAsKept(field, small)}).empty()) return &field;
    return nullptr;
  }
  // A rule is kept as S-12; other tags in small letters.
  static std::string TagAsKept(const VerbField&, const std::string& small) { return small; }

  Status PutWord(const VerbField& field, std::string word) {
    if (const RunValue* held = ValueOf(event_, field.id); held != nullptr && held->text != word)
      return Refused(Shown(word) + " and " + Shown(held->text) + " cannot both be the " + KeyName(field.id), "leave one out");
    RunValue value{field.id, 0.0, std::move(word)};
    if (std::string fault = FaultOf(field, value); !fault.empty()) return Refused(std::move(fault), "see: " + VerbUsage(row_.id));
    Put(event_, std::move(value));
    return Done{};
  }

  Status TakeKeyed(const std::string& small) {
    const std::size_t colon = small.find(':');
    const std::string key = small.substr(0, colon), text = small.substr(colon + 1);
    std::vector<std::string> keys;
    for (const VerbField& field : row_.fields) {
      const bool number = RowOf(field.id).type == FieldType::kNumber;
      if (number ? !field.keyed : RowOf(field.id).type != FieldType::kName) continue;
      keys.push_back(KeyName(field.id));
      if (key != keys.back()) continue;
      if (!number) return PutWord(field, text);
      const auto typed = ReadTypedNumber(text);
      if (!typed || typed->sign != 0 || typed->joined != 0 || !typed->turned.empty()) return Refused(Shown(text) + " is no number", "type " + key + ":NUMBER");
      const auto factor = typed->unit.empty() ? std::optional(1.0) : UnitFactor(RowOf(field.id), typed->unit);
      if (!factor) return Refused(Shown(typed->unit) + " is no unit of " + key, "leave it out");
      return PutNumber(field, typed->first * *factor);
    }
    const std::vector<std::string_view> known(keys.begin(), keys.end());
    std::string hint = DidYouMean(key, known);
    return Refused(Shown(key + ":") + " is nothing that " + std::string(row_.verb) + " takes", hint.empty() ? "see: " + VerbUsage(row_.id) : hint);
  }

  Status PutNumber(const VerbField& field, double number) {
    const FieldRow& row = RowOf(field.id);
    const std::string unit = row.units.empty() ? "" : " " + std::string(row.units.front().unit);
    if (ValueOf(event_, field.id) != nullptr) return Refused("the " + std::string(row.label) + " is given twice", "leave one out");
    if (!FaultOf(field, {field.id, number, ""}).empty())
      return Refused(std::string(row.label) + " " + ShortestDigits(number) + unit + " cannot be", "look at the source again and type what it says");
    Put(event_, {field.id, number, ""});
    return Done{};
  }

  // The second number of "2.5x15", if this field is the first of such a pair.
  const VerbField* Partner(const VerbField& field) const {
    return field.joined == 0 ? nullptr : &field + 1;
  }

  double BareFactor(const VerbField& field) const {
    if (field.id == RunField::kKerma) return room_.kerma_unit;
    if (field.id == RunField::kArea) return room_.area_unit;
    return 1.0;
  }

  Status TakeNumber(const std::string& word, const TypedNumber& typed) {
    if (typed.joined != 0) return TakePair(word, typed);
    if (!typed.turned.empty()) return TakeTurned(word, typed);
    for (std::size_t i = 0; i < row_.fields.size(); ++i) {
      const VerbField& field = row_.fields[i];
      const FieldRow& row = RowOf(field.id);
      if (row.type != FieldType::kNumber || field.keyed || !field.plus.empty()) continue;
      if (i > 0 && row_.fields[i - 1].joined != 0 && !field.bare) continue;  // the second of a pair stands with the first
      if (field.sign != typed.sign) continue;
      if (typed.unit.empty() && !field.bare && field.sign == 0 && field.joined == 0) continue;
      const auto factor = typed.unit.empty() ? std::optional(BareFactor(field)) : UnitFactor(row, typed.unit);
      if (!factor) continue;
      if (typed.unit.empty() && ValueOf(event_, field.id) != nullptr && i + 1 < row_.fields.size() && row_.fields[i].joined != 0) continue;
      return PutNumber(field, typed.first * *factor);
    }
    return NoSuchNumber(word, typed);
  }

  Status TakePair(const std::string& word, const TypedNumber& typed) {
    for (const VerbField& field : row_.fields) {
      const VerbField* second = field.joined == typed.joined && typed.sign == 0 ? Partner(field) : nullptr;
      if (second == nullptr) continue;
      const auto factor = typed.unit.empty() ? std::optional(1.0) : UnitFactor(RowOf(field.id), typed.unit);
      if (!factor) break;
      if (!typed.only_second) {
        if (auto put = PutNumber(field, typed.first * *factor); !put.ok()) return put;
      }
      return PutNumber(*second, *typed.second * *factor);
    }
    return NoSuchNumber(word, typed);
  }

  Status TakeTurned(const std::string& word, const TypedNumber& typed) {
    for (const VerbField& field : row_.fields) {
      if (field.plus.empty() || (field.plus != typed.turned && field.minus != typed.turned)) continue;
      if (!typed.unit.empty() && !UnitFactor(RowOf(field.id), typed.unit)) break;
      return PutNumber(field, field.plus == typed.turned || typed.first == 0.0 ? typed.first : -typed.first);
    }
    return NoSuchNumber(word, typed);
  }

  // Never another number: 36 may have been 136, 236 or 360.
  Status NoSuchNumber(const std::string& word, const TypedNumber& typed) const {
    const bool is_signed = std::ranges::any_of(row_.fields, [](const VerbField& field) { return field.sign != 0; });
    if (is_signed && typed.sign == 0) return Refused("a bare number may be one more or the total", "put + before what is added, = before the total");
    if (typed.sign == '-') return Refused(Shown(word) + " is below nothing", "amend the entry that was wrong");
    std::string units;
    for (const VerbField& field : row_.fields) {
      if (RowOf(field.id).type != FieldType::kNumber || RowOf(field.id).units.empty() || field.keyed) continue;
      const std::string unit(RowOf(field.id).units.front().unit);
      if (units.find(unit) == std::string::npos) units += (units.empty() ? "" : ", ") + unit;
    }
    if (units.empty()) return Refused(std::string(row_.verb) + " takes no number " + Shown(word), "see: " + VerbUsage(row_.id));
    return Refused("what " + Shown(word) + " counts is not said", "put a unit after it: " + units);
  }

  std::vector<std::string_view> Known() const {
    std::vector<std::string_view> known;
    for (const VerbField& field : row_.fields)
      for (const RunWord& word : field.words) known.push_back(word.word);
    return known;
  }
  // A name one letter away from a word of the verb is likelier a slip.
  bool NearAWord(const std::string& small) const {
    if (small.size() < 4) return false;
    const auto known = Known();
    return std::ranges::any_of(known, [&](std::string_view word) { return word.size() >= 4 && OneSlipApart(small, LowerCase(word)); });
  }
  Status NotUnderstoodWord(const std::string& small) const {
    const auto known = Known();
    std::string hint = DidYouMean(small, known);
    if (hint.empty() && row_.side != SideUse::kNoSide && event_.side == RunSide::kNone && small.size() == 1) hint = "type a or r for the side";
    return Refused(Shown(small) + " is not understood after " + std::string(row_.verb), hint.empty() ? "see: " + VerbUsage(row_.id) + "; other words go after ;" : hint);
  }

  Status Whole() const {
    // A device's number says its side; without one it must be said.
    if (row_.side == SideUse::kMustSide && event_.side == RunSide::kNone && ValueOf(event_, RunField::kTag) == nullptr)
      return Refused("the side is missing after " + std::string(row_.verb), "type a for antegrade or r for retrograde");
    for (const VerbField& field : row_.fields) {
      if (field.need != FieldNeed::kMust || ValueOf(event_, field.id) != nullptr) continue;
      std::string words;
      for (const RunWord& word : field.words) words += (words.empty() ? "one of " : ", ") + std::string(word.word);
      return Refused(std::string(row_.verb) + " needs " + (words.empty() ? "its " + KeyName(field.id) : words), "see: " + VerbUsage(row_.id));
    }
    if (row_.needs_one && event_.values.empty()) return Refused("nothing is said after " + std::string(row_.verb), "see: " + VerbUsage(row_.id));
    return Done{};
  }

  const VerbRow& row_;
  const LogRoom& room_;
  RunEvent event_;
};

Status TakeTime(const LogWords& split, const LogRoom& room, LogLine& line) {
  if (split.times.empty()) return Done{};
  if (split.times.size() > 1) return Refused("the time is given twice", "leave one @ out");
  auto at = ParseLogTime(split.times.front(), room);
  if (!at.ok()) return at.error();
  line.at = *at;
  return Done{};
}

// "w2 out" is of a wire, "nitrate 200mcg" of a drug: the verb may be left out where the word can mean nothing else.
std::string_view VerbLeftOut(const std::string& small) {
  constexpr std::pair<char, std::string_view> kNumbered[] = {{'w', "wire"}, {'m', "mc"}, {'g', "guide"}, {'e', "extension"}};
  for (const auto& [letter, verb] : kNumbered)
    if (small.size() > 1 && small.size() < 5 && small[0] == letter && small.find_first_not_of("0123456789", 1) == std::string::npos) return verb;
  const VerbField* drug = FieldOf(RowOf(Verb::kDrug), RunField::kDrug);
  return KeptWord(drug->words, small).empty() || small == "other" ? std::string_view() : std::string_view("drug");
}

Result<LogLine> VerbLine(const LogWords& split, std::span<const std::string> words, const LogRoom& room, LogLine line) {
  const VerbRow* row = FindVerb(LowerCase(words[0]));
  std::vector<std::string> completed;
  if (const std::string_view verb = row == nullptr ? VerbLeftOut(LowerCase(words[0])) : std::string_view(); !verb.empty()) {
    completed.emplace_back(verb);
    completed.insert(completed.end(), words.begin(), words.end());
    words = completed;
    row = FindVerb(verb);
  }
  if (row == nullptr) {
    std::vector<std::string_view> known = {"note", "fact", "undo", "amend", "withdraw"};
    for (const VerbRow& one : RunTable()) known.push_back(one.verb);
    const std::string hint = DidYouMean(LowerCase(words[0]), known);
    return Refused(Shown(words[0]) + " is no word of the log", hint.empty() ? "type note TEXT, or see fairlead log --help" : hint);
  }
  VerbReader reader(*row, room);
  if (auto taken = reader.Take(words.subspan(1)); !taken.ok()) return taken.error();
  RunEvent event = std::move(reader).Finish();
  event.remark = split.remark;
  if (event.remark.size() > 400) return Refused("the remark is longer than 400 bytes", "write a note");
  line.data = std::move(event);
  return line;
}

// "#12" names an entry by its number in the journal.
std::optional<std::int64_t> EntryNumber(std::string_view word) {
  if (!word.starts_with('#') || word.size() < 2 || word.size() > 9 || word.find_first_not_of("0123456789", 1) != std::string_view::npos) return std::nullopt;
  std::int64_t number = 0;
  for (const char c : word.substr(1)) number = number * 10 + (c - '0');
  return number;
}

// A note or a fact: the rest of the line as it was typed, but for a time at its end.
Result<LogLine> PlainLine(std::string_view text, const LogRoom& room, LogLine line) {
  const std::size_t last = text.find_last_of(" \t");
  if (last != std::string_view::npos && text.substr(last + 1).starts_with('@')) {
    if (auto at = ParseLogTime(text.substr(last + 2), room); at.ok()) {
      line.at = *at;
      text = text.substr(0, text.find_last_not_of(" \t", last) + 1);
    }
  }
  auto data = ParsePlainLine(text);
  if (!data.ok()) return data.error();
  line.data = std::move(*data);
  return line;
}

Result<LogLine> ChangeLine(std::string_view text, const LogWords& split, const LogRoom& room, const std::string& verb) {
  LogLine line;
  std::span<const std::string> words(split.words);
  words = words.subspan(1);
  if (!words.empty()) {
    if (const auto number = EntryNumber(words[0])) {
      line.seq = *number;
      words = words.subspan(1);
    }
  }
  if (verb == "withdraw") {
    if (line.seq == 0 || !words.empty()) return Refused("withdraw needs the number of an entry", "type withdraw #12 ; WHY");
    line.what = LogLine::What::kWithdraw;
    line.data = Withdrawn{split.remark.empty() ? "typed in error" : split.remark};
    return line;
  }
  line.what = LogLine::What::kAmend;
  if (auto time = TakeTime(split, room, line); !time.ok()) return time.error();
  if (words.empty() && line.seq > 0 && line.at) {
    line.only_time = true;
    return line;
  }
  if (words.empty()) return Refused("amend needs what the entry shall say", "type amend contrast =180, or amend #12 @10:40");
  const std::string first = LowerCase(words[0]);
  if (first == "note" || first == "fact") return PlainLine(text.substr(text.find(words[0])), room, line);
  return VerbLine(split, words, room, line);
}

}  // namespace

Result<LogLine> ParseLogLine(std::string_view text, const LogRoom& room) {
  if (text.size() > kLongestLogLine) return Refused("the line is longer than 4000 bytes", "write several");
  if (text.find_first_of(std::string_view("\n\r\0", 3)) != std::string_view::npos) return Refused("an entry is one line", "write several entries");
  const LogWords split = SplitLogLine(text);
  if (split.words.empty()) return Refused("the line is empty", "type note TEXT, or see fairlead log --help");
  const std::string verb = LowerCase(split.words[0]);
  if (verb == "note" || verb == "fact") return PlainLine(text, room, {});
  if (verb == "undo" && split.words.size() == 1) {
    LogLine line;
    line.what = LogLine::What::kUndo;
    return line;
  }
  if (verb == "amend" || verb == "withdraw") return ChangeLine(text, split, room, verb);
  LogLine line;
  if (auto time = TakeTime(split, room, line); !time.ok()) return time.error();
  return VerbLine(split, split.words, room, line);
}

}  // namespace fairlead
