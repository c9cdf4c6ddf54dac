// SPDX-License-Identifier: Apache-2.0
// Inside this room only: judged cases as letters (JudgedLetter), and how many of each any stretch of them has.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

#include "practice/audit/proportion.h"

namespace fairlead {

using ClassCounts = std::array<Count, 4>;  // failures by class of J-CTO

inline std::size_t LetterClass(char letter) { return static_cast<std::size_t>(letter - 'a') / 2; }
inline bool LetterFailed(char letter) { return (letter - 'a') % 2 == 1; }

// One pass over all of them; then any stretch costs a block at most. The letters outlive it.
class LetterCounts {
 public:
  explicit LetterCounts(std::string_view letters) : letters_(letters) {
    before_.resize(letters.size() / kBlock + 1);
    for (std::size_t block = 1; block < before_.size(); ++block) before_[block] = before_[block - 1], Count(letters.substr((block - 1) * kBlock, kBlock), before_[block]);
  }
  ClassCounts Between(std::size_t from, std::size_t to) const {
    const Each low = Before(from), high = Before(to);
    ClassCounts counts;
    for (std::size_t i = 0; i < counts.size(); ++i) {
      const std::int64_t well = high[2 * i] - low[2 * i], failed = high[2 * i + 1] - low[2 * i + 1];
      counts[i] = {.events = failed, .cases = well + failed};
    }
    return counts;
  }
  std::size_t size() const { return letters_.size(); }

 private:
  using Each = std::array<std::int64_t, 8>;
  static constexpr std::size_t kBlock = 4'096;

  static void Count(std::string_view letters, Each& each) {
    // Four sets of counters: one alone would wait for itself at every letter.
    std::array<std::array<std::uint32_t, 8>, 4> apart{};
    for (std::size_t i = 0; i < letters.size(); ++i) ++apart[i % 4][static_cast<std::size_t>(letters[i] - 'a')];
    for (const auto& set : apart) {
      for (std::size_t i = 0; i < each.size(); ++i) each[i] += set[i];
    }
  }
  Each Before(std::size_t end) const {
    Each each = before_[end / kBlock];
    Count(letters_.substr(end / kBlock * kBlock, end % kBlock), each);
    return each;
  }

  std::string_view letters_;
  std::vector<Each> before_;
};

}  // namespace fairlead
