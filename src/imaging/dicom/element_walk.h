// SPDX-License-Identifier: Apache-2.0
// The walk over a data set's bytes (PS3.5 section 7), once, front to back. Inside this room only.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "imaging/dicom/elements.h"

namespace fairlead {

constexpr std::uint32_t kUndefined = 0xFFFF'FFFF;  // a length that is not told beforehand

struct Encoding {
  bool explicit_vr = true;
  bool big = false;
};

struct HeaderOf {
  Tag tag = 0;
  std::array<char, 2> vr{};
  std::uint32_t length = 0;
};

inline bool Is(std::array<char, 2> vr, std::string_view name) { return vr[0] == name[0] && vr[1] == name[1]; }

Error CutOff(std::size_t at);

class Walker {
 public:
  Walker(Bytes bytes, Encoding encoding, std::size_t start, std::size_t most = kMostElements)
      : bytes_(bytes), encoding_(encoding), at_(start), most_(most) {}

  std::size_t at() const { return at_; }

  // Errors: the bytes end in it.
  Result<HeaderOf> Header();

  // Elements until `end`, an item's delimiter or, at the top level, the pixel data (left to the caller).
  // Errors: cut off; an item where an element should be; nested too deep; more than `most` elements.
  Result<Item> Elements(std::size_t end, int depth, bool top, HeaderOf* pixels);

 private:
  std::size_t left() const { return bytes_.size() - at_; }
  std::uint16_t Read16(std::size_t at) const;
  std::uint32_t Read32(std::size_t at) const;
  Status Take(const HeaderOf& header, std::size_t end, int depth, Item& item);
  Status Sequence(const HeaderOf& header, int depth, Element& element);
  Status Items(std::size_t end, bool undefined, int depth, Element& element);
  Status SkipFragments();

  Bytes bytes_;
  Encoding encoding_;
  std::size_t at_ = 0;
  std::size_t most_ = kMostElements;
  std::size_t count_ = 0;
};

}  // namespace fairlead
