// SPDX-License-Identifier: Apache-2.0
// Help and completion, made from the table.
#include <algorithm>
#include <cstddef>

#include "casebook/log/log_line.h"
#include "casebook/log/log_words.h"

namespace fairlead {
namespace {

std::string WordList(const VerbField& field) {
  std::string list;
  for (const RunWord& word : field.words) list += (list.empty() ? "" : "|") + std::string(word.word);
  return list;
}

std::string Letters(const VerbField& field) {
  std::string text;
  for (const char c : std::string(field.letters) + " ") text += c == ' ' ? "N|" : std::string(1, c);
  text.pop_back();
  return text;
}

std::string FieldUsage(const VerbField& field) {
  const FieldRow& row = RowOf(field.id);
  std::string text;
  switch (row.type) {
    case FieldType::kWord: text = WordList(field); break;
    case FieldType::kTag: text = Letters(field); break;
    case FieldType::kName: text = (field.keyed ? KeyName(field.id) + ":" : "") + std::string("NAME"); break;
    case FieldType::kNumber: {
      const std::string unit = row.units.empty() ? "" : std::string(row.units.front().unit);
      if (!field.plus.empty()) text = LowerCase(field.plus) + "|" + LowerCase(field.minus) + "NUMBER";
      else text = (field.keyed ? KeyName(field.id) + ":" : "") + (field.sign == 0 ? "" : std::string(1, field.sign)) + "NUMBER" + (field.bare && !unit.empty() ? "[" + unit + "]" : unit);
      break;
    }
  }
  return field.need == FieldNeed::kMust ? (text.find('|') == std::string::npos ? text : "(" + text + ")") : "[" + text + "]";
}

std::string Limits(const VerbField& field) {
  const FieldRow& row = RowOf(field.id);
  const std::string unit = row.units.empty() ? "" : " " + std::string(row.units.front().unit);
  return std::string(row.label) + " " + ShortestDigits(field.low) + " to " + ShortestDigits(field.high) + unit;
}

bool Begins(std::string_view whole, std::string_view part) { return LowerCase(whole).starts_with(part); }

void OfferVerbs(std::string_view part, std::vector<LogChoice>& choices) {
  for (const VerbRow& row : RunTable())
    if (row.verb.starts_with(part)) choices.push_back({std::string(row.verb), std::string(row.says)});
  for (const auto& [word, says] : {std::pair{"note", "free text"}, {"fact", "a fact of the case: NAME VALUE"}, {"undo", "take back one's own last entry"},
                                   {"amend", "say anew what the last entry of that verb says"}, {"withdraw", "#NUMBER: an entry no longer counts"}})
    if (std::string_view(word).starts_with(part)) choices.push_back({word, says});
}

void OfferField(const VerbField& field, std::string_view part, const std::vector<std::string>& tags, std::vector<LogChoice>& choices) {
  const FieldRow& row = RowOf(field.id);
  for (const RunWord& word : field.words)
    if (Begins(word.word, part)) choices.push_back({std::string(word.word), KeyName(field.id)});
  if (row.type == FieldType::kTag)
    for (const std::string& tag : tags)
      if (tag.starts_with(part) && FaultOf(field, {field.id, 0.0, tag}).empty()) choices.push_back({tag, "in the body"});
  if (field.keyed && Begins(KeyName(field.id) + ":", part)) choices.push_back({KeyName(field.id) + ":", std::string(row.label)});
  const auto number = ReadTypedNumber(part);
  if (row.type != FieldType::kNumber || !number || field.keyed || !field.plus.empty() || field.sign != number->sign) return;
  for (const RunUnit& unit : row.units.first(std::min<std::size_t>(row.units.size(), 1)))
    if (Begins(unit.unit, number->unit)) choices.push_back({std::string(part.substr(0, part.size() - number->unit.size())) + std::string(unit.unit), std::string(row.label)});
}

}  // namespace

std::string VerbUsage(Verb verb) {
  const VerbRow& row = RowOf(verb);
  std::string text(row.verb);
  if (row.side == SideUse::kMustSide) text += " a|r";
  if (row.side == SideUse::kMaySide) text += " [a|r]";
  for (std::size_t i = 0; i < row.fields.size(); ++i) {
    const VerbField& field = row.fields[i];
    if (field.joined != 0) {
      const bool must = row.fields[i + 1].need == FieldNeed::kMust;
      std::string pair = "NUMBER" + (must ? std::string(1, field.joined) + "NUMBER" : "[" + std::string(1, field.joined) + "NUMBER]");
      text += " " + (field.need == FieldNeed::kMust ? pair : "[" + pair + "]");
      ++i;
      continue;
    }
    text += " " + FieldUsage(field);
  }
  return text;
}

std::string LogHelp() {
  std::string text =
      "VERB [SIDE] [OBJECT] [VALUE][UNIT] [WORDS] [@TIME] [; REMARK]   one entry a line, in capitals or not\n"
      "SIDE is a (antegrade) or r (retrograde). The log numbers wires (w1) and catheters (m1, g1, e1).\n"
      "@TIME is when it happened: @10:42, @10:42:30, @-5m, or a date and time with a zone. Without it: now.\n"
      "note TEXT           free text\n"
      "fact NAME VALUE     a fact of the case; fairlead facts lists them\n"
      "undo                takes back one's own last entry within two minutes\n"
      "amend VERB ...      says anew what the last entry of that verb says; amend #12 ... names one by its number\n"
      "amend #12 @10:40    moves an entry in time\n"
      "withdraw #12 ; WHY  an entry no longer counts\n"
      "(01)GTIN(10)LOT...  a GS1 label, scanned or typed: this package was opened; after a verb it names the device\n";
  std::string_view group;
  for (const VerbRow& row : RunTable()) {
    if (row.group != group) text += "\n" + std::string(row.group) + "\n";
    group = row.group;
    text += "  " + VerbUsage(row.id) + "\n      " + std::string(row.says) + "; for example: " + std::string(row.example) + "\n";
    if (!row.also.empty()) text += "      also: " + std::string(row.also) + "\n";
    std::string limits;
    for (const VerbField& field : row.fields)
      if (RowOf(field.id).type == FieldType::kNumber) limits += (limits.empty() ? "" : "; ") + Limits(field);
    if (!limits.empty()) text += "      taken: " + limits + "\n";
  }
  return text;
}

std::vector<LogChoice> CompleteLogLine(std::string_view text, const std::vector<std::string>& tags) {
  std::vector<LogChoice> choices;
  if (text.size() > kLongestLogLine || text.find(';') != std::string_view::npos) return choices;
  LogWords split = SplitLogLine(text);
  const bool between = text.empty() || text.back() == ' ' || text.back() == '\t';
  std::string part;
  if (!between && !split.words.empty()) {
    part = LowerCase(split.words.back());
    split.words.pop_back();
  }
  if (!split.words.empty() && LowerCase(split.words[0]) == "amend") split.words.erase(split.words.begin());
  if (split.words.empty()) {
    OfferVerbs(part, choices);
    return choices;
  }
  const VerbRow* row = FindVerb(LowerCase(split.words[0]));
  if (row == nullptr) return choices;
  const auto typed = [&](const VerbField& field) {
    return std::any_of(split.words.begin() + 1, split.words.end(), [&](const std::string& word) { return !field.words.empty() && !KeptWord(field.words, LowerCase(word)).empty(); });
  };
  const bool sided = std::any_of(split.words.begin() + 1, split.words.end(), [](const std::string& word) { return word.size() == 1 && (word == "a" || word == "r" || word == "A" || word == "R"); });
  if (row->side != SideUse::kNoSide && !sided)
    for (const auto& [letter, says] : {std::pair{"a", "antegrade"}, {"r", "retrograde"}})
      if (std::string_view(says).starts_with(part)) choices.push_back({letter, says});
  for (const VerbField& field : row->fields)
    if (!typed(field)) OfferField(field, part, tags, choices);
  return choices;
}

}  // namespace fairlead
