// SPDX-License-Identifier: Apache-2.0
#include "front/server/json_text.h"

#include <charconv>
#include <cmath>

#include "front/server/target.h"

namespace fairlead {
namespace {

// The text with every byte that is not part of a well-formed character replaced.
std::string Mended(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    std::size_t length = 1;
    while (length <= 4 && i + length <= text.size() && !IsUtf8(text.substr(i, length))) ++length;
    if (length <= 4 && i + length <= text.size()) {
      out += text.substr(i, length);
      i += length;
    } else {
      out += "\xef\xbf\xbd";
      ++i;
    }
  }
  return out;
}

void AppendEscaped(std::string& out, std::string_view text) {
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (c == '\n') {
      out += "\\n";
    } else if (byte < 0x20) {
      out += "\\u00";
      out += "0123456789abcdef"[byte >> 4];
      out += "0123456789abcdef"[byte & 15];
    } else {
      out += c;
    }
  }
}

}  // namespace

void JsonText::Comma() {
  if (!first_) text_ += ',';
  first_ = false;
}

JsonText& JsonText::Open(char bracket) {
  Comma();
  text_ += bracket;
  first_ = true;
  return *this;
}

JsonText& JsonText::Close(char bracket) {
  text_ += bracket;
  first_ = false;
  return *this;
}

JsonText& JsonText::Key(std::string_view name) {
  Text(name);
  text_ += ':';
  first_ = true;  // no comma before the value
  return *this;
}

JsonText& JsonText::Text(std::string_view value) {
  Comma();
  text_ += '"';
  if (IsUtf8(value)) AppendEscaped(text_, value);
  else AppendEscaped(text_, Mended(value));
  text_ += '"';
  return *this;
}

JsonText& JsonText::Number(double value) {
  if (!std::isfinite(value)) return Null();
  Comma();
  char digits[32];
  const auto end = std::to_chars(digits, digits + sizeof digits, value).ptr;
  text_.append(digits, end);
  return *this;
}

JsonText& JsonText::Whole(std::int64_t value) {
  Comma();
  text_ += std::to_string(value);
  return *this;
}

JsonText& JsonText::Truth(bool value) { return Raw(value ? "true" : "false"); }
JsonText& JsonText::Null() { return Raw("null"); }

JsonText& JsonText::Raw(std::string_view json) {
  Comma();
  text_ += json;
  return *this;
}

}  // namespace fairlead
