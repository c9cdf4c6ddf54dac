// SPDX-License-Identifier: Apache-2.0
// The hash chain, byte by byte as docs/journal-format.md describes it for a stranger.
#pragma once

#include <memory>
#include <string>
#include <string_view>

#include "casebook/entry.h"

namespace fairlead {

// The canonical bytes of every member but `data`, `prev` and `hash`: big-endian whole numbers, texts with their length.
std::string HeaderBytes(const Entry& entry);

// Hashes without fetching the algorithm anew for each of thousands of entries. Not for two threads at once.
class ChainHasher {
 public:
  ChainHasher();
  ~ChainHasher();
  ChainHasher(const ChainHasher&) = delete;
  ChainHasher& operator=(const ChainHasher&) = delete;

  Hash OfBytes(std::string_view bytes);
  // SHA-256(prev, header, SHA-256(data)): the payload may go, its hash stays.
  Hash OfEntry(const Hash& prev, const Entry& entry, const Hash& data_hash);

 private:
  struct Digest;
  std::unique_ptr<Digest> digest_;
};

}  // namespace fairlead
