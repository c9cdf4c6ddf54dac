// SPDX-License-Identifier: Apache-2.0
#include "keeping/parcel/tar.h"

#include <fmt/core.h>

#include <algorithm>
#include <numeric>
#include <optional>

namespace fairlead {
namespace {

constexpr std::size_t kBlock = 512;

void PutField(std::string& head, std::size_t at, std::string_view text) { std::ranges::copy(text, head.begin() + static_cast<std::ptrdiff_t>(at)); }

// Octal digits, ended by a space or a zero byte.
std::optional<std::uint64_t> OctalOf(std::string_view field) {
  std::uint64_t value = 0;
  std::size_t digits = 0;
  for (const char c : field) {
    if (c == ' ' && digits == 0) continue;
    if (c == ' ' || c == '\0') break;
    if (c < '0' || c > '7' || ++digits > 12) return std::nullopt;
    value = value << 3 | static_cast<std::uint64_t>(c - '0');
  }
  return digits == 0 ? std::nullopt : std::optional(value);
}

std::uint64_t SumOf(std::string_view head) {
  std::uint64_t sum = 0;
  for (std::size_t i = 0; i < kBlock; ++i) sum += i >= 148 && i < 156 ? std::uint64_t{' '} : static_cast<std::uint8_t>(head[i]);
  return sum;
}

Error NoTar(const std::string& what) { return {what, "the archive", "choose a case that was exported as one file, or its folder"}; }

}  // namespace

std::string TarHead(std::string_view name, std::uint64_t bytes) {
  std::string head(kBlock, '\0');
  PutField(head, 0, name.substr(0, 100));
  PutField(head, 100, "0000644");
  PutField(head, 108, "0000000");
  PutField(head, 116, "0000000");
  PutField(head, 124, fmt::format("{:011o}", bytes));
  PutField(head, 136, "00000000000");
  PutField(head, 156, "0");
  PutField(head, 257, std::string_view("ustar\00000", 8));
  PutField(head, 148, fmt::format("{:06o}", SumOf(head)) + std::string("\0 ", 2));
  return head;
}

std::string TarPadding(std::uint64_t bytes) { return std::string((kBlock - bytes % kBlock) % kBlock, '\0'); }
std::string TarEnd() { return std::string(2 * kBlock, '\0'); }

Result<std::vector<TarMember>> ReadTar(std::span<const std::uint8_t> archive, std::size_t most) {
  std::vector<TarMember> members;
  std::uint64_t at = 0;
  while (archive.size() - at >= kBlock) {
    const std::string_view head(reinterpret_cast<const char*>(archive.data()) + at, kBlock);
    if (std::ranges::all_of(head, [](char c) { return c == '\0'; })) return members;
    if (head.substr(257, 5) != "ustar" || OctalOf(head.substr(148, 8)) != SumOf(head)) return NoTar("this is no archive of a case, or it is damaged");
    const std::string_view field = head.substr(0, 100);
    const std::string name(field.substr(0, std::min(field.find('\0'), field.size())));
    const auto bytes = OctalOf(head.substr(124, 12));
    if (!bytes) return NoTar("a size in it cannot be read");
    at += kBlock;
    if (*bytes > archive.size() - at) return NoTar("it is cut off");
    const char type = head[156];
    if (head[345] != '\0') return NoTar("it holds a name that no case has");
    if (type == '5' && (name == "images/" || name == "images") && *bytes == 0) continue;  // made by hand from a folder
    if (type != '0' && type != '\0') return NoTar("it holds something else than plain files");
    if (members.size() >= most) return NoTar("it holds too many files");
    members.push_back({name, at, *bytes});
    at += std::min<std::uint64_t>(*bytes + (kBlock - *bytes % kBlock) % kBlock, archive.size() - at);
  }
  return NoTar("it is cut off");
}

}  // namespace fairlead
