// SPDX-License-Identifier: Apache-2.0
#include "measure/nearest.h"

#include <algorithm>
#include <cstddef>
#include <numeric>
#include <vector>

namespace fairlead {
namespace {

std::size_t Changes(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t k = 1; k <= b.size(); ++k) {
      const std::size_t swapped = diagonal + (a[i - 1] == b[k - 1] ? 0 : 1);
      diagonal = row[k];
      row[k] = std::min({row[k] + 1, row[k - 1] + 1, swapped});
    }
  }
  return row.back();
}

}  // namespace

std::string_view Nearest(std::string_view word, std::span<const std::string_view> known) {
  if (word.size() > 64) return {};
  std::string_view best;
  // Of a word of two or three letters two changes leave nothing: "no" is not "up".
  std::size_t least = word.size() <= 3 ? 2 : std::max<std::size_t>(2, word.size() / 3) + 1;
  for (const std::string_view candidate : known) {
    const std::size_t changes = Changes(word, candidate);
    if (changes >= least) continue;
    least = changes;
    best = candidate;
  }
  return best;
}

std::string DidYouMean(std::string_view word, std::span<const std::string_view> known) {
  const std::string_view nearest = Nearest(word, known);
  return nearest.empty() ? std::string() : "did you mean \"" + std::string(nearest) + "\"?";
}

}  // namespace fairlead
