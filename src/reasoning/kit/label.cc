// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/label.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <chrono>

#include "reasoning/kit/import.h"
#include "reasoning/kit/label_elements.h"

namespace fairlead {
namespace {

constexpr char kSeparator = '\x1d';
constexpr std::size_t kLongest = 4096;
// How people and scanners write the separator when they cannot send it.
constexpr auto kSpelled = std::to_array<std::string_view>(
    {"<GS>", "{GS}", "[GS]", "<FNC1>", "{FNC1}", "[FNC1]", "\\x1d", "\\x1D", "\\u001d", "\\u001D", "\\F", "\xE2\x90\x9D", "^"});
constexpr auto kScanner = std::to_array<std::string_view>({"]C1", "]d2", "]Q3", "]e0", "]J1"});

bool Digits(std::string_view text) {
  return std::ranges::all_of(text, [](char c) { return c >= '0' && c <= '9'; });
}

// The 82 characters of ISO/IEC 646 that GS1 allows in a text.
bool Allowed(std::string_view text) {
  constexpr std::string_view kOthers = "!\"%&'()*+,-./:;<=>?_";
  return std::ranges::all_of(text, [&](char c) {
    return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || kOthers.find(c) != std::string_view::npos;
  });
}

std::string WithSeparators(std::string_view text) {
  std::string plain;
  for (std::size_t at = 0; at < text.size();) {
    const auto spelled = std::ranges::find_if(kSpelled, [&](std::string_view each) { return text.substr(at).starts_with(each); });
    if (spelled != kSpelled.end()) { plain += kSeparator; at += spelled->size(); continue; }
    plain += text[at++];
  }
  while (!plain.empty() && (plain.back() == '\r' || plain.back() == '\n' || plain.back() == ' ')) plain.pop_back();
  while (!plain.empty() && plain.front() == ' ') plain.erase(0, 1);
  return plain;
}

class Parser {
 public:
  Parser(Label& label, CalendarDay today) : label_(label), today_(today) {}

  Status Raw(std::string_view text) {
    while (!text.empty()) {
      if (text.front() == kSeparator) { text.remove_prefix(1); continue; }
      const Identifier* id = FindIdentifier(text);
      if (id == nullptr) return Unknown(text);
      const std::string_view key = text.substr(0, id->key);
      text.remove_prefix(id->key);
      const std::size_t end = id->predefined ? std::min(id->least, text.size()) : std::min(text.find(kSeparator), text.size());
      const Status taken = Take(*id, key, text.substr(0, end));
      if (!taken.ok()) return taken;
      text.remove_prefix(end);
    }
    return Done{};
  }

  Status Bracketed(std::string_view text) {
    while (!text.empty()) {
      if (text.front() == kSeparator || text.front() == ' ') { text.remove_prefix(1); continue; }
      const auto close = text.find(')');
      if (text.front() != '(' || close == std::string_view::npos) return Unknown(text);
      const std::string_view key = text.substr(1, close - 1);
      const Identifier* id = FindIdentifier(key);
      if (id == nullptr || id->key != key.size()) return Unknown(key);
      text.remove_prefix(close + 1);
      const std::size_t end = NextGroup(text);
      std::string_view value = text.substr(0, end);
      while (!value.empty() && (value.back() == ' ' || value.back() == kSeparator)) value.remove_suffix(1);
      while (!value.empty() && value.front() == ' ') value.remove_prefix(1);
      const Status taken = Take(*id, key, value);
      if (!taken.ok()) return taken;
      text.remove_prefix(end);
    }
    return Done{};
  }

  Status Finish() {
    if (label_.gtin.empty()) return Error{"the label names no item", "AI 01 is missing", "scan the code that holds the number of the item as well"};
    LostSeparator();
    const auto years = [&](const std::string& day) { return std::stoi(day.substr(0, 4)) - today_.year; };
    // practice, no source: devices expire within a few years
    if (!label_.expires.empty() && (years(label_.expires) < -15 || years(label_.expires) > 15)) {
      label_.doubts.push_back(fmt::format("an expiry in {} is implausible: compare with the print", label_.expires.substr(0, 4)));
    }
    const std::string today = IsoOf(today_);
    label_.expired = !label_.expires.empty() && label_.expires < today;
    if (!label_.made.empty() && label_.made > today) label_.doubts.emplace_back("made after today: compare with the print");
    return Done{};
  }

