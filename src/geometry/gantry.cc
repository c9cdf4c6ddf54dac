// SPDX-License-Identifier: Apache-2.0
#include "geometry/gantry.h"

#include <array>
#include <charconv>
#include <cmath>
#include <numbers>
#include <optional>
#include <vector>

#include "geometry/trigonometry.h"

namespace fairlead {
namespace {

struct Token {
  std::string word;               // capital letters
  std::optional<double> number;
};

bool Letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }
bool OfNumber(char c) { return (c >= '0' && c <= '9') || c == '.' || c == '-' || c == '+' || c == 'e'; }

std::optional<double> NumberFrom(std::string_view text) {
  if (text.starts_with('+')) text.remove_prefix(1);
  double value = 0.0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (fault != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

Error Bad(std::string what) {
  return {std::move(what), "view", "write it as LAO 45/CRA 25, RAO 30/CAU 20 or AP"};
}

// A degree sign, in UTF-8, is taken as a blank.
Result<std::vector<Token>> Split(std::string_view text) {
  std::vector<Token> tokens;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t from = at;
    if (Letter(text[at])) {
      Token token;
      for (; at < text.size() && Letter(text[at]); ++at) token.word.push_back(static_cast<char>(text[at] & ~0x20));
      tokens.push_back(std::move(token));
    } else if (OfNumber(text[at])) {
      while (at < text.size() && OfNumber(text[at])) ++at;
      const auto number = NumberFrom(text.substr(from, at - from));
      if (!number) return Bad("an angle is no number");
      tokens.push_back({"", number});
    } else if (text[at] == ' ' || text[at] == '/' || text[at] == ',' || text[at] == '\xC2' || text[at] == '\xB0') {
      ++at;
    } else {
      return Bad("a sign in the view is not understood");
    }
  }
  return tokens;
}

struct Side {
  std::string_view word;
  bool primary;
  double sign;
};
constexpr std::array<Side, 9> kSides{{{"LAO", true, 1}, {"RAO", true, -1}, {"AP", true, 0}, {"PA", true, 0}, {"CRA", false, 1},
                                      {"CRAN", false, 1}, {"CRANIAL", false, 1}, {"CAU", false, -1}, {"CAUDAL", false, -1}}};

const Side* SideOf(std::string_view word) {
  for (const Side& side : kSides) {
    if (side.word == word) return &side;
  }
  return nullptr;
}

struct Parts {
  std::optional<double> primary, secondary;
};

Result<Parts> Read(const std::vector<Token>& tokens) {
  Parts parts;
  for (std::size_t i = 0; i < tokens.size(); ++i) {
    if (tokens[i].word.empty()) {  // a bare number: the angle that has not been given yet
      std::optional<double>& free = parts.primary ? parts.secondary : parts.primary;
      if (free) return Bad("the view has more than two angles");
      free = *tokens[i].number;
      continue;
    }
    const Side* side = SideOf(tokens[i].word);
    if (side == nullptr) return Bad("\"" + tokens[i].word.substr(0, 16) + "\" is no side of a view");
    std::optional<double>& angle = side->primary ? parts.primary : parts.secondary;
    if (angle) return Bad("the view names two angles of the same kind");
    const bool follows = i + 1 < tokens.size() && tokens[i + 1].number;
    if (side->sign == 0.0) {
      angle = 0.0;
      if (follows && *tokens[i + 1].number == 0.0) ++i;
      continue;
    }
    if (!follows) return Bad(tokens[i].word + " has no angle");
    angle = side->sign * *tokens[++i].number;
  }
  return parts;
}

std::string Rounded(double degrees, int digits) {
  std::array<char, 32> text{};
  const auto end = std::to_chars(text.data(), text.data() + text.size(), std::abs(degrees), std::chars_format::fixed, digits).ptr;
  return {text.data(), end};
}

}  // namespace

Result<GantryAngles> ParseGantry(std::string_view text) {
  if (text.size() > 64) return Bad("the view is longer than 64 letters");
  auto tokens = Split(text);
  if (!tokens) return tokens.error();
  if (tokens->empty()) return Bad("the view is empty");
  auto parts = Read(*tokens);
  if (!parts) return parts.error();
  const double primary = parts->primary.value_or(0.0), secondary = parts->secondary.value_or(0.0);
  if (!(std::abs(primary) <= 180.0)) return Bad("the primary angle is not between -180 and 180 degrees");
  if (!(std::abs(secondary) <= 90.0)) return Bad("the secondary angle is not between -90 and 90 degrees");
  return GantryAngles{Angle::Degrees(primary), Angle::Degrees(secondary)};
}

std::string GantryText(const GantryAngles& angles, int digits) {
  const double scale = std::pow(10.0, digits);
  const double p = std::round(angles.primary.degrees() * scale) / scale, s = std::round(angles.secondary.degrees() * scale) / scale;
  std::string text = p == 0.0 ? "AP" : (p > 0.0 ? "LAO " : "RAO ") + Rounded(p, digits);
  if (s != 0.0) text += (s > 0.0 ? " CRA " : " CAU ") + Rounded(s, digits);
  return text;
}

Vec3 BeamOf(const GantryAngles& angles) {
  const auto [sa, ca] = SineCosineOf(angles.primary);
  const auto [sb, cb] = SineCosineOf(angles.secondary);
  return {sa * cb, -ca * cb, sb};
}

GantryAngles AnglesOf(Vec3 beam) {
  const double across = std::sqrt(beam.x * beam.x + beam.y * beam.y);
  const double primary = across > 0.0 ? std::atan2(beam.x, -beam.y) : 0.0;
  return {Angle::Radians(primary), Angle::Radians(std::atan2(beam.z, across))};
}

Angle Wrapped(Angle angle) {
  if (angle.radians() > -std::numbers::pi && angle.radians() <= std::numbers::pi) return angle;
  const double turns = angle.radians() / (2.0 * std::numbers::pi);
  double rest = (turns - std::floor(turns)) * 2.0 * std::numbers::pi;
  if (rest > std::numbers::pi) rest -= 2.0 * std::numbers::pi;
  return Angle::Radians(rest);
}

}  // namespace fairlead
