// SPDX-License-Identifier: Apache-2.0
// The table of scores is data in several files, one for each question. Here are the words they share.
#pragma once

#include <array>
#include <string_view>

#include "reasoning/score/definition.h"

namespace fairlead {

std::span<const ScoreDefinition* const> WireScores();     // will an antegrade wire pass
std::span<const ScoreDefinition* const> SuccessScores();  // will the case succeed
std::span<const ScoreDefinition* const> ChannelScores();  // can this channel be used
std::span<const ScoreDefinition* const> HarmScores();     // what can go wrong
std::span<const ScoreDefinition* const> KidneyScores();   // how much contrast
std::span<const ScoreDefinition* const> HeldScores();     // points not verified

namespace words {

inline constexpr auto kYes = std::to_array<std::string_view>({"yes"});
inline constexpr auto kNo = std::to_array<std::string_view>({"no"});
// No stump at all is counted as blunt: stated for the perforation score of 2023, practice elsewhere.
inline constexpr auto kBlunt = std::to_array<std::string_view>({"blunt", "none"});
inline constexpr auto kTapered = std::to_array<std::string_view>({"tapered"});
inline constexpr auto kAnyCalcium = std::to_array<std::string_view>({"mild", "moderate", "severe"});
inline constexpr auto kModerateOrSevere = std::to_array<std::string_view>({"moderate", "severe"});
inline constexpr auto kSevere = std::to_array<std::string_view>({"severe"});
inline constexpr auto kNone = std::to_array<std::string_view>({"none"});
inline constexpr auto kRca = std::to_array<std::string_view>({"RCA"});
inline constexpr auto kLad = std::to_array<std::string_view>({"LAD"});
inline constexpr auto kLcx = std::to_array<std::string_view>({"LCX"});
inline constexpr auto kGraft = std::to_array<std::string_view>({"graft"});
inline constexpr auto kFemale = std::to_array<std::string_view>({"female"});
inline constexpr auto kBelowTwo = std::to_array<std::string_view>({"0", "1"});
inline constexpr auto kTwo = std::to_array<std::string_view>({"2"});
inline constexpr auto kZero = std::to_array<std::string_view>({"0"});
inline constexpr auto kSeptal = std::to_array<std::string_view>({"septal"});
inline constexpr auto kPoor = std::to_array<std::string_view>({"poor"});
inline constexpr auto kDissection = std::to_array<std::string_view>({"dissection"});
inline constexpr auto kRetrograde = std::to_array<std::string_view>({"retrograde"});
inline constexpr auto kDissectionOrRetrograde = std::to_array<std::string_view>({"dissection", "retrograde"});

}  // namespace words

constexpr Test In(std::string_view fact, std::span<const std::string_view> list) {
  return {fact, Compare::kIn, 0.0, list};
}
constexpr Test NotIn(std::string_view fact, std::span<const std::string_view> list) {
  return {fact, Compare::kNotIn, 0.0, list};
}
constexpr Test Yes(std::string_view fact) {
  return In(fact, words::kYes);
}
constexpr Test No(std::string_view fact) {
  return In(fact, words::kNo);
}
constexpr Test AtLeast(std::string_view fact, double cut) {
  return {fact, Compare::kAtLeast, cut};
}
constexpr Test Above(std::string_view fact, double cut) {
  return {fact, Compare::kAbove, cut};
}
constexpr Test AtMost(std::string_view fact, double cut) {
  return {fact, Compare::kAtMost, cut};
}
constexpr Test Below(std::string_view fact, double cut) {
  return {fact, Compare::kBelow, cut};
}

}  // namespace fairlead
