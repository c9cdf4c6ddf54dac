// SPDX-License-Identifier: Apache-2.0
// The data elements of a DICOM file (PS3.5 section 7, PS3.10 section 7), read without a data dictionary: only the tags
// that the reader of runs needs have a type here. Hostile bytes are expected: nesting, lengths and counts are bounded,
// nothing is allocated for a length that the file does not hold.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "measure/result.h"

namespace fairlead {

using Tag = std::uint32_t;  // group in the high half
using Bytes = std::span<const std::uint8_t>;

constexpr int kDeepestNesting = 64;  // practice: the deepest real file seen has 5

struct Element;

struct Item {
  std::vector<Element> elements;
};

struct Element {
  Tag tag = 0;
  std::array<char, 2> vr{};  // "UN" when not known
  bool big_endian = false;
  Bytes value;               // empty for a sequence
  std::vector<Item> items;   // of a sequence
};

// The element 7FE0,0010 of the top level.
struct PixelElement {
  Bytes bytes;               // as far as the file holds them
  std::size_t declared = 0;  // bytes that the file promises; 0 when encapsulated
  bool encapsulated = false;
  bool words = false;        // OW: 16-bit words in the file's byte order
};

struct DicomFile {
  std::string transfer_syntax;        // UID; empty if the file says none
  bool big_endian = false;
  bool guessed_syntax = false;        // no file meta information: the encoding was guessed from the bytes
  Item dataset;                       // the top level up to the pixel data
  std::optional<PixelElement> pixels;
  std::vector<std::uint8_t> inflated;  // what the spans point into when the file is deflated
};

bool LooksLikeDicom(Bytes file);

constexpr std::size_t kMostElements = 400'000;  // chosen: 1 000 frames with 400 elements each

// Errors: not DICOM; cut off before the pixel data; nested deeper than kDeepestNesting; deflated data that is broken; more
// elements than `most`.
Result<DicomFile> ParseDicom(Bytes file, std::size_t most = kMostElements);

// Null if the item has no such element.
const Element* Find(const Item& item, Tag tag);

// The first item of a sequence; null if there is none.
const Item* FirstItem(const Item& item, Tag sequence);

// Text without padding; empty if absent.
std::string TextOf(const Item& item, Tag tag);

// All values as numbers, from text or binary. Values that are no finite number are left out and `*dropped` is set.
std::vector<double> NumbersOf(const Item& item, Tag tag, bool* dropped = nullptr);

// The first value.
std::optional<double> NumberOf(const Item& item, Tag tag);

}  // namespace fairlead
