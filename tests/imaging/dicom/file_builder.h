// SPDX-License-Identifier: Apache-2.0
// Makes small DICOM files for the tests, explicit VR little endian (PS3.5 section 7, PS3.10 section 7).
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "imaging/dicom/elements.h"
#include "imaging/dicom/tags.h"

namespace fairlead {

using FileBytes = std::vector<std::uint8_t>;

inline void PutLittle(FileBytes& bytes, std::uint32_t value, int size) {
  for (int i = 0; i < size; ++i) bytes.push_back(static_cast<std::uint8_t>(value >> (8 * i) & 0xFFU));
}

inline void PutTag(FileBytes& bytes, Tag tag) {
  PutLittle(bytes, tag >> 16, 2);
  PutLittle(bytes, tag & 0xFFFFU, 2);
}

inline void PutShort(FileBytes& bytes, Tag tag, std::string_view vr, const FileBytes& value) {
  PutTag(bytes, tag);
  bytes.insert(bytes.end(), vr.begin(), vr.end());
  PutLittle(bytes, static_cast<std::uint32_t>(value.size()), 2);
  bytes.insert(bytes.end(), value.begin(), value.end());
}

inline void PutLong(FileBytes& bytes, Tag tag, std::string_view vr, std::uint32_t length) {
  PutTag(bytes, tag);
  bytes.insert(bytes.end(), vr.begin(), vr.end());
  PutLittle(bytes, 0, 2);
  PutLittle(bytes, length, 4);
}

constexpr std::uint32_t kUndefinedLength = 0xFFFF'FFFF;

// A file that grows by calls, in the order of the calls.
class FileBuilder {
 public:
  explicit FileBuilder(std::string_view syntax = "1.2.840.10008.1.2.1") : bytes_(128, 0) {
    for (const char c : std::string_view("DICM")) bytes_.push_back(static_cast<std::uint8_t>(c));
    Text(tags::kTransferSyntax, "UI", syntax);
  }
  FileBuilder& Text(Tag tag, std::string_view vr, std::string_view text) {
    FileBytes value(text.begin(), text.end());
    if (value.size() % 2 == 1) value.push_back(vr == "UI" ? 0 : ' ');
    PutShort(bytes_, tag, vr, value);
    return *this;
  }
  FileBuilder& Number(Tag tag, std::uint32_t number) {
    FileBytes value;
    PutLittle(value, number, 2);
    PutShort(bytes_, tag, "US", value);
    return *this;
  }
  FileBuilder& Raw(const FileBytes& bytes) {
    bytes_.insert(bytes_.end(), bytes.begin(), bytes.end());
    return *this;
  }
  FileBuilder& Pixels(const FileBytes& pixels, std::string_view vr = "OB") {
    PutLong(bytes_, tags::kPixelData, vr, static_cast<std::uint32_t>(pixels.size()));
    return Raw(pixels);
  }
  // Encapsulated: an empty offset table, then these fragments.
  FileBuilder& Fragments(const std::vector<FileBytes>& fragments, const FileBytes& offsets = {}) {
    PutLong(bytes_, tags::kPixelData, "OB", kUndefinedLength);
    Item(offsets);
    for (const FileBytes& fragment : fragments) Item(fragment);
    PutTag(bytes_, 0xFFFE'E0DD);
    PutLittle(bytes_, 0, 4);
    return *this;
  }
  const FileBytes& bytes() const { return bytes_; }

 private:
  void Item(const FileBytes& value) {
    PutTag(bytes_, 0xFFFE'E000);
    PutLittle(bytes_, static_cast<std::uint32_t>(value.size()), 4);
    Raw(value);
  }
  FileBytes bytes_;
};

// The start of an angiogram of this size: everything but pixels.
inline FileBuilder Angiogram(int rows, int columns, int frames, std::string_view syntax = "1.2.840.10008.1.2.1") {
  FileBuilder file(syntax);
  file.Text(tags::kSopClass, "UI", "1.2.840.10008.5.1.4.1.1.12.1").Text(tags::kModality, "CS", "XA");
  file.Number(tags::kSamples, 1).Text(tags::kPhotometric, "CS", "MONOCHROME2").Text(tags::kFrames, "IS", std::to_string(frames));
  file.Number(tags::kRows, static_cast<std::uint32_t>(rows)).Number(tags::kColumns, static_cast<std::uint32_t>(columns));
  file.Number(tags::kBitsAllocated, 8).Number(tags::kBitsStored, 8).Number(tags::kHighBit, 7).Number(tags::kPixelRepresentation, 0);
  return file;
}

// N sequences, each inside the one before.
inline FileBytes NestedSequences(int depth) {
  FileBytes bytes;
  for (int i = 0; i < depth; ++i) {
    PutLong(bytes, 0x0040'A730, "SQ", kUndefinedLength);
    PutTag(bytes, 0xFFFE'E000);
    PutLittle(bytes, kUndefinedLength, 4);
  }
  for (int i = 0; i < depth; ++i) {
    for (const Tag end : {0xFFFE'E00DU, 0xFFFE'E0DDU}) {
      PutTag(bytes, end);
      PutLittle(bytes, 0, 4);
    }
  }
  return bytes;
}

}  // namespace fairlead
