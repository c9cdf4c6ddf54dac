// SPDX-License-Identifier: Apache-2.0
#include "casebook/log/log_line.h"

#include <span>
#include <utility>

#include "casebook/log/fact_line.h"
#include "casebook/log/log_words.h"
#include "casebook/log/verb_reader.h"
#include "measure/nearest.h"

namespace fairlead {
namespace {

Status TakeTime(const LogWords& split, const LogRoom& room, LogLine& line) {
  if (split.times.empty()) return Done{};
  if (split.times.size() > 1) return LogRefusal("the time is given twice", "leave one @ out");
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
    return LogRefusal(QuotedWord(words[0]) + " is no word of the log", hint.empty() ? "type note TEXT, or see fairlead log --help" : hint);
  }
  auto event = ReadVerbWords(*row, words.subspan(1), room);
  if (!event.ok()) return event.error();
  event->remark = split.remark;
  if (event->remark.size() > 400) return LogRefusal("the remark is longer than 400 bytes", "write a note");
  line.data = std::move(*event);
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
    if (line.seq == 0 || !words.empty()) return LogRefusal("withdraw needs the number of an entry", "type withdraw #12 ; WHY");
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
  if (words.empty()) return LogRefusal("amend needs what the entry shall say", "type amend contrast =180, or amend #12 @10:40");
  const std::string first = LowerCase(words[0]);
  if (first == "note" || first == "fact") return PlainLine(text.substr(text.find(words[0])), room, line);
  return VerbLine(split, words, room, line);
}

}  // namespace

Result<LogLine> ParseLogLine(std::string_view text, const LogRoom& room) {
  if (text.size() > kLongestLogLine) return LogRefusal("the line is longer than 4000 bytes", "write several");
  if (text.find_first_of(std::string_view("\n\r\0", 3)) != std::string_view::npos) return LogRefusal("an entry is one line", "write several entries");
  const LogWords split = SplitLogLine(text);
  if (split.words.empty()) return LogRefusal("the line is empty", "type note TEXT, or see fairlead log --help");
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
