// SPDX-License-Identifier: Apache-2.0
// Where the store keeps a file, for those who copy it as it is.
#pragma once

#include <filesystem>
#include <string>
#include <system_error>

namespace fairlead {

// DATA/images/ab/ab12... `hash` is 64 small hexadecimal digits.
inline std::filesystem::path PlaceOfImage(const std::filesystem::path& data, const std::string& hash, bool png) {
  return data / "images" / hash.substr(0, 2) / (hash + (png ? ".png" : ".dcm"));
}

// The stored file; empty if there is none.
inline std::filesystem::path StoredImage(const std::filesystem::path& data, const std::string& hash) {
  for (const bool png : {false, true}) {
    std::filesystem::path path = PlaceOfImage(data, hash, png);
    std::error_code fault;
    if (std::filesystem::is_regular_file(path, fault)) return path;
  }
  return {};
}

}  // namespace fairlead
