// SPDX-License-Identifier: Apache-2.0
// The known word that a mistyped one is likeliest to be.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace fairlead {

// Fewest single-letter insertions, deletions and substitutions, ties by the order of `known`; empty if more than two and
// more than a third of the letters would have to change.
std::string_view Nearest(std::string_view word, std::span<const std::string_view> known);

// "did you mean \"x\"?" or empty.
std::string DidYouMean(std::string_view word, std::span<const std::string_view> known);

}  // namespace fairlead