 private:
  static Status Unknown(std::string_view text) {
    return Error{"no application identifier begins here", fmt::format("'{}'", text.substr(0, 12)),
                 "scan again, or type lot and expiry by hand"};
  }
  static Status Wrong(std::string_view key, std::string what) {
    return Error{std::move(what), fmt::format("AI {}", key), "scan again, or compare with the print"};
  }

  // Where the next "(AI)" begins; brackets may also stand inside a lot.
  static std::size_t NextGroup(std::string_view text) {
    for (std::size_t at = text.find('('); at != std::string_view::npos; at = text.find('(', at + 1)) {
      const auto close = text.find(')', at);
      if (close == std::string_view::npos) break;
      const std::string_view key = text.substr(at + 1, close - at - 1);
      const Identifier* id = key.size() <= 4 ? FindIdentifier(key) : nullptr;
      if (id != nullptr && id->key == key.size()) return at;
    }
    return text.size();
  }

  Status Take(const Identifier& id, std::string_view key, std::string_view value) {
    if (value.empty()) return Wrong(key, "the element is empty");
    if (value.size() < id.least) return Wrong(key, fmt::format("the element has {} characters, {} are needed", value.size(), id.least));
    if (value.size() > id.most) return Wrong(key, fmt::format("the element has {} characters, {} are allowed", value.size(), id.most));
    if (value.find(kSeparator) != std::string_view::npos) return Wrong(key, "a separator stands inside the element");
    if (id.digits_only && !Digits(value)) return Wrong(key, "the element holds something else than digits");
    if (!Allowed(value)) return Wrong(key, "the element holds a character that GS1 does not allow");
    if (id.check && CheckDigit(value.substr(0, value.size() - 1)) != value.back() - '0') {
      return Wrong(key, fmt::format("the check digit is {}, {} is expected", value.back(), CheckDigit(value.substr(0, value.size() - 1))));
    }
    for (const LabelElement& known : label_.elements) {
      if (known.ai == key && known.value != value) return Wrong(key, "the element stands twice with different values");
      if (known.ai == key) return Done{};
    }
    label_.elements.push_back({std::string(key), std::string(id.title), std::string(value)});
    if (id.date) return Date(key, value);
    if (key == "01") label_.gtin = value;
    if (key == "10") label_.lot = value;
    if (key == "21") label_.serial = value;
    return Done{};
  }

  Status Date(std::string_view key, std::string_view value) {
    const auto part = [&](std::size_t at) { return (value[at] - '0') * 10 + (value[at + 1] - '0'); };
    const int year = FullYear(part(0), today_.year), month = part(2), day = part(4);
    if (month < 1 || month > 12) return Wrong(key, fmt::format("there is no month {}", month));
    const int last = LastDayOf(year, month);
    if (day > last) return Wrong(key, fmt::format("{:04}-{:02} has no day {}", year, month, day));
    // Day 00 is the last of the month; health-care labels printed from 2025 on no longer use it.
    const std::string iso = fmt::format("{:04}-{:02}-{:02}", year, month, day == 0 ? last : day);
    if (key == "17") label_.expires = iso;
    if (key == "11") label_.made = iso;
    return Done{};
  }

  // A lot or serial that swallowed what follows it.
  void LostSeparator() {
    for (const LabelElement& element : label_.elements) {
      if (element.ai != "10" && element.ai != "21") continue;
      const std::string_view value = element.value;
      if (value.size() < 9 || !label_.expires.empty()) continue;
      const std::string_view tail = value.substr(value.size() - 8);
      if (!Digits(tail) || !tail.starts_with("17")) continue;
      const int month = (tail[4] - '0') * 10 + (tail[5] - '0'), day = (tail[6] - '0') * 10 + (tail[7] - '0');
      const int year = FullYear((tail[2] - '0') * 10 + (tail[3] - '0'), today_.year);
      if (month < 1 || month > 12 || day > LastDayOf(year, month)) continue;
      label_.doubts.push_back(fmt::format("the {} ends like an expiry date (17{}): a separator may have been lost, compare with the print",
                                          element.title, tail.substr(2)));
    }
  }

