// SPDX-License-Identifier: Apache-2.0
#include "reasoning/spaces/space.h"

#include <charconv>
#include <cmath>

namespace fairlead {
namespace {

constexpr double kRounding = 1e-9;  // chances typed as decimals add up to 1 only to rounding

Error Wrong(std::string_view text, std::string what) {
  return {std::move(what), std::string(text.substr(0, 40)),
          "write lumen, plaque, outside or unknown, or chances: plaque=0.9, or lumen=0.3,plaque=0.6"};
}

double* Member(SpaceOdds& odds, std::string_view name) {
  if (name == "lumen") return &odds.lumen;
  if (name == "plaque") return &odds.plaque;
  if (name == "outside") return &odds.outside;
  return nullptr;
}

}  // namespace

Side SideOf(const SpaceOdds& odds) {
  if (odds.lumen + odds.plaque >= kSureEnough - kRounding) return Side::kInside;
  if (odds.outside >= kSureEnough - kRounding) return Side::kOutside;
  return Side::kUnknown;
}

std::string_view SpaceText(const SpaceOdds& odds) {
  switch (SideOf(odds)) {
    case Side::kInside:
      if (odds.lumen >= kSureEnough - kRounding) return "in the true lumen";
      if (odds.plaque >= kSureEnough - kRounding) return "in plaque";
      return "inside, true lumen or plaque";
    case Side::kOutside: return "outside plaque";
    case Side::kUnknown: break;
  }
  return "unknown";
}

Status CheckOdds(const SpaceOdds& odds) {
  for (const double chance : {odds.lumen, odds.plaque, odds.outside}) {
    if (!std::isfinite(chance) || chance < 0.0 || chance > 1.0) {
      return Error{"a chance is not a number from 0 to 1", "odds of a space", "write it as 0.9"};
    }
  }
  if (odds.lumen + odds.plaque + odds.outside > 1.0 + kRounding) {
    return Error{"the chances of one wire's spaces add up to more than 1", "odds of a space", "lower them; the rest counts as unknown"};
  }
  return Done{};
}

Result<SpaceOdds> ParseSpace(std::string_view text) {
  SpaceOdds odds;
  if (text == "unknown") return odds;
  std::string_view rest = text;
  while (true) {
    const std::string_view piece = rest.substr(0, rest.find(','));
    const std::size_t equal = piece.find('=');
    double* member = Member(odds, piece.substr(0, equal));
    if (member == nullptr) return Wrong(text, "there is no such space");
    double chance = 1.0;
    if (equal != std::string_view::npos) {
      const char* end = piece.data() + piece.size();
      const auto read = std::from_chars(piece.data() + equal + 1, end, chance);
      if (read.ec != std::errc() || read.ptr != end) return Wrong(text, "a chance is not a number");
    } else {
      odds.by_reader = true;  // a plain word is a person's mark
    }
    *member += chance;
    if (piece.size() == rest.size()) break;
    rest.remove_prefix(piece.size() + 1);
  }
  if (auto good = CheckOdds(odds); !good.ok()) return Within(text.substr(0, 40), good.error());
  return odds;
}

SpaceOdds WithReader(const SpaceOdds& measured, const SpaceOdds& mark) { return mark.by_reader ? mark : measured; }

Result<Sign> ParseSign(std::string_view text) {
  if (text == "yes") return Sign::kYes;
  if (text == "no") return Sign::kNo;
  if (text == "unknown") return Sign::kUnknown;
  return Error{"the answer is none of yes, no and unknown", std::string(text.substr(0, 40)), "write one of these"};
}

FarWire FarWireFrom(Side catheter, Sign same_side, Sign inside_ring) {
  if (catheter == Side::kUnknown || same_side == Sign::kUnknown || inside_ring == Sign::kUnknown) return {};
  const bool inside = catheter == Side::kInside;
  const bool same = same_side == Sign::kYes;
  const bool ring = inside_ring == Sign::kYes;
  if ((inside == same) != ring) return {Side::kUnknown, true};
  return {ring ? Side::kInside : Side::kOutside, false};
}

}  // namespace fairlead
