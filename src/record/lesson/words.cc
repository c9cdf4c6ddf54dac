// SPDX-License-Identifier: Apache-2.0
#include "record/lesson/words.h"

#include <algorithm>
#include <string>

// The lists, one word a line, sorted by byte (cmake/words.cmake).
extern "C" const char fairlead_words_plain[], fairlead_words_plain_end[], fairlead_words_names[], fairlead_words_names_end[], fairlead_words_trade[], fairlead_words_trade_end[];

namespace fairlead {
namespace {

bool Digit(char c) { return c >= '0' && c <= '9'; }
bool Capital(char c) { return c >= 'A' && c <= 'Z'; }
bool Letter(char c) { return Capital(c) || (c >= 'a' && c <= 'z') || static_cast<unsigned char>(c) >= 0x80; }
char Lower(char c) { return Capital(c) ? static_cast<char>(c - 'A' + 'a') : c; }
std::string Lowered(std::string_view word) {
  std::string small(word);
  std::ranges::transform(small, small.begin(), Lower);
  return small;
}

bool Listed(std::string_view list, std::string_view word) {
  while (!list.empty()) {
    const std::size_t middle = list.size() / 2;
    const std::size_t before = list.substr(0, middle).rfind('\n'), start = before == std::string_view::npos ? 0 : before + 1;
    const std::size_t end = std::min(list.find('\n', start), list.size());
    const int order = word.compare(list.substr(start, end - start));
    if (order == 0) return true;
    list = order < 0 ? list.substr(0, start) : list.substr(std::min(end + 1, list.size()));
  }
  return false;
}
bool InDictionary(std::string_view small) { return Listed({fairlead_words_plain, fairlead_words_plain_end}, small); }
bool IsAlsoName(std::string_view small) { return Listed({fairlead_words_names, fairlead_words_names_end}, small); }
bool OfTrade(std::string_view small) { return Listed({fairlead_words_trade, fairlead_words_trade_end}, small); }

// Signs beyond ASCII that people write in the trade's texts: degrees, +-, micro, multiplied, dashes, quotes, bounds, arrows, dots, Greek alpha and beta.
constexpr std::string_view kSigns[] = {"°", "±", "µ", "μ", "×", "–", "—", "’", "‘", "“", "”", "≥", "≤", "→", "…", "²", "³", "½", "•", "·"};
std::size_t SignAt(std::string_view text, std::size_t at) {
  for (const std::string_view sign : kSigns)
    if (text.substr(at).starts_with(sign)) return sign.size();
  return 0;
}

// Where the character begins that the byte is of (RFC 3629).
std::size_t LeadOf(std::string_view text, std::size_t at) {
  for (int back = 0; back < 3 && at > 0 && (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U; ++back) --at;
  return at;
}
bool Part(std::string_view text, std::size_t at) {
  if (at >= text.size()) return false;
  return Digit(text[at]) || (Letter(text[at]) && (static_cast<unsigned char>(text[at]) < 0x80 || SignAt(text, LeadOf(text, at)) == 0));
}
bool Joint(char c) { return c == '-' || c == '\'' || c == '_' || c == '/'; }

// A sentence begins here: nothing but blanks and marks behind a full stop, a colon, a line's end or the text's.
bool BeginsSentence(std::string_view text, std::size_t at) {
  while (at > 0) {
    const char before = text[--at];
    if (before == '.' || before == ':' || before == '!' || before == '?' || before == '\n') return true;
    if (before != ' ' && before != '(' && before != '"' && before != '-' && before != '*') return false;
  }
  return true;
}

// "person-3f29ab": what stands for a name already.
bool IsStandIn(std::string_view word) {
  constexpr std::string_view kHead = "person-";
  return word.size() == kHead.size() + 6 && word.starts_with(kHead) && word.find_first_not_of("0123456789abcdef", kHead.size()) == std::string_view::npos;
}

// "S-12": a letter and at most two digits, as channels and wires are called.
bool IsTag(std::string_view word) { return word.size() >= 3 && word.size() <= 4 && Letter(word[0]) && word[1] == '-' && std::ranges::all_of(word.substr(2), Digit); }

// What stands between joints: "re", "wire". `begins`: it is the first of a sentence.
bool PartMayBeName(std::string_view part, bool begins) {
  const std::size_t letters = static_cast<std::size_t>(std::ranges::count_if(part, Letter)), digits = part.size() - letters;
  if (letters == 0) return false;  // numbers have their own search
  const std::string small = Lowered(part);
  if (digits > 0) {
    // A number with a unit, a segment, a frame's view: few digits, and letters of the trade.
    const auto of_letters = [&](auto which) {
      std::string kept;
      for (const char c : small)
        if (which(c)) kept += c;
      return kept;
    };
    const std::string unit = of_letters(Letter);
    return digits > 4 || !(unit.size() == 1 || OfTrade(unit) || (unit.size() == 2 && InDictionary(unit)));
  }
  if (letters == 1) return Capital(part.front()) && part.front() != 'A' && part.front() != 'I';
  if (OfTrade(small)) return false;
  if (!InDictionary(small)) return true;
  if (small == part) return false;
  const bool shouted = std::ranges::all_of(part, Capital);
  return shouted || !begins || IsAlsoName(small);
}

}  // namespace

bool SameWord(std::string_view a, std::string_view b) { return std::ranges::equal(a, b, {}, Lower, Lower); }

std::size_t WordFrom(std::string_view text, std::size_t at) {
  if (!Part(text, at) || (at > 0 && Part(text, at - 1))) return 0;
  std::size_t end = at;
  while (Part(text, end) || (end > at && end < text.size() && Joint(text[end]) && Part(text, end + 1))) ++end;
  return end - at;
}

bool MayBeName(std::string_view text, std::size_t at, std::size_t size) {
  const std::string_view word = text.substr(at, size);
  if (OfTrade(Lowered(word)) || IsStandIn(word) || IsTag(word)) return false;
  bool begins = BeginsSentence(text, at);
  for (std::size_t from = 0; from <= word.size();) {
    const std::size_t end = std::min(word.find_first_of("-'_/", from), word.size());
    const std::string_view part = word.substr(from, end - from);
    // "vessel's", "don't", "we'll": an ending, not a word.
    static constexpr std::string_view kEndings[] = {"s", "t", "d", "m", "ll", "re", "ve"};
    const bool ending = from > 0 && word[from - 1] == '\'' && std::ranges::find(kEndings, part) != std::end(kEndings);
    if (!part.empty() && !ending && PartMayBeName(part, begins)) return true;
    begins = false;
    from = end + 1;
  }
  return false;
}

bool IsWordAndName(std::string_view text, std::size_t at, std::size_t size) {
  if (size == 0 || MayBeName(text, at, size)) return false;
  const std::string_view word = text.substr(at, size);
  for (std::size_t from = 0; from < word.size();) {
    const std::size_t end = std::min(word.find_first_of("-'_/", from), word.size());
    const std::string small = Lowered(word.substr(from, end - from));
    if (small.size() > 2 && IsAlsoName(small) && !OfTrade(small)) return true;
    from = end + 1;
  }
  return false;
}

}  // namespace fairlead