  Label& label_;
  CalendarDay today_;
};

// A bare GTIN-8, -12, -13 or -14, as a linear code gives it.
Status TakeBareNumber(Parser& parser, std::string_view text) {
  return parser.Raw("01" + std::string(14 - text.size(), '0') + std::string(text));
}

Status Read(Parser& parser, std::string_view text) {
  if (text.starts_with('+') || text.starts_with('=')) {
    return Error{"this is not a GS1 label", text.starts_with('+') ? "it begins with +, as HIBC does" : "it begins with =, as ISBT 128 does",
                 "keep the text and type lot and expiry by hand"};
  }
  for (const std::string_view mark : kScanner) {
    if (text.starts_with(mark)) { text.remove_prefix(mark.size()); break; }
  }
  if (text.starts_with("]E0") || text.starts_with("]E4")) text.remove_prefix(3);  // EAN-13, EAN-8: a bare number
  if (text.starts_with(']')) return Error{"the scanner says that this symbol is not GS1", fmt::format("prefix '{}'", text.substr(0, 3)), "scan the GS1 symbol"};
  if (text.empty()) return Error{"the label is empty", "", "scan it again"};
  const std::size_t n = text.size();
  if (Digits(text) && (n == 8 || n == 12 || n == 13 || n == 14)) return TakeBareNumber(parser, text);
  const auto open = text.find_first_not_of(std::string{kSeparator, ' '});
  return open != std::string_view::npos && text[open] == '(' ? parser.Bracketed(text) : parser.Raw(text);
}

}  // namespace

Result<CalendarDay> ParseCalendarDay(std::string_view iso) {
  if (iso.size() != 10 || ReadDay(iso) != iso) {
    return Error{"this is no day", fmt::format("'{}'", iso.substr(0, 20)), "write it as 2026-11-25"};
  }
  const std::string text(iso);
  return CalendarDay{std::stoi(text.substr(0, 4)), std::stoi(text.substr(5, 2)), std::stoi(text.substr(8, 2))};
}

std::string IsoOf(CalendarDay day) { return fmt::format("{:04}-{:02}-{:02}", day.year, day.month, day.day); }

CalendarDay DayOf(std::int64_t ms_since_1970) {
  const std::chrono::sys_time<std::chrono::milliseconds> moment{std::chrono::milliseconds(ms_since_1970)};
  const std::chrono::year_month_day day{std::chrono::floor<std::chrono::days>(moment)};
  return {static_cast<int>(day.year()), static_cast<int>(static_cast<unsigned>(day.month())), static_cast<int>(static_cast<unsigned>(day.day()))};
}

Result<Label> ParseLabel(std::string_view text, CalendarDay today) {
  if (text.size() > kLongest) return Error{"the label is longer than 4096 characters", "", "scan one label at a time"};
  Label label;
  label.raw = text;
  Parser parser(label, today);
  const Status read = Read(parser, WithSeparators(text));
  if (!read.ok()) return read.error();
  const Status finished = parser.Finish();
  if (!finished.ok()) return finished.error();
  return label;
}

std::string HumanReadable(const Label& label) {
  std::string text;
  for (const LabelElement& element : label.elements) text += fmt::format("({}){}", element.ai, element.value);
  return text;
}

int CheckDigit(std::string_view digits) {
  int sum = 0;
  int weight = 3;
  for (std::size_t i = digits.size(); i-- > 0; weight = 4 - weight) sum += weight * (digits[i] - '0');
  return (10 - sum % 10) % 10;
}

std::string Gtin14(std::string_view digits) {
  return digits.size() >= 14 ? std::string(digits) : std::string(14 - digits.size(), '0') + std::string(digits);
}

int FullYear(int two_digits, int this_year) {
  const int century = this_year / 100 * 100;
  const int ahead = two_digits - this_year % 100;
  if (ahead >= 51) return century - 100 + two_digits;
  return ahead <= -50 ? century + 100 + two_digits : century + two_digits;
}

}  // namespace fairlead
