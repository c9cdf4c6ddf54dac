// SPDX-License-Identifier: Apache-2.0
#include "casebook/member_reader.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>
#include <vector>

#include <nlohmann/json.hpp>

namespace fairlead {
namespace {
using nlohmann::json;

// Levenshtein distance; the words are short.
std::size_t Distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 0; i < a.size(); ++i) {
    std::size_t diagonal = std::exchange(row[0], i + 1);
    for (std::size_t j = 0; j < b.size(); ++j) {
      const std::size_t changed = diagonal + (a[i] == b[j] ? 0 : 1);
      diagonal = row[j + 1];
      row[j + 1] = std::min({changed, row[j] + 1, row[j + 1] + 1});
    }
  }
  return row.back();
}

std::string Digits(double v) { return json(v).dump(); }

std::size_t AfterString(std::string_view text, std::size_t at) {  // `at` on the opening quote
  for (++at; text[at] != '"'; ++at) at += text[at] == '\\' ? 1 : 0;
  return at + 1;
}

}  // namespace

std::string Quoted(std::string_view text) { return '"' + std::string(text.substr(0, kLongestName)) + '"'; }

std::string NearestOf(std::string_view word, std::span<const std::string_view> known) {
  word = word.substr(0, kLongestName);
  const auto best = std::min_element(known.begin(), known.end(), [word](std::string_view a, std::string_view b) {
    return Distance(word, a) < Distance(word, b);
  });
  return std::string(*best);
}

std::string_view RawMember(std::string_view text, std::string_view quoted_name) {
  const auto skip_space = [text](std::size_t at) { return text.find_first_not_of(" \t\r\n", at); };
  std::size_t at = skip_space(skip_space(0) + 1);
  while (at < text.size() && text[at] == '"') {
    const std::size_t name_end = AfterString(text, at);
    const bool wanted = text.substr(at, name_end - at) == quoted_name;
    const std::size_t begin = skip_space(skip_space(name_end) + 1);
    std::size_t end = begin;
    for (int depth = 0; depth > 0 || (text[end] != ',' && text[end] != '}');) {
      const char c = text[end];
      if (c == '{' || c == '[') ++depth;
      if (c == '}' || c == ']') --depth;
      end = c == '"' ? AfterString(text, end) : end + 1;
    }
    if (wanted) return text.substr(begin, text.find_last_not_of(" \t\r\n", end - 1) + 1 - begin);
    at = text[end] == ',' ? skip_space(end + 1) : text.size();
  }
  return {};
}

MemberReader::MemberReader(const json& object, const char* where, std::optional<Error>& fault)
    : object_(object), outer_(nullptr), name_(where), index_(-1), fault_(fault) {
  if (!object_.is_object()) Refuse("this is not an object", "", "send an object in braces");
}

MemberReader::MemberReader(const json& object, const MemberReader& outer, const char* name, int index)
    : object_(object), outer_(&outer), name_(name), index_(index), fault_(outer.fault_) {
  if (!object_.is_object()) Refuse("this is not an object", "", "send an object in braces");
}

void MemberReader::Only(std::span<const std::string_view> known) {
  if (!object_.is_object()) return;
  for (const auto& [name, value] : object_.items()) {
    if (std::find(known.begin(), known.end(), name) == known.end())
      Refuse("there is no member " + Quoted(name), "", "did you mean " + Quoted(NearestOf(name, known)) + "?");
  }
}

const json* MemberReader::Find(const char* name, bool needed) {
  if (!object_.is_object()) return nullptr;
  const auto found = object_.find(name);
  if (found != object_.end()) return &*found;
  if (needed) Refuse("the member " + Quoted(name) + " is missing", "", "add it");
  return nullptr;
}

std::string MemberReader::Text(const char* name, std::size_t longest, bool needed) {
  const json* value = Find(name, needed);
  if (value == nullptr) return {};
  if (!value->is_string()) return Refuse("this is not text", name, "write it in quotes"), std::string();
  const auto& text = value->get_ref<const std::string&>();
  if (text.size() > longest) Refuse("the text is longer than " + std::to_string(longest) + " bytes", name, "shorten it");
  if (needed && text.empty()) Refuse("the text is empty", name, "fill it in");
  return text;
}

