// SPDX-License-Identifier: Apache-2.0
// libsodium, here and nowhere else.
#include <sodium.h>

#include <array>
#include <cstdlib>

#include "keeping/people/people.h"

namespace fairlead {
namespace {

// RFC 9106 section 4, second recommended option: 64 MiB and three passes (its four lanes are one in this library).
constexpr unsigned long long kPasses = 3;
constexpr std::size_t kMemory = std::size_t{64} << 20;
constexpr std::size_t kShortest = 12;   // chosen; NIST SP 800-63B section 5.1.1.2 asks for at least 8
constexpr std::size_t kLongest = 400;   // bytes

void Ready() {
  if (sodium_init() < 0) std::abort();  // no random numbers: no password can be made
}

// The hash of a password that nobody has, made once.
const std::string& NobodysHash() {
  static const std::string hash = HashPassword("nobody has this one: " + NewPassword()).value();
  return hash;
}

}  // namespace

Result<std::string> HashPassword(std::string_view password) {
  if (password.size() < kShortest || password.size() > kLongest) {
    return Error{"a password has 12 to 400 bytes", "", "use a sentence that nobody else would say"};
  }
  Ready();
  std::array<char, crypto_pwhash_argon2id_STRBYTES> text{};
  if (crypto_pwhash_argon2id_str(text.data(), password.data(), password.size(), kPasses, kMemory) != 0) {
    return Error{"there is no memory to hash a password", "", "free 64 MiB and try again", Fault::kOutside};
  }
  return std::string(text.data());
}

bool PasswordHolds(const Account* person, std::string_view password) {
  Ready();
  if (password.size() > kLongest) return false;
  const std::string& hash = person == nullptr ? NobodysHash() : person->hash;
  const bool same = crypto_pwhash_argon2id_str_verify(hash.c_str(), password.data(), password.size()) == 0;
  return same && person != nullptr;
}

std::string NewPassword() {
  static constexpr std::string_view kLetters = "abcdefghijkmnpqrstuvwxyz23456789";  // 32, without l, o, 0 and 1
  static_assert(kLetters.size() == 32);
  Ready();
  std::string text;
  for (int i = 0; i < 20; ++i) {
    if (i > 0 && i % 5 == 0) text += '-';
    text += kLetters[randombytes_uniform(32)];
  }
  return text;
}

}  // namespace fairlead
