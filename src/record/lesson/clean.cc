// SPDX-License-Identifier: Apache-2.0
#include "record/lesson/clean.h"

#include <algorithm>
#include <cctype>
#include <set>

#include "record/lesson/words.h"

namespace fairlead {
namespace {

bool IsLetter(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || static_cast<unsigned char>(c) >= 0x80; }
bool IsDigit(char c) { return c >= '0' && c <= '9'; }
char Small(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

bool SameAt(std::string_view text, std::size_t at, std::string_view word) {
  if (text.size() - at < word.size()) return false;
  return std::ranges::equal(text.substr(at, word.size()), word, [](char a, char b) { return Small(a) == Small(b); });
}

// A masked word as a whole word: "AB" is not found inside "about".
const std::string* MaskedAt(std::string_view text, std::size_t at, const std::vector<std::string>& mask) {
  if (at > 0 && IsLetter(text[at - 1])) return nullptr;
  const std::string* longest = nullptr;
  for (const std::string& word : mask) {
    if (word.empty() || !SameAt(text, at, word)) continue;
    const std::size_t end = at + word.size();
    if (end < text.size() && IsLetter(text[end])) continue;
    if (longest == nullptr || word.size() > longest->size()) longest = &word;
  }
  return longest;
}

// How many characters of a pattern stand here: 'd' is a digit, anything else itself. 0 if it does not.
std::size_t Matches(std::string_view text, std::size_t at, std::string_view pattern) {
  if (text.size() - at < pattern.size() || (at > 0 && IsLetter(text[at - 1]))) return 0;
  for (std::size_t i = 0; i < pattern.size(); ++i) {
    const char c = text[at + i];
    if (pattern[i] == 'd' ? !IsDigit(c) : c != pattern[i]) return 0;
  }
  const std::size_t end = at + pattern.size();
  return end < text.size() && IsDigit(text[end]) ? 0 : pattern.size();
}

struct Found {
  std::size_t size = 0;
  std::string_view instead;
};

// How many letters stand from here on; '-' and "'" inside a word are of it.
std::size_t WordAt(std::string_view text, std::size_t at) {
  std::size_t end = at;
  while (end < text.size() && ((IsLetter(text[end]) && !IsDigit(text[end])) || (end > at && (text[end] == '-' || text[end] == '\'') && end + 1 < text.size() && IsLetter(text[end + 1]) && !IsDigit(text[end + 1])))) ++end;
  return end - at;
}
std::size_t DigitsAt(std::string_view text, std::size_t at) {
  std::size_t end = at;
  while (end < text.size() && IsDigit(text[end])) ++end;
  return end - at;
}
std::size_t BlanksAt(std::string_view text, std::size_t at) {
  std::size_t end = at;
  while (end < text.size() && (text[end] == ' ' || text[end] == ',' || text[end] == '.')) ++end;
  return end - at;
}

bool IsMonth(std::string_view word) {
  static constexpr std::string_view kMonths[] = {"january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december"};
  return std::ranges::any_of(kMonths, [word](std::string_view month) { return (word.size() == month.size() || word.size() == 3) && SameAt(word, 0, month.substr(0, word.size())); });
}

// "7 March 1951", "7th of March", "March 7, 1951", "March 1951".
std::size_t SpokenDate(std::string_view text, std::size_t at) {
  if (at > 0 && IsLetter(text[at - 1])) return 0;
  std::size_t end = at;
  const std::size_t day = DigitsAt(text, end);
  if (day > 2) return 0;
  if (day > 0) {
    end += day;
    for (const std::string_view ending : {"st", "nd", "rd", "th"})
      if (SameAt(text, end, ending)) end += 2;
    end += BlanksAt(text, end);
    if (SameAt(text, end, "of ")) end += 3;
  }
  const std::size_t month = WordAt(text, end);
  if (month < 3 || !IsMonth(text.substr(end, month))) return 0;
  const std::string_view name = text.substr(end, month);
  // "may" and "march" are verbs too: small, they need a year.
  const bool verb = (name == "may" || name == "mar" || name == "march") && DigitsAt(text, end + month + BlanksAt(text, end + month)) != 4;
  if (verb) return 0;
  end += month;
  std::size_t more = end + BlanksAt(text, end), number = DigitsAt(text, more);
  if (number == 0 || number == 3 || number > 4) return day > 0 ? end - at : 0;
  end = more + number;
  more = end + BlanksAt(text, end), number = DigitsAt(text, more);
  return (number == 4 ? more + number : end) - at;
}

// A telephone or record number in groups: begins with 0 or +, or is joined by '-' or '/', 8 digits or more in all.
std::size_t GroupedNumber(std::string_view text, std::size_t at) {
  if (at > 0 && (IsLetter(text[at - 1]) || text[at - 1] == '.')) return 0;
  std::size_t end = at, digits = 0, groups = 0;
  const bool dialled = text[at] == '+' || text[at] == '0';
  if (text[at] == '+') ++end;
  while (const std::size_t group = DigitsAt(text, end)) {
    digits += group, ++groups, end += group;
    const bool joined = end + 1 < text.size() && IsDigit(text[end + 1]) && (text[end] == '-' || text[end] == '/' || (dialled && text[end] == ' '));
    if (!joined) break;
    ++end;
  }
  return groups > 1 && digits >= 8 ? end - at : 0;
}

std::size_t MailAddress(std::string_view text, std::size_t at) {
  if (at > 0 && IsLetter(text[at - 1])) return 0;
  const auto part = [&text](std::size_t from) {
    std::size_t end = from;
    while (end < text.size() && (IsLetter(text[end]) || text[end] == '.' || text[end] == '-' || text[end] == '_' || text[end] == '+')) ++end;
    return end;
  };
  const std::size_t name = part(at);
  if (name == at || name >= text.size() || text[name] != '@') return 0;
  const std::size_t end = part(name + 1);
  return end > name + 1 ? end - at : 0;
}

Found PatternAt(std::string_view text, std::size_t at) {
  for (const std::string_view day : {"dddd-dd-dd", "dd.dd.dddd", "dd/dd/dddd", "d.d.dddd", "dd.d.dddd", "d.dd.dddd", "d/d/dddd"})
    if (const std::size_t size = Matches(text, at, day)) return {size, "(date)"};
  for (const std::string_view time : {"dd:dd:dd", "dd:dd", "d:dd"})
    if (const std::size_t size = Matches(text, at, time)) return {size, "(time)"};
  if (const std::size_t size = SpokenDate(text, at)) return {size, "(date)"};
  if (const std::size_t size = GroupedNumber(text, at)) return {size, "(number)"};
  if (const std::size_t size = MailAddress(text, at)) return {size, "(address)"};
  if (at > 0 && IsLetter(text[at - 1])) return {};
  // Ids of entries and cases, hashes, record numbers: long runs of letters and digits with several digits in them.
  std::size_t end = at, digits = 0;
  while (end < text.size() && std::isalnum(static_cast<unsigned char>(text[end])) != 0) digits += IsDigit(text[end++]) ? 1U : 0U;
  const std::size_t size = end - at;
  if ((size >= 6 && digits == size) || (size >= 9 && digits >= 4)) return {size, "(number)"};
  return {};
}

bool IsOneOf(const std::vector<std::string>& words, std::string_view word) {
  return std::ranges::any_of(words, [word](const std::string& each) { return SameWord(each, word); });
}

// A capital, or a letter beyond ASCII that may be one.
bool StartsName(std::string_view word) { return !word.empty() && ((word.front() >= 'A' && word.front() <= 'Z') || static_cast<unsigned char>(word.front()) >= 0x80); }

}  // namespace

std::string Unrecognised(std::string_view text, const LessonSettings& settings) {
  std::string clean;
  std::size_t judged = 0;  // up to here the words stay, but for a masked one or a number within them: "stent/Quill"
  for (std::size_t at = 0; at < text.size();) {
    if (const std::string* masked = MaskedAt(text, at, settings.mask)) {
      std::string small;
      for (const char c : *masked) small += Small(c);
      clean += settings.tag ? settings.tag(small) : "(masked)";
      at += masked->size();
    } else if (const Found found = PatternAt(text, at); found.size > 0) {
      clean += found.instead;
      at += found.size;
    } else if (const std::size_t size = at < judged ? 0 : WordFrom(text, at); size > 0) {
      const std::string_view word = text.substr(at, size);
      judged = at + size;
      if (MayBeName(text, at, size) && !IsOneOf(settings.keep, word)) clean += "(name?)", at = judged;
    } else {
      clean += text[at++];
    }
  }
  return clean;
}

std::vector<std::string> NamesTakenOut(std::string_view text, const LessonSettings& settings) {
  std::set<std::string> names;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t size = WordFrom(text, at);
    const std::string_view word = text.substr(at, size);
    const bool named = size > 0 && MayBeName(text, at, size) && !IsOneOf(settings.keep, word) && !IsOneOf(settings.mask, word);
    if (named && PatternAt(text, at).size == 0) names.insert(std::string(word));
    at += std::max<std::size_t>(size, 1);
  }
  return {names.begin(), names.end()};
}

std::vector<std::string> NamesThatMayStay(std::string_view text, const LessonSettings& settings) {
  std::set<std::string> names;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t size = WordFrom(text, at);
    const std::string_view word = text.substr(at, size);
    if (IsWordAndName(text, at, size) && !IsOneOf(settings.keep, word) && !IsOneOf(settings.mask, word)) {
      std::string small;
      for (const char c : word) small += Small(c);
      names.insert(std::move(small));
    }
    at += std::max<std::size_t>(size, 1);
  }
  return {names.begin(), names.end()};
}

