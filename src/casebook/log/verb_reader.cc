// SPDX-License-Identifier: Apache-2.0
// The words after a verb, one after another, into an event: by the verb's row of the table, and by nothing else.
#include "casebook/log/verb_reader.h"

#include <algorithm>
#include <cstddef>
#include <utility>

#include "casebook/log/log_words.h"
#include "measure/nearest.h"

namespace fairlead {
namespace {

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
      return LogRefusal(QuotedWord(word) + " and " + QuotedWord(held->text) + " cannot both be the " + KeyName(field.id), "leave one out");
    RunValue value{field.id, 0.0, std::move(word)};
    if (std::string fault = FaultOf(field, value); !fault.empty()) return LogRefusal(std::move(fault), "see: " + VerbUsage(row_.id));
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
      if (!typed || typed->sign != 0 || typed->joined != 0 || !typed->turned.empty()) return LogRefusal(QuotedWord(text) + " is no number", "type " + key + ":NUMBER");
      const auto factor = typed->unit.empty() ? std::optional(1.0) : UnitFactor(RowOf(field.id), typed->unit);
      if (!factor) return LogRefusal(QuotedWord(typed->unit) + " is no unit of " + key, "leave it out");
      return PutNumber(field, typed->first * *factor);
    }
    const std::vector<std::string_view> known(keys.begin(), keys.end());
    std::string hint = DidYouMean(key, known);
    return LogRefusal(QuotedWord(key + ":") + " is nothing that " + std::string(row_.verb) + " takes", hint.empty() ? "see: " + VerbUsage(row_.id) : hint);
  }

  Status PutNumber(const VerbField& field, double number) {
    const FieldRow& row = RowOf(field.id);
    const std::string unit = row.units.empty() ? "" : " " + std::string(row.units.front().unit);
    if (ValueOf(event_, field.id) != nullptr) return LogRefusal("the " + std::string(row.label) + " is given twice", "leave one out");
    if (!FaultOf(field, {field.id, number, ""}).empty())
      return LogRefusal(std::string(row.label) + " " + ShortestDigits(number) + unit + " cannot be", "look at the source again and type what it says");
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
    if (is_signed && typed.sign == 0) return LogRefusal("a bare number may be one more or the total", "put + before what is added, = before the total");
    if (typed.sign == '-') return LogRefusal(QuotedWord(word) + " is below nothing", "amend the entry that was wrong");
    std::string units;
    for (const VerbField& field : row_.fields) {
      if (RowOf(field.id).type != FieldType::kNumber || RowOf(field.id).units.empty() || field.keyed) continue;
      const std::string unit(RowOf(field.id).units.front().unit);
      if (units.find(unit) == std::string::npos) units += (units.empty() ? "" : ", ") + unit;
    }
    if (units.empty()) return LogRefusal(std::string(row_.verb) + " takes no number " + QuotedWord(word), "see: " + VerbUsage(row_.id));
    return LogRefusal("what " + QuotedWord(word) + " counts is not said", "put a unit after it: " + units);
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
    return LogRefusal(QuotedWord(small) + " is not understood after " + std::string(row_.verb), hint.empty() ? "see: " + VerbUsage(row_.id) + "; other words go after ;" : hint);
  }

  Status Whole() const {
    // A device's number says its side; without one it must be said.
    if (row_.side == SideUse::kMustSide && event_.side == RunSide::kNone && ValueOf(event_, RunField::kTag) == nullptr)
      return LogRefusal("the side is missing after " + std::string(row_.verb), "type a for antegrade or r for retrograde");
    for (const VerbField& field : row_.fields) {
      if (field.need != FieldNeed::kMust || ValueOf(event_, field.id) != nullptr) continue;
      std::string words;
      for (const RunWord& word : field.words) words += (words.empty() ? "one of " : ", ") + std::string(word.word);
      return LogRefusal(std::string(row_.verb) + " needs " + (words.empty() ? "its " + KeyName(field.id) : words), "see: " + VerbUsage(row_.id));
    }
    if (row_.needs_one && event_.values.empty()) return LogRefusal("nothing is said after " + std::string(row_.verb), "see: " + VerbUsage(row_.id));
    return Done{};
  }

  const VerbRow& row_;
  const LogRoom& room_;
  RunEvent event_;
};

}  // namespace

Error LogRefusal(std::string what, std::string to_do) { return {std::move(what), "the log line", std::move(to_do)}; }
std::string QuotedWord(std::string_view word) { return "\"" + std::string(word.substr(0, 40)) + "\""; }

Result<RunEvent> ReadVerbWords(const VerbRow& row, std::span<const std::string> words, const LogRoom& room) {
  VerbReader reader(row, room);
  if (auto taken = reader.Take(words); !taken.ok()) return taken.error();
  return std::move(reader).Finish();
}

}  // namespace fairlead
