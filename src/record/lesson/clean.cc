// SPDX-License-Identifier: Apache-2.0
#include "record/lesson/clean.h"

#include <algorithm>
#include <cctype>
#include <set>

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

Found PatternAt(std::string_view text, std::size_t at) {
  for (const std::string_view day : {"dddd-dd-dd", "dd.dd.dddd", "dd/dd/dddd", "d.d.dddd", "dd.d.dddd", "d.dd.dddd", "d/d/dddd"})
    if (const std::size_t size = Matches(text, at, day)) return {size, "(date)"};
  for (const std::string_view time : {"dd:dd:dd", "dd:dd", "d:dd"})
    if (const std::size_t size = Matches(text, at, time)) return {size, "(time)"};
  if (at > 0 && IsLetter(text[at - 1])) return {};
  // Ids of entries and cases, hashes, record numbers: long runs of letters and digits with several digits in them.
  std::size_t end = at, digits = 0;
  while (end < text.size() && std::isalnum(static_cast<unsigned char>(text[end])) != 0) digits += IsDigit(text[end++]) ? 1U : 0U;
  const std::size_t size = end - at;
  if ((size >= 6 && digits == size) || (size >= 9 && digits >= 4)) return {size, "(number)"};
  return {};
}

}  // namespace

std::string Unrecognised(std::string_view text, const LessonSettings& settings) {
  std::string clean;
  for (std::size_t at = 0; at < text.size();) {
    if (const std::string* word = MaskedAt(text, at, settings.mask)) {
      std::string small;
      for (const char c : *word) small += Small(c);
      clean += settings.tag ? settings.tag(small) : "(masked)";
      at += word->size();
    } else if (const Found found = PatternAt(text, at); found.size > 0) {
      clean += found.instead;
      at += found.size;
    } else {
      clean += text[at++];
    }
  }
  return clean;
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

}  // namespace fairlead
