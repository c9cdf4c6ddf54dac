// SPDX-License-Identifier: Apache-2.0
// The growing end of a chain: what may be added to it. Inside this room only; every call may throw StoreFailure.
#pragma once

#include <span>
#include <vector>

#include "keeping/journal/chain.h"
#include "keeping/journal/store.h"

namespace fairlead {

// Adds the entries in their order to `chain`, which is brought up to date in the store too. Within a transaction of the
// caller's. Errors name the first entry that is refused: of another case, not a ULID, too long, an id that stands for
// something else already, an amendment of what is not there or of another kind. An entry that is there already counts once.
Result<std::vector<Receipt>> AppendTo(Store& store, ChainHasher& hasher, StoredCase chain, std::span<const IncomingEntry> entries, Instant now);

}  // namespace fairlead
