// SPDX-License-Identifier: Apache-2.0
// Data elements on their way into a synthetic file: explicit little-endian, sorted by tag (PS3.5 section 7, PS3.10
// section 7). The same content gives the same bytes and the same UIDs.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <map>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace fairlead {

using FileBytes = std::vector<std::uint8_t>;
using FileDigest = std::array<std::uint8_t, 32>;

void Put16(FileBytes& out, std::size_t value);
void Put32(FileBytes& out, std::size_t value);

// The value is already padded.
void PutElement(FileBytes& out, std::uint32_t tag, std::string_view vr, const FileBytes& value);

class DataSet {
 public:
  void Text(std::uint32_t tag, std::string_view vr, std::string_view text);
  void Short(std::uint32_t tag, std::span<const int> values);
  void Short(std::uint32_t tag, int v) { Short(tag, std::span(&v, 1)); }
  void Long(std::uint32_t tag, std::uint32_t v);    // UL
  void Real(std::uint32_t tag, double v);           // FD
  void Raw(std::uint32_t tag, std::string_view vr, FileBytes value) { elements_[tag] = {std::string(vr), std::move(value)}; }
  void OneItem(std::uint32_t tag, const DataSet& item);  // a sequence of one item
  // In the order of tags.
  FileBytes Written() const;

 private:
  struct Element {
    std::string vr;
    FileBytes value;
  };
  std::map<std::uint32_t, Element> elements_;
};

// A decimal string (DS): at most 16 characters, so five decimals.
std::string DecimalText(double value);

FileDigest DigestOf(std::span<const std::uint8_t> bytes);  // SHA-256
// "2.25." and a UUID (version 8, our own bits: RFC 9562 section 5.8) as one decimal number; PS3.5 B.2.
std::string UidOf(const FileDigest& digest);
std::string UidOf(std::string_view text);

// The preamble and the file meta information.
FileBytes FilePreamble(std::string_view storage_class, std::string_view syntax, const std::string& instance);

}  // namespace fairlead
