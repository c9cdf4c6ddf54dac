// SPDX-License-Identifier: Apache-2.0
// From the lab's own registry to one that several labs share: in order, idempotent, and never in anybody's way. What could
// not be sent waits in the lab's own store for as long as it takes.
#pragma once

#include <string>
#include <vector>

#include "keeping/registry/registry_store.h"

namespace fairlead {

struct Delivery {
  std::size_t sent = 0;      // rows that the shared store took or had already
  std::int64_t left = 0;     // rows that still wait
};

// What leaves the lab of a row; may take things out of its body.
using Leaves = KeptRow (*)(const KeptRow& row);

// Batch after batch until nothing waits. An error leaves what was not acknowledged waiting; sending again is harmless.
// `lab` is the name under which the rows leave.
Result<Delivery> SendWaiting(RegistryStore& own, RegistryStore& shared, const std::string& lab, Leaves leaves, std::size_t batch = 200);

// "a name of small letters, digits and -, at most 40": whether it is one.
Status CheckLabName(const std::string& lab);

// --- A copy as one text file: a line a row, and last a line with the count and the SHA-256 of all before it.
struct RegistryCopy {
  std::size_t rows = 0;
  std::string sha256;        // hex
};
// Written beside and moved into place, then read back and checked.
Result<RegistryCopy> BackUpRegistry(RegistryStore& store, const std::string& file);
// The same of rows from more than one store.
Result<RegistryCopy> BackUpRows(const std::vector<KeptRow>& rows, const std::string& file);
Result<RegistryCopy> CheckRegistryCopy(const std::string& file);
struct ReadCopy {
  RegistryCopy copy;
  std::vector<KeptRow> rows;
};
Result<ReadCopy> ReadRegistryCopy(const std::string& file);  // the same, with its rows
// Puts the rows of a checked copy back; newer rows that are there stay. Errors: the copy is damaged (nothing is written).
Result<RegistryCopy> RestoreRegistry(RegistryStore& store, const std::string& file);

}  // namespace fairlead
