// SPDX-License-Identifier: Apache-2.0
#include "front/server/random.h"

#include <sys/random.h>

#include <chrono>
#include <cstdlib>
#include <vector>

namespace fairlead {
namespace {

// getrandom of up to 256 bytes never fails once the kernel's pool is ready (getrandom(2)); without it no secret can be
// made and the program must not go on.
void Fill(std::uint8_t* bytes, std::size_t size) {
  if (size > 256 || ::getrandom(bytes, size, 0) != static_cast<ssize_t>(size)) std::abort();
}

}  // namespace

std::string RandomHex(std::size_t bytes) {
  std::vector<std::uint8_t> raw(bytes);
  Fill(raw.data(), raw.size());
  std::string text;
  for (const std::uint8_t byte : raw) {
    text += "0123456789abcdef"[byte >> 4];
    text += "0123456789abcdef"[byte & 15];
  }
  return text;
}

std::array<std::uint8_t, 10> RandomTail() {
  std::array<std::uint8_t, 10> tail{};
  Fill(tail.data(), tail.size());
  return tail;
}

Instant Now() {
  const auto now = std::chrono::system_clock::now().time_since_epoch();
  return {std::chrono::duration_cast<std::chrono::milliseconds>(now).count()};
}

}  // namespace fairlead
