// SPDX-License-Identifier: Apache-2.0
// Values of data elements as text and numbers.
#include <algorithm>
#include <bit>
#include <charconv>
#include <cmath>
#include <cstring>

#include "imaging/dicom/elements.h"

namespace fairlead {
namespace {

std::string_view Trimmed(std::string_view text) {
  const auto blank = [](char c) { return c == ' ' || c == '\0' || c == '\t' || c == '\r' || c == '\n'; };
  while (!text.empty() && blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && blank(text.back())) text.remove_suffix(1);
  return text;
}

std::string_view AsText(Bytes value) { return {reinterpret_cast<const char*>(value.data()), value.size()}; }

std::uint64_t Word(const Element& element, std::size_t at, std::size_t size) {
  std::uint64_t word = 0;
  for (std::size_t i = 0; i < size; ++i) {
    const std::size_t from = element.big_endian ? at + i : at + size - 1 - i;
    word = word << 8 | element.value[from];
  }
  return word;
}

// Bytes of one binary value of this type; 0 for text.
std::size_t BinarySize(std::array<char, 2> vr) {
  const auto is = [vr](std::string_view name) { return vr[0] == name[0] && vr[1] == name[1]; };
  if (is("US") || is("SS") || is("OW")) return 2;
  if (is("UL") || is("SL") || is("FL") || is("AT")) return 4;
  if (is("FD")) return 8;
  return 0;
}

double BinaryValue(const Element& element, std::size_t at, std::size_t size) {
  const std::uint64_t word = Word(element, at, size);
  const char kind = element.vr[0];
  if (kind == 'F' && size == 4) return static_cast<double>(std::bit_cast<float>(static_cast<std::uint32_t>(word)));
  if (kind == 'F') return std::bit_cast<double>(word);
  if (kind == 'S' && size == 2) return static_cast<std::int16_t>(static_cast<std::uint16_t>(word));
  if (kind == 'S') return static_cast<std::int32_t>(static_cast<std::uint32_t>(word));
  // An attribute tag is two words of 16 bits, the group first.
  if (kind == 'A' && !element.big_endian) return static_cast<double>((word & 0xFFFF) << 16 | word >> 16);
  return static_cast<double>(word);
}

std::optional<double> TextValue(std::string_view text) {
  text = Trimmed(text);
  if (!text.empty() && text.front() == '+') text.remove_prefix(1);
  double value = 0.0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (fault != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

}  // namespace

const Element* Find(const Item& item, Tag tag) {
  const auto found = std::ranges::find(item.elements, tag, &Element::tag);
  return found == item.elements.end() ? nullptr : &*found;
}

const Item* FirstItem(const Item& item, Tag sequence) {
  const Element* element = Find(item, sequence);
  return element == nullptr || element->items.empty() ? nullptr : &element->items.front();
}

std::string TextOf(const Item& item, Tag tag) {
  const Element* element = Find(item, tag);
  return element == nullptr ? std::string() : std::string(Trimmed(AsText(element->value)));
}

std::vector<double> NumbersOf(const Item& item, Tag tag, bool* dropped) {
  std::vector<double> numbers;
  const Element* element = Find(item, tag);
  if (element == nullptr) return numbers;
  if (const std::size_t size = BinarySize(element->vr); size != 0) {
    for (std::size_t at = 0; at + size <= element->value.size(); at += size) {
      const double value = BinaryValue(*element, at, size);
      if (std::isfinite(value)) numbers.push_back(value);
      else if (dropped != nullptr) *dropped = true;
    }
    return numbers;
  }
  std::string_view rest = Trimmed(AsText(element->value));
  while (!rest.empty()) {
    const std::size_t cut = std::min(rest.find('\\'), rest.size());
    const std::optional<double> value = TextValue(rest.substr(0, cut));
    if (value) numbers.push_back(*value);
    else if (dropped != nullptr) *dropped = true;
    rest.remove_prefix(std::min(rest.size(), cut + 1));
  }
  return numbers;
}

std::optional<double> NumberOf(const Item& item, Tag tag) {
  const std::vector<double> numbers = NumbersOf(item, tag);
  return numbers.empty() ? std::nullopt : std::optional(numbers.front());
}

}  // namespace fairlead
