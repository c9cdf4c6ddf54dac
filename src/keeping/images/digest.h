// SPDX-License-Identifier: Apache-2.0
// SHA-256 of bytes as they come (FIPS 180-4, by OpenSSL).
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <string_view>

namespace fairlead {

class Sha256 {
 public:
  Sha256();
  ~Sha256();
  Sha256(Sha256&&) noexcept;
  Sha256& operator=(Sha256&&) noexcept;
  void Add(std::span<const std::uint8_t> bytes);
  // 64 small hex digits; call once.
  std::string Finish();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

// 64 small hex digits and nothing else: the only text from outside that may become part of a path.
bool IsHash(std::string_view text);

}  // namespace fairlead
