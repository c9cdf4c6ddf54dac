// SPDX-License-Identifier: Apache-2.0
// The files that cmake/page.cmake packed into the program.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

namespace fairlead {

struct PageFile {
  std::string_view path;  // "/index.html"
  std::string_view tag;   // the first 16 digits of the SHA-256 of its bytes
  std::span<const std::uint8_t> gzipped;
};

// Empty if the page had not been built.
std::span<const PageFile> PageFiles();

}  // namespace fairlead