std::vector<std::string> NamesIn(const State& state) {
  static constexpr std::string_view kRoles[] = {"op", "operator", "recorder", "nurse", "fellow", "page", "demo", "command line", "engine", "fairlead", "lab"};
  std::set<std::string> names;
  const auto add = [&names](std::string name) {
    std::string small;
    for (const char c : name) small += Small(c);
    const std::size_t end = small.find_last_not_of("0123456789 ");
    const std::string role = end == std::string::npos ? "" : small.substr(0, end + 1);
    if (role.size() > 1 && std::ranges::find(kRoles, role) == std::end(kRoles)) names.insert(std::move(name));
  };
  for (const Entry& entry : state.entries) {
    add(entry.by);
    add(entry.device);
    if (const auto* opened = std::get_if<CaseOpened>(&entry.data)) add(opened->room);
  }
  return {names.begin(), names.end()};
}

std::vector<std::string> TitledNames(std::string_view text) {
  static constexpr std::string_view kTitles[] = {"mr", "mrs", "ms", "miss", "mister", "dr", "doctor", "prof", "professor", "sir", "sister", "nurse", "patient", "surgeon", "colleague", "herr", "frau", "monsieur", "madame", "señor", "señora"};
  std::set<std::string> names;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t size = WordAt(text, at);
    if (size == 0) {
      ++at;
      continue;
    }
    const std::string_view word = text.substr(at, size);
    at += size;
    if (std::ranges::none_of(kTitles, [word](std::string_view title) { return title.size() == word.size() && SameAt(word, 0, title); })) continue;
    // "Dr. Oxbow" is one name, "the patient. She" two sentences.
    if (at < text.size() && (text[at] == ',' || (text[at] == '.' && size > 4))) continue;
    // One or two words with a capital, behind an initial or not.
    for (int count = 0; count < 3 && at < text.size() && text[at] != '\n'; ++count) {
      const std::size_t next = at + BlanksAt(text, at), length = WordAt(text, next);
      if (length == 0 || !StartsName(text.substr(next, length))) break;
      if (length > 1) names.insert(std::string(text.substr(next, length)));
      at = next + length;
    }
  }
  return {names.begin(), names.end()};
}

}  // namespace fairlead
