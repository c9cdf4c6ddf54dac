// SPDX-License-Identifier: Apache-2.0
// The lab's knowledge: shelf, limits, rules, priors, signs of each gantry. It is the fold of the lab's own journal; of
// each name the newest text that is not withdrawn counts. A room that uses one reads its text itself and has a default
// for when there is none.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "casebook/entry.h"
#include "casebook/fold.h"

namespace fairlead {

struct KnowledgeText {
  std::string name;      // "shelf"
  std::string owner;     // role that answers for it
  std::string version;   // the owner's own
  std::string text;      // a JSON object, as it came
  std::string entry;     // id of the entry that says it: a `because`
  std::int64_t seq = 0;
  Instant at;            // from when it holds
  Instant recorded;
  std::string by;
  Hash hash{};           // of the entry
};

struct Knowledge {
  std::vector<KnowledgeText> texts;  // by name; each name once
  std::int64_t seq = 0;              // of the last entry folded
  std::size_t not_understood = 0;    // entries of a newer program
};

// `lab` is the fold of the lab's journal: of now or of a past (Fold with AsItWasKnown gives that day's knowledge).
Knowledge KnowledgeOf(const State& lab);

// Null if the lab says nothing under that name.
const KnowledgeText* FindKnowledge(const Knowledge& knowledge, std::string_view name);

}  // namespace fairlead
