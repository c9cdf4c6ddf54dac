// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/shelf.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>

#include "reasoning/kit/label.h"
#include "reasoning/kit/size.h"

namespace fairlead {
namespace {

char Low(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

bool SameWord(std::string_view a, std::string_view b) {
  return std::ranges::equal(a, b, [](char x, char y) { return Low(x) == Low(y); });
}

bool Holds(std::string_view text, std::string_view word) {
  return std::search(text.begin(), text.end(), word.begin(), word.end(), [](char x, char y) { return Low(x) == Low(y); }) != text.end();
}

bool AtLeast(const std::optional<Length>& has, const std::optional<Length>& wants) {
  return !wants || (has && *has >= *wants - Length::Millimetres(1e-9));
}
bool AtMost(const std::optional<Length>& has, const std::optional<Length>& wants) {
  return !wants || (has && *has <= *wants + Length::Millimetres(1e-9));
}

struct Asked {
  std::string_view field;
  std::optional<Length> Need::*low;
  std::optional<Length> Need::*high;
  SizeUnit unit;
};

constexpr std::string_view kSigns = "<>=";

constexpr auto kAsked = std::to_array<Asked>({{"lumen", &Need::lumen_from, nullptr, SizeUnit::kMillimetre},
                                              {"inner", &Need::lumen_from, nullptr, SizeUnit::kMillimetre},
                                              {"outer", nullptr, &Need::outer_to, SizeUnit::kMillimetre},
                                              {"usable", &Need::usable_from, &Need::usable_to, SizeUnit::kCentimetre},
                                              {"length", &Need::usable_from, &Need::usable_to, SizeUnit::kCentimetre},
                                              {"nominal", &Need::nominal_from, &Need::nominal_to, SizeUnit::kMillimetre},
                                              {"offset", nullptr, &Need::offset_to, SizeUnit::kMillimetre},
                                              {"tip", nullptr, &Need::tip_to, SizeUnit::kInch}});

bool FieldKnown(std::string_view field) {
  return field == "load" || std::ranges::find(kAsked, field, &Asked::field) != kAsked.end();
}

bool Digit(char c) { return c >= '0' && c <= '9'; }

// Signs and commas as people write them: "≥" is ">=", a comma between digits stays.
std::string Plainly(std::string_view text) {
  std::string plain;
  for (std::size_t at = 0; at < text.size(); ++at) {
    const std::string_view rest = text.substr(at);
    if (rest.starts_with("≥") || rest.starts_with("≤")) {
      plain += rest.starts_with("≥") ? ">=" : "<=";
      at += std::string_view("≥").size() - 1;
      continue;
    }
    const bool decimal = at > 0 && at + 1 < text.size() && Digit(text[at - 1]) && Digit(text[at + 1]);
    const bool gap = text[at] == ';' || text[at] == '\t' || (text[at] == ',' && !decimal);
    plain += gap ? ' ' : Low(text[at]);
  }
  return plain;
}

// Does this piece go on from the last one: a sign after a field, an amount after a sign, a unit after a number?
bool GoesOn(const std::string& last, std::string_view piece) {
  constexpr auto kUnits = std::to_array<std::string_view>({"mm", "cm", "in", "inch", "f", "fr", "gf", "g"});
  const bool after_sign = kSigns.find(last.back()) != std::string_view::npos;
  const bool sign_first = kSigns.find(piece.front()) != std::string_view::npos;
  if (after_sign) return true;
  if (sign_first) return last.find_first_of(kSigns) == std::string::npos && FieldKnown(last);
  return Digit(last.back()) && last.find_first_of(kSigns) != std::string::npos && std::ranges::find(kUnits, piece) != kUnits.end();
}

std::vector<std::string> PiecesOf(std::string_view text) {
  const std::string plain = Plainly(text);
  std::string_view rest = plain;
  std::vector<std::string> pieces;
  while (!rest.empty()) {
    const auto end = std::min(rest.find(' '), rest.size());
    const std::string_view piece = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 1, rest.size()));
    if (piece.empty() || piece == "and" || piece == "with" || piece == "&") continue;
    if (!pieces.empty() && GoesOn(pieces.back(), piece)) {
      // "inner lumen >=": the word before the field says nothing more.
      pieces.back() += piece;
    } else if (!pieces.empty() && pieces.back() == "inner" && piece.starts_with("lumen")) {
      pieces.back() = piece;
    } else {
      pieces.emplace_back(piece);
    }
  }
  return pieces;
}

Error Misunderstood(std::string_view piece) {
  return {"this is not understood", fmt::format("'{}'", piece.substr(0, 60)),
          "write a class, a word in the name, 'stock', or lumen, outer, usable, nominal, offset, tip or load with >= or <= and a size"};
}

Status TakeLoad(Need& need, char sign, std::string_view amount) {
  double value = 0.0;
  const auto [end, fault] = std::from_chars(amount.data(), amount.data() + amount.size(), value);
  const std::string_view unit(end, static_cast<std::size_t>(amount.data() + amount.size() - end));
  if (fault != std::errc() || (!unit.empty() && unit != "gf" && unit != "g")) return Misunderstood(amount);
  if (sign != '<') need.tip_load_from = value;
  if (sign != '>') need.tip_load_to = value;
  return Done{};
}

Status TakeBound(Need& need, std::string_view piece, std::size_t at) {
  const char sign = piece[at];
  // "≥ 150 cm" alone can only be a length.
  const std::string_view field = at == 0 && piece.ends_with("cm") ? "usable" : piece.substr(0, at);
  std::string_view amount = piece.substr(at + 1);
  if (amount.starts_with('=')) amount.remove_prefix(1);
  if (field == "load") return TakeLoad(need, sign, amount);
  const auto asked = std::ranges::find(kAsked, field, &Asked::field);
  if (asked == kAsked.end()) return Misunderstood(piece);
  const auto size = ParseSize(amount, asked->unit);
  if (!size.ok()) return size.error();
  if ((sign != '<' && asked->low == nullptr) || (sign != '>' && asked->high == nullptr)) return Misunderstood(piece);
  if (sign != '<') need.*asked->low = size->value;
  if (sign != '>') need.*asked->high = size->value;
  return Done{};
}

}  // namespace

