// SPDX-License-Identifier: Apache-2.0
// JSON, written from left to right. Numbers are the shortest text that reads back to the same double; a number that is
// not finite becomes null; bytes that are not UTF-8 become U+FFFD.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace fairlead {

class JsonText {
 public:
  JsonText& Open(char bracket);   // '{' or '['
  JsonText& Close(char bracket);  // '}' or ']'
  JsonText& Key(std::string_view name);
  JsonText& Text(std::string_view value);
  JsonText& Number(double value);
  JsonText& Whole(std::int64_t value);
  JsonText& Truth(bool value);
  JsonText& Null();
  JsonText& Raw(std::string_view json);  // a whole value, already JSON

  // A member of the object that is open.
  JsonText& Member(std::string_view name, std::string_view text) { return Key(name).Text(text); }
  JsonText& Member(std::string_view name, const char* text) { return Key(name).Text(text); }
  JsonText& Member(std::string_view name, double value) { return Key(name).Number(value); }
  JsonText& Member(std::string_view name, bool value) { return Key(name).Truth(value); }
  JsonText& Member(std::string_view name, int value) { return Key(name).Whole(value); }
  JsonText& Member(std::string_view name, std::int64_t value) { return Key(name).Whole(value); }
  JsonText& Member(std::string_view name, std::size_t value) { return Key(name).Whole(static_cast<std::int64_t>(value)); }

  std::string Take() { return std::move(text_); }

 private:
  void Comma();
  std::string text_;
  bool first_ = true;  // of the object or list that is open
};

}  // namespace fairlead
