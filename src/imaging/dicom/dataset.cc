// SPDX-License-Identifier: Apache-2.0
#include "imaging/dicom/dataset.h"

#include <openssl/evp.h>

#include <algorithm>
#include <bit>
#include <charconv>
#include <cmath>

namespace fairlead {
namespace {

constexpr std::string_view kImplementation = "2.25.93104829174562038175629130487562910384";  // chosen once

}  // namespace

void Put16(FileBytes& out, std::size_t value) {
  out.push_back(static_cast<std::uint8_t>(value & 0xFF));
  out.push_back(static_cast<std::uint8_t>((value >> 8) & 0xFF));
}

void Put32(FileBytes& out, std::size_t value) {
  Put16(out, value & 0xFFFF);
  Put16(out, (value >> 16) & 0xFFFF);
}

void PutElement(FileBytes& out, std::uint32_t tag, std::string_view vr, const FileBytes& value) {
  Put16(out, tag >> 16);
  Put16(out, tag & 0xFFFF);
  out.insert(out.end(), vr.begin(), vr.end());
  if (vr == "OB" || vr == "OW" || vr == "SQ" || vr == "UT") {
    Put16(out, 0);
    Put32(out, value.size());
  } else {
    Put16(out, value.size());
  }
  out.insert(out.end(), value.begin(), value.end());
}

void DataSet::Text(std::uint32_t tag, std::string_view vr, std::string_view text) {
  FileBytes value(text.begin(), text.end());
  if (value.size() % 2 == 1) value.push_back(vr == "UI" ? 0 : ' ');
  elements_[tag] = {std::string(vr), std::move(value)};
}

void DataSet::Short(std::uint32_t tag, std::span<const int> values) {
  FileBytes value;
  for (const int v : values) Put16(value, static_cast<std::size_t>(v));
  elements_[tag] = {"US", std::move(value)};
}

void DataSet::Long(std::uint32_t tag, std::uint32_t v) {
  FileBytes value;
  Put32(value, v);
  elements_[tag] = {"UL", std::move(value)};
}

void DataSet::Real(std::uint32_t tag, double v) {
  const auto bits = std::bit_cast<std::uint64_t>(v);
  FileBytes value;
  Put32(value, bits & 0xFFFFFFFF);
  Put32(value, bits >> 32);
  elements_[tag] = {"FD", std::move(value)};
}

void DataSet::OneItem(std::uint32_t tag, const DataSet& item) {
  const FileBytes inside = item.Written();
  FileBytes value;
  Put32(value, 0xE000FFFE);
  Put32(value, inside.size());
  value.insert(value.end(), inside.begin(), inside.end());
  elements_[tag] = {"SQ", std::move(value)};
}

FileBytes DataSet::Written() const {
  FileBytes out;
  for (const auto& [tag, element] : elements_) PutElement(out, tag, element.vr, element.value);
  return out;
}

std::string DecimalText(double value) {
  std::array<char, 32> text{};
  const double rounded = std::floor(value * 1e5 + 0.5) / 1e5 + 0.0;
  return {text.data(), std::to_chars(text.data(), text.data() + text.size(), rounded).ptr};
}

FileDigest DigestOf(std::span<const std::uint8_t> bytes) {
  FileDigest digest{};
  unsigned int size = 0;
  EVP_Digest(bytes.data(), bytes.size(), digest.data(), &size, EVP_sha256(), nullptr);
  return digest;
}

std::string UidOf(const FileDigest& digest) {
  std::array<std::uint8_t, 16> uuid{};
  std::copy_n(digest.begin(), 16, uuid.begin());
  uuid[6] = static_cast<std::uint8_t>((uuid[6] & 0x0F) | 0x80);
  uuid[8] = static_cast<std::uint8_t>((uuid[8] & 0x3F) | 0x80);
  std::string digits;
  while (std::any_of(uuid.begin(), uuid.end(), [](std::uint8_t b) { return b != 0; })) {
    unsigned rest = 0;
    for (std::uint8_t& byte : uuid) {
      const unsigned value = rest * 256 + byte;
      byte = static_cast<std::uint8_t>(value / 10);
      rest = value % 10;
    }
    digits.insert(digits.begin(), static_cast<char>('0' + rest));
  }
  return "2.25." + digits;
}

std::string UidOf(std::string_view text) {
  const FileBytes bytes(text.begin(), text.end());
  return UidOf(DigestOf(bytes));
}

FileBytes FilePreamble(std::string_view storage_class, std::string_view syntax, const std::string& instance) {
  DataSet meta;
  meta.Raw(0x00020001, "OB", {0, 1});
  meta.Text(0x00020002, "UI", storage_class);
  meta.Text(0x00020003, "UI", instance);
  meta.Text(0x00020010, "UI", syntax);
  meta.Text(0x00020012, "UI", kImplementation);
  meta.Text(0x00020013, "SH", "FAIRLEAD");
  const FileBytes rest = meta.Written();
  FileBytes out(132, 0);
  FileBytes length;
  out[128] = 'D', out[129] = 'I', out[130] = 'C', out[131] = 'M';
  Put32(length, rest.size());
  PutElement(out, 0x00020000, "UL", length);
  out.insert(out.end(), rest.begin(), rest.end());
  return out;
}

}  // namespace fairlead
