// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/size.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <utility>

namespace fairlead {
namespace {

struct UnitName {
  std::string_view word;  // in lower case
  SizeUnit unit;
};

// Longer words first where one begins another.
constexpr auto kUnits = std::to_array<UnitName>({
    {"mm", SizeUnit::kMillimetre}, {"cm", SizeUnit::kCentimetre}, {"inches", SizeUnit::kInch}, {"inch", SizeUnit::kInch},
    {"in.", SizeUnit::kInch}, {"zoll", SizeUnit::kInch}, {"pouces", SizeUnit::kInch}, {"pouce", SizeUnit::kInch},      {"in", SizeUnit::kInch},       {"\"", SizeUnit::kInch},     {"″", SizeUnit::kInch},
    {"”", SizeUnit::kInch},        {"''", SizeUnit::kInch},       {"french", SizeUnit::kFrench}, {"fr.", SizeUnit::kFrench},
    {"fr", SizeUnit::kFrench},     {"f", SizeUnit::kFrench},      {"charrière", SizeUnit::kFrench}, {"ch", SizeUnit::kFrench}, {"ch.", SizeUnit::kFrench},
});

// Blanks and hyphens that a word processor writes instead of the plain ones.
constexpr auto kTypeset = std::to_array<std::pair<std::string_view, char>>({{"\xC2\xA0", ' '}, {"\xE2\x80\xAF", ' '}, {"\xE2\x80\x89", ' '},
                                                                            {"\xE2\x80\x90", '-'}, {"\xE2\x80\x91", '-'}});

std::string Trimmed(std::string_view text) {
  std::string kept;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto typeset = std::ranges::find_if(kTypeset, [&](const auto& each) { return text.substr(i).starts_with(each.first); });
    if (typeset != kTypeset.end()) { kept += typeset->second; i += typeset->first.size() - 1; continue; }
    kept += text[i] >= 'A' && text[i] <= 'Z' ? static_cast<char>(text[i] - 'A' + 'a') : text[i];
  }
  const auto first = kept.find_first_not_of(" \t");
  const auto last = kept.find_last_not_of(" \t");
  return first == std::string::npos ? std::string() : kept.substr(first, last - first + 1);
}

// "ch 6", "f6", "fr. 6" and "ø 2 mm" with the sign after the number: "6 ch", "2 mm".
std::string SignBehind(std::string clean) {
  for (const std::string_view round : {"ø", "Ø", "⌀"}) {
    if (clean.starts_with(round)) return Trimmed(std::string_view(clean).substr(round.size()));
  }
  const auto digit = clean.find_first_of("0123456789");
  if (digit == std::string::npos || digit == 0) return clean;
  const std::string sign = Trimmed(std::string_view(clean).substr(0, digit));
  const bool french = sign == "f" || sign == "fr" || sign == "fr." || sign == "french" || sign == "ch" || sign == "ch.";
  return french ? clean.substr(digit) + " fr" : clean;
}

struct Number {
  double value = 0.0;
  int decimals = 0;
  std::size_t length = 0;  // characters read
};

// Digits with one point or one comma; "0,014" is a decimal comma.
std::optional<Number> ReadNumber(std::string_view text) {
  std::string digits;
  bool point = false;
  Number number;
  for (const char c : text) {
    const bool digit = c >= '0' && c <= '9';
    if (!digit && ((c != '.' && c != ',') || point)) break;
    if (digit && point) ++number.decimals;
    point = point || !digit;
    digits += digit ? c : '.';
    ++number.length;
  }
  if (digits.size() > 24) return std::nullopt;
  const auto [end, fault] = std::from_chars(digits.data(), digits.data() + digits.size(), number.value);
  if (fault != std::errc() || digits.empty() || digits == ".") return std::nullopt;
  return end == digits.data() + digits.size() ? std::optional(number) : std::nullopt;
}

Length InUnit(double value, SizeUnit unit) {
  switch (unit) {
    case SizeUnit::kMillimetre: return Length::Millimetres(value);
    case SizeUnit::kCentimetre: return Length::Centimetres(value);
    case SizeUnit::kInch: return Length::Inches(value);
    case SizeUnit::kFrench: return Length::French(value);
  }
  return {};
}

Result<PrintedSize> Parse(std::string_view text, std::optional<SizeUnit> fallback) {
  const std::string where = fmt::format("size '{}'", text.substr(0, 40));
  const std::string clean = SignBehind(Trimmed(text));
  const auto number = ReadNumber(clean);
  if (!number) return Error{"there is no number in it", where, "write it as 1.80mm, 2.6F or 0.014in"};
  std::string tail = Trimmed(std::string_view(clean).substr(number->length));
  if (tail.size() > 1 && tail.front() == '-') tail.erase(0, 1);  // "6-Fr"
  if (tail == "g" || tail == "ga" || tail == "gauge") {
    return Error{"a gauge is a needle's size, not a diameter", where, "give the needle's outer diameter in mm"};
  }
  const auto named = std::ranges::find(kUnits, std::string_view(tail), &UnitName::word);
  if (named == kUnits.end() && !tail.empty()) return Error{"its unit is not known", where, "use mm, cm, in or F"};
  if (named == kUnits.end() && !fallback) return Error{"it has no unit", where, "write it as 1.80mm, 2.6F or 0.014in"};
  const SizeUnit unit = named == kUnits.end() ? fallback.value_or(SizeUnit::kMillimetre) : named->unit;
  const double last_digit = std::pow(10.0, -number->decimals);
  PrintedSize size{InUnit(number->value, unit), InUnit(last_digit, unit), unit, std::string(text)};
  if (!(number->value > 0.0)) return Error{"it is not above 0", where, "give the size that is printed"};
  if (size.value > Length::Centimetres(500)) return Error{"it is longer than 5 m", where, "check number and unit"};
  return size;
}

}  // namespace

std::string_view UnitWord(SizeUnit unit) {
  switch (unit) {
    case SizeUnit::kMillimetre: return "mm";
    case SizeUnit::kCentimetre: return "cm";
    case SizeUnit::kInch: return "in";
    case SizeUnit::kFrench: return "F";
  }
  return "";
}

Result<PrintedSize> ParseSize(std::string_view text) { return Parse(text, std::nullopt); }

Result<PrintedSize> ParseSize(std::string_view text, SizeUnit fallback) { return Parse(text, fallback); }

Status CheckWireDiameter(Length diameter, std::string_view printed) {
  if (diameter >= Length::Millimetres(0.15) && diameter <= Length::Millimetres(1.0)) return Done{};
  return Error{"a wire is 0.15 to 1.0 mm thick", fmt::format("wire diameter '{}'", printed.substr(0, 40)),
               "check the unit: wires are printed in inches (0.014 in)"};
}

}  // namespace fairlead
