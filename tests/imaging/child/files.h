// SPDX-License-Identifier: Apache-2.0
// Files for the tests of the child.
#pragma once

#include <fcntl.h>
#include <sys/mman.h>
#include <unistd.h>

#include <cstdint>
#include <fstream>
#include <iterator>
#include <span>
#include <string>
#include <vector>

#include "imaging/child/decode.h"

namespace fairlead {

inline std::vector<std::uint8_t> BytesAt(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

// A file in memory that holds these bytes.
inline Descriptor InMemory(std::span<const std::uint8_t> bytes) {
  Descriptor file(memfd_create("test", MFD_CLOEXEC));
  while (!bytes.empty()) {
    const ssize_t written = write(file.get(), bytes.data(), bytes.size());
    if (written <= 0) return {};
    bytes = bytes.subspan(static_cast<std::size_t>(written));
  }
  return file;
}

// Changes bits at random places: about `rate` of all bits, at least one. The same seed gives the same bytes.
inline std::vector<std::uint8_t> Mutated(std::vector<std::uint8_t> bytes, double rate, std::uint64_t seed) {
  std::uint64_t state = seed * 0x9E37'79B9'7F4A'7C15 + 1;
  const auto next = [&state] {
    state ^= state << 13;
    state ^= state >> 7;
    state ^= state << 17;
    return state;
  };
  const std::uint64_t bits = bytes.size() * 8;
  const auto flips = static_cast<std::uint64_t>(rate * static_cast<double>(bits)) + 1;
  // Half of the changes fall into the first 4 KiB, where a header is: in a large file they would all miss it.
  const std::uint64_t head = bits < 32'768 ? bits : 32'768;
  for (std::uint64_t i = 0; i < flips; ++i) {
    const std::uint64_t bit = next() % (i % 2 == 0 ? head : bits);
    bytes[bit / 8] = static_cast<std::uint8_t>(bytes[bit / 8] ^ 1U << (bit % 8));
  }
  if (next() % 8 == 0) bytes.resize(next() % bytes.size() + 1);
  return bytes;
}

}  // namespace fairlead
