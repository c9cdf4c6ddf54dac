// SPDX-License-Identifier: Apache-2.0
// The one-file form of a parcel: POSIX ustar (IEEE Std 1003.1, pax, "ustar Interchange Format"), plain files only. Written with
// one owner, one date and one mode, so that the same parcel gives the same bytes.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "measure/result.h"

namespace fairlead {

struct TarMember {
  std::string name;
  std::uint64_t offset = 0, bytes = 0;  // of its contents in the archive
};

std::string TarHead(std::string_view name, std::uint64_t bytes);  // 512 bytes; `name` up to 100, `bytes` below 8 GiB
std::string TarPadding(std::uint64_t bytes);                      // after the contents
std::string TarEnd();

// Errors: no archive of plain files; a sum that does not match; a member that is a link, a folder with a name other than "images/"
// or something special; cut off; more than `most` members.
Result<std::vector<TarMember>> ReadTar(std::span<const std::uint8_t> archive, std::size_t most);

}  // namespace fairlead
