// SPDX-License-Identifier: Apache-2.0
// Reads the members of one JSON object strictly. Inside casebook only: the kinds of entries are read with it.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include <nlohmann/json_fwd.hpp>

#include "measure/instant.h"
#include "measure/result.h"

namespace fairlead {

// Chosen: far above what people write, far below what would trouble a screen.
inline constexpr std::size_t kLongestName = 64;
inline constexpr std::size_t kLongestLine = 400;
inline constexpr std::size_t kLongestText = 32 * 1024;
inline constexpr int kWidestImage = 65535;  // DICOM PS3.3 C.7.6.3: Rows and Columns are 16 bit unsigned

// In quotation marks, cut to 64 bytes.
std::string Quoted(std::string_view text);
// The known word at the least number of changed letters. `known` is not empty.
std::string NearestOf(std::string_view word, std::span<const std::string_view> known);
// The bytes of one member of the outermost object of valid JSON; empty if it is not there under this plain spelling.
std::string_view RawMember(std::string_view text, std::string_view quoted_name);

// The first fault is kept and everything after it is skipped, so that the reading code is a plain list of members.
class MemberReader {
 public:
  MemberReader(const nlohmann::json& object, const char* where, std::optional<Error>& fault);
  // A member of `outer`, or with `index` the item of a list there. `outer` outlives it.
  MemberReader(const nlohmann::json& object, const MemberReader& outer, const char* name, int index = -1);

  void Only(std::initializer_list<std::string_view> known) { Only(std::span(known.begin(), known.size())); }
  void Only(std::span<const std::string_view> known);
  const nlohmann::json* Find(const char* name, bool needed);
  std::string Text(const char* name, std::size_t longest, bool needed = true);
  double Number(const char* name, double low, double high);
  std::optional<double> NumberIfThere(const char* name, double low, double high);
  int Whole(const char* name, int low, int high, std::optional<int> otherwise = std::nullopt);
  bool Flag(const char* name);  // false if absent
  Instant Time(const char* name);
  // One of the words; the first if there is a fault.
  std::string_view Word(const char* name, std::span<const std::string_view> words);
  // A SHA-256 in small hexadecimal digits.
  std::string ContentHash(const char* name, bool needed = true);
  // A list of at most `most`, null if it is absent or refused; `items` says what to send.
  const nlohmann::json* List(const char* name, std::size_t most, const std::string& items);

  bool Faulted() const { return fault_.has_value(); }
  std::string Where() const;
  std::string At(const char* name) const;
  void Refuse(std::string what, const char* member, std::string to_do);
  void Refuse(Error error);

 private:
  const nlohmann::json& object_;
  const MemberReader* outer_;
  const char* name_;
  int index_;
  std::optional<Error>& fault_;
};

}  // namespace fairlead
