// SPDX-License-Identifier: Apache-2.0
// The rows of a practice in little space, for figures over very many of them: some 90 bytes a case and 16 an attempt, so
// that a million cases with ten million attempts fit into 300 MB. Of the facts the groups of the scores are kept, and all as bytes (known.h) where they were given.
#pragma once

#include <cstdint>
#include <limits>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "practice/audit/published.h"
#include "practice/audit/row.h"

namespace fairlead {

using WordNumber = std::uint16_t;  // of PackedCases::words; 0 is the empty word
inline constexpr std::size_t kMostWords = 65'000;  // beyond it a word is kept as none, and so left out of every slice

struct PackedTry {
  float minutes = 0;
  float stalled_min = std::numeric_limits<float>::quiet_NaN();
  WordNumber way = 0, reason = 0, ladder = 0;
  bool crossed = false;
};

struct PackedCase {
  static constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
  Instant began;
  double minutes = kUnknown, contrast_ml = kUnknown, air_kerma_gy = kUnknown;
  std::uint64_t id_from = 0, first_try = 0, known_from = 0;
  std::uint16_t id_size = 0, tries = 0, known_size = 0;
  WordNumber by = 0, vessel = 0;
  std::int8_t j_cto = -1, success = -1, complication = -1;  // -1: unknown
  std::int8_t first_attempt = -1;         // whether no attempt on this occlusion was made before; -1: unknown
  bool invented = false;
  std::array<std::int8_t, kMostYardstickScores> groups{};  // of the published scores, by Yardstick::slot
  std::array<std::uint8_t, kCountedKit.size()> kit{};  // kNotCounted: nobody did
  static constexpr std::uint8_t kNotCounted = 255;
};

class PackedCases {
 public:
  void Add(const CaseRow& row);           // in any order; Sort before reading
  // One that was packed before, its words numbered by NumberOf.
  void AddPacked(PackedCase one, std::string_view id, std::span<const PackedTry> tries, std::string_view known = {});
  void Leave(const std::set<std::string_view>& ids);  // without these
  void Sort();                            // by start, ties by id
  void Reserve(std::size_t cases, std::size_t tries);
  const std::vector<PackedCase>& cases() const { return cases_; }
  const PackedTry* tries(const PackedCase& of) const { return tries_.data() + of.first_try; }
  std::string_view id(const PackedCase& of) const { return std::string_view(ids_).substr(of.id_from, of.id_size); }
  std::string_view known(const PackedCase& of) const { return std::string_view(known_).substr(of.known_from, of.known_size); }  // KnownBytes
  const std::string& word(WordNumber number) const { return words_[number]; }
  std::size_t words() const { return words_.size(); }
  // Of a word that is there; no number: it is not.
  std::optional<WordNumber> Find(std::string_view word) const;
  WordNumber NumberOf(const std::string& word);

 private:
  void PutKnown(std::string_view known, PackedCase& one);
  std::vector<PackedCase> cases_;
  std::vector<PackedTry> tries_;
  std::string ids_, known_;
  std::vector<std::string> words_{std::string()};
  std::map<std::string, WordNumber, std::less<>> numbers_{{std::string(), WordNumber{0}}};
};

PackedCases Pack(std::span<const CaseRow> rows);

}  // namespace fairlead
