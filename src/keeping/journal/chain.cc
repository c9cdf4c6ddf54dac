// SPDX-License-Identifier: Apache-2.0
#include "keeping/journal/chain.h"

#include <openssl/evp.h>

#include <cstdint>
#include <initializer_list>
#include <stdexcept>

namespace fairlead {
namespace {

constexpr std::string_view kLayout = "fairlead entry 1\n";

void PutWhole(std::string& bytes, std::uint64_t value, int width) {
  for (int i = width - 1; i >= 0; --i) bytes += static_cast<char>((value >> (8 * i)) & 0xff);
}

void PutText(std::string& bytes, std::string_view text) {
  PutWhole(bytes, text.size(), 4);
  bytes += text;
}

void PutSigned(std::string& bytes, std::int64_t value) { PutWhole(bytes, static_cast<std::uint64_t>(value), 8); }

}  // namespace

std::string HeaderBytes(const Entry& entry) {
  std::string bytes(kLayout);
  bytes.reserve(256);
  PutSigned(bytes, entry.v);
  PutText(bytes, entry.id);
  PutText(bytes, entry.case_id);
  PutSigned(bytes, entry.at.ms);
  PutSigned(bytes, entry.written.ms);
  PutText(bytes, entry.by);
  PutText(bytes, entry.device);
  PutText(bytes, entry.kind);
  PutText(bytes, entry.amends);
  PutSigned(bytes, entry.seq);
  PutSigned(bytes, entry.recorded.ms);
  return bytes;
}

struct ChainHasher::Digest {
  EVP_MD* sha256 = EVP_MD_fetch(nullptr, "SHA256", nullptr);
  EVP_MD_CTX* context = EVP_MD_CTX_new();
  ~Digest() {
    EVP_MD_CTX_free(context);
    EVP_MD_free(sha256);
  }
  Hash Of(std::initializer_list<std::string_view> pieces) const {
    Hash hash{};
    int fine = EVP_DigestInit_ex2(context, sha256, nullptr);
    for (const std::string_view piece : pieces) fine &= EVP_DigestUpdate(context, piece.data(), piece.size());
    fine &= EVP_DigestFinal_ex(context, hash.data(), nullptr);
    // A wrong hash would be worse than a stop: the caller turns this into a sentence.
    if (fine != 1) throw std::runtime_error("SHA-256 is not available from the system's OpenSSL");
    return hash;
  }
};

ChainHasher::ChainHasher() : digest_(std::make_unique<Digest>()) {}
ChainHasher::~ChainHasher() = default;

Hash ChainHasher::OfBytes(std::string_view bytes) { return digest_->Of({bytes}); }

Hash ChainHasher::OfEntry(const Hash& prev, const Entry& entry, const Hash& data_hash) {
  const auto view = [](const Hash& hash) {
    return std::string_view(reinterpret_cast<const char*>(hash.data()), hash.size());
  };
  return digest_->Of({view(prev), HeaderBytes(entry), view(data_hash)});
}

}  // namespace fairlead