double MemberReader::Number(const char* name, double low, double high) {
  const json* value = Find(name, true);
  if (value == nullptr) return 0.0;
  const double number = value->is_number() ? value->get<double>() : std::nan("");
  if (!(number >= low && number <= high))
    Refuse("this is not a number from " + Digits(low) + " to " + Digits(high), name, "correct it");
  return number;
}

std::optional<double> MemberReader::NumberIfThere(const char* name, double low, double high) {
  const json* value = Find(name, false);
  if (value == nullptr || value->is_null()) return std::nullopt;
  return Number(name, low, high);
}

int MemberReader::Whole(const char* name, int low, int high, std::optional<int> otherwise) {
  const json* value = Find(name, !otherwise);
  if (value == nullptr) return otherwise.value_or(0);
  constexpr std::uint64_t kFits = std::uint64_t{1} << 31;
  const bool whole = value->is_number_integer() && (!value->is_number_unsigned() || value->get<std::uint64_t>() <= kFits);
  const std::int64_t number = whole ? value->get<std::int64_t>() : std::int64_t{low} - 1;
  if (number < low || number > high) {
    Refuse("this is not a whole number from " + std::to_string(low) + " to " + std::to_string(high), name, "correct it");
    return low;
  }
  return static_cast<int>(number);
}

bool MemberReader::Flag(const char* name) {
  const json* value = Find(name, false);
  if (value == nullptr) return false;
  if (!value->is_boolean()) return Refuse("this is neither true nor false", name, "correct it"), false;
  return value->get<bool>();
}

Instant MemberReader::Time(const char* name) {
  const json* value = Find(name, true);
  if (value == nullptr) return {};
  if (!value->is_string()) return Refuse("this is not a time", name, "write it as \"2026-11-25T09:41:07Z\""), Instant{};
  const auto time = ParseIso(value->get_ref<const std::string&>());
  if (!time) return Refuse(time.error().what, name, time.error().to_do), Instant{};
  return *time;
}

std::string_view MemberReader::Word(const char* name, std::span<const std::string_view> words) {
  const std::string text = Text(name, kLongestName);
  const auto found = std::find(words.begin(), words.end(), text);
  if (found != words.end()) return *found;
  if (!text.empty()) Refuse("there is no " + Quoted(text) + " here", name, "did you mean " + Quoted(NearestOf(text, words)) + "?");
  return words.front();
}

std::string MemberReader::ContentHash(const char* name, bool needed) {
  std::string text = Text(name, kLongestLine, needed);
  const bool hex = text.size() == 64 && text.find_first_not_of("0123456789abcdef") == std::string::npos;
  if (!hex && (needed || !text.empty()))
    Refuse("this is not a SHA-256 of 64 small hexadecimal digits", name, "send the image's hash as the engine gave it");
  return text;
}

const json* MemberReader::List(const char* name, std::size_t most, const std::string& items) {
  const json* list = Find(name, false);
  if (list == nullptr) return nullptr;
  if (list->is_array() && list->size() <= most) return list;
  Refuse("this is not a list of at most " + std::to_string(most) + " " + std::string(name), name, "send a list of " + items);
  return nullptr;
}

// Put together only when something is wrong: thousands of entries are read without a fault.
std::string MemberReader::Where() const {
  std::string where = outer_ == nullptr ? name_ : outer_->At(name_);
  return index_ < 0 ? where : where + "[" + std::to_string(index_) + "]";
}

std::string MemberReader::At(const char* name) const { return Where() + "." + name; }

void MemberReader::Refuse(std::string what, const char* member, std::string to_do) {
  if (!fault_) fault_ = Error{std::move(what), *member == '\0' ? Where() : At(member), std::move(to_do)};
}

void MemberReader::Refuse(Error error) {
  if (!fault_) fault_ = std::move(error);
}

}  // namespace fairlead
