// SPDX-License-Identifier: Apache-2.0
// A chain read back, held against its hashes. Inside this room only; every call may throw StoreFailure.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "keeping/journal/chain.h"
#include "keeping/journal/store.h"

namespace fairlead {

// "entry 12", as the room's sentences name one.
std::string Nth(std::int64_t seq);

// What is wrong with one stored entry that follows `prev` and should stand at `seq`; empty if nothing is.
std::string ChainFaultOf(ChainHasher& hasher, const StoredEntry& stored, const Hash& prev, std::int64_t seq);

struct CheckedEntries {
  std::vector<Entry> entries;  // by seq, with their data read
  std::string fault;           // the first; nothing behind it was read
};
CheckedEntries ReadChecked(Store& store, ChainHasher& hasher, const StoredCase& chain, std::int64_t after);

// Every fault of the chain, at most 100.
VerifyReport VerifyChain(Store& store, ChainHasher& hasher, const StoredCase& chain);

}  // namespace fairlead
