// SPDX-License-Identifier: Apache-2.0
// A whole chain taken out of one journal and into another, byte for byte: the same hashes, the same times. Checked before
// anything is written; one transaction.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "casebook/entry.h"
#include "keeping/journal/journal.h"
#include "measure/instant.h"
#include "measure/result.h"

namespace fairlead {

inline constexpr std::size_t kMostCarried = 200'000;  // entries of one chain; chosen: 400 times a long case

struct CarriedEntry {
  Entry entry;                      // header, seq, recorded and hash; `data` and `prev` are not filled
  std::optional<std::string> data;  // the bytes as they came; absent: struck out
  Hash data_hash{};
  Instant struck;                   // of a payload that was struck out: when and why
  std::string struck_because;
};

struct CarriedChain {
  std::string case_id;
  std::vector<CarriedEntry> entries;  // by seq
  Hash head() const { return entries.empty() ? Hash{} : entries.back().entry.hash; }
};

// Errors: no such case; the chain does not hold (it is not carried on).
Result<CarriedChain> CarryOut(const Journal& journal, const std::string& case_id);

// Whether the chain holds by itself: places, hashes, ids, sizes, what amends what, and no time of the store after `now`.
// Errors name the first entry that is wrong.
Status CheckCarried(const CarriedChain& chain, Instant now);

enum class CarriedIn { kNew, kLonger, kThere };  // `kLonger`: this journal had its beginning; `kThere`: all of it, or more

// Writes checked chains, or the parts of them that are missing: all or none. With `only_look` nothing is written and the answer is
// what would come, in their order.
// Errors: the case is here with other entries; an entry's id is in another case; what Append says of the disk.
Result<std::vector<CarriedIn>> CarryIn(Journal& journal, const std::vector<const CarriedChain*>& chains, bool only_look);

// The data folder of a journal; empty if it has none.
std::filesystem::path FolderOf(const Journal& journal);

// What a journal can do beside its own calls; carry.cc asks for it.
class CarriesChains {
 public:
  virtual ~CarriesChains() = default;
  virtual const std::filesystem::path& Folder() const = 0;
  virtual Result<CarriedChain> Out(const std::string& case_id) const = 0;
  virtual Result<std::vector<CarriedIn>> In(const std::vector<const CarriedChain*>& chains, bool only_look) = 0;
};

}  // namespace fairlead
