// SPDX-License-Identifier: Apache-2.0
#include "keeping/images/digest.h"

#include <openssl/evp.h>

#include <algorithm>
#include <array>

namespace fairlead {

struct Sha256::State {
  std::unique_ptr<EVP_MD_CTX, decltype(&EVP_MD_CTX_free)> context{EVP_MD_CTX_new(), &EVP_MD_CTX_free};
};

Sha256::Sha256() : state_(std::make_unique<State>()) { EVP_DigestInit_ex(state_->context.get(), EVP_sha256(), nullptr); }
Sha256::~Sha256() = default;
Sha256::Sha256(Sha256&&) noexcept = default;
Sha256& Sha256::operator=(Sha256&&) noexcept = default;

void Sha256::Add(std::span<const std::uint8_t> bytes) { EVP_DigestUpdate(state_->context.get(), bytes.data(), bytes.size()); }

std::string Sha256::Finish() {
  std::array<std::uint8_t, EVP_MAX_MD_SIZE> digest{};
  unsigned size = 0;
  EVP_DigestFinal_ex(state_->context.get(), digest.data(), &size);
  constexpr std::string_view kDigits = "0123456789abcdef";
  std::string hex;
  for (unsigned i = 0; i < size; ++i) {
    hex.push_back(kDigits[digest[i] >> 4]);
    hex.push_back(kDigits[digest[i] & 0xFU]);
  }
  return hex;
}

bool IsHash(std::string_view text) {
  constexpr std::size_t kDigits = 64;
  return text.size() == kDigits && std::ranges::all_of(text, [](char c) { return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f'); });
}

}  // namespace fairlead