std::vector<std::string> NumbersOf(const Device& device) {
  std::vector<std::string> numbers;
  for (std::string_view rest = device.gtin; !rest.empty();) {
    const auto end = std::min(rest.find_first_of(" ,;/|\t"), rest.size());
    if (end > 0) numbers.push_back(Gtin14(rest.substr(0, end)));
    rest.remove_prefix(std::min(end + 1, rest.size()));
  }
  return numbers;
}

bool HasNumber(const Device& device, std::string_view gtin14) {
  if (device.gtin.empty()) return false;
  const std::vector<std::string> numbers = NumbersOf(device);
  return std::ranges::find(numbers, gtin14) != numbers.end();
}

const Device* FindDevice(const Shelf& shelf, std::string_view name) {
  for (const Device& device : shelf.devices) {
    if (SameWord(device.name, name) || SameWord(device.id, name)) return &device;
  }
  return nullptr;
}

Result<Need> ParseNeed(std::string_view text) {
  Need need;
  for (const std::string& piece : PiecesOf(text)) {
    const auto sign = piece.find_first_of(kSigns);
    if (sign != std::string::npos) {
      const Status taken = TakeBound(need, piece, sign);
      if (!taken.ok()) return taken.error();
    } else if (piece == "stock") {
      need.in_stock = true;
    } else if (piece.starts_with('!') && piece.size() > 1) {
      need.without.push_back(piece.substr(1));
    } else if (const auto kind = ClassOf(piece); kind && !need.kind) {
      need.kind = kind;
    } else {
      need.words.push_back(piece);
    }
    if (need.words.size() + need.without.size() > 8) return Misunderstood(piece);
  }
  return need;
}

Length Widest(const Device& device) {
  Length widest{};
  for (const auto* size : {&device.od_prox, &device.od_dist, &device.profile}) {
    if (*size) widest = std::max(widest, **size);
  }
  return widest;
}

bool Satisfies(const Device& device, const Need& need) {
  if (need.kind && device.kind != *need.kind) return false;
  if (need.in_stock && CountOf(device) == 0) return false;
  if (need.outer_to && (Widest(device) == Length{} || Widest(device) > *need.outer_to + Length::Millimetres(1e-9))) return false;
  if (need.tip_load_from && !(device.tip_load_gf && *device.tip_load_gf >= *need.tip_load_from)) return false;
  if (need.tip_load_to && !(device.tip_load_gf && *device.tip_load_gf <= *need.tip_load_to)) return false;
  const auto says = [&](const std::string& word) {
    return Holds(device.name, word) || Holds(device.label, word) || Holds(device.note, word) || Holds(device.coating, word);
  };
  if (!std::ranges::all_of(need.words, says) || std::ranges::any_of(need.without, says)) return false;
  return AtLeast(device.lumen, need.lumen_from) && AtLeast(device.usable, need.usable_from) &&
         AtMost(device.usable, need.usable_to) && AtLeast(device.nominal, need.nominal_from) &&
         AtMost(device.nominal, need.nominal_to) && AtMost(device.offset, need.offset_to) && AtMost(device.tip, need.tip_to);
}

std::vector<std::size_t> Search(const Shelf& shelf, const Need& need) {
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < shelf.devices.size(); ++i) {
    if (Satisfies(shelf.devices[i], need)) found.push_back(i);
  }
  std::ranges::stable_sort(found, [&](std::size_t i, std::size_t j) {
    const Device& a = shelf.devices[i];
    const Device& b = shelf.devices[j];
    if ((CountOf(a) > 0) != (CountOf(b) > 0)) return CountOf(a) > 0;
    if (Widest(a) != Widest(b)) return Widest(a) < Widest(b);
    const Length long_a = a.usable.value_or(Length{}), long_b = b.usable.value_or(Length{});
    return long_a != long_b ? long_a > long_b : a.name < b.name;
  });
  return found;
}

int UsableCount(const Device& device, std::string_view today) {
  return CountOf(device) - ExpiredCount(device, today);
}

int ExpiredCount(const Device& device, std::string_view today) {
  int count = 0;
  for (const Stock& stock : device.stock) {
    if (!stock.expires.empty() && std::string_view(stock.expires) < today) count += stock.count;
  }
  return count;
}

}  // namespace fairlead
