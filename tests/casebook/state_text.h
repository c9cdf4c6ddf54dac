// SPDX-License-Identifier: Apache-2.0
// A state as plain text, every part of it but the words for people: for comparing two states and for the states that kept journals must fold to.
#pragma once

#include <string>

#include "casebook/entry_json.h"
#include "casebook/fold.h"

namespace fairlead {

inline std::string SeqList(const State& state, const std::vector<EntryIndex>& indices) {
  std::string text;
  for (const EntryIndex index : indices) text += " " + std::to_string(state.entries[index].seq);
  return text.empty() ? " none" : text;
}

inline std::string StateText(const State& state) {
  std::string text = "seq " + std::to_string(state.seq) + "\nnot understood " + std::to_string(state.not_understood) + "\n";
  text += "case" + SeqList(state, state.case_opened) + "\n";
  for (const auto& [key, fact] : state.facts) {
    text += "fact " + key.name + (key.of.empty() ? "" : " of " + key.of) + " stands" + SeqList(state, fact.standing) +
            " history" + SeqList(state, fact.history) + "\n";
    if (const FactStated* stated = StandingFact(state, key)) text += "  " + EntryDataJson(*stated) + "\n";
  }
  for (const auto& [hash, image] : state.images)
    text += "image " + hash.substr(0, 8) + " added" + SeqList(state, image.added) + " calibrations" + SeqList(state, image.calibrations) + "\n";
  text += "notes" + SeqList(state, state.notes) + "\n";
  for (const EntryIndex index : JournalLines(state)) {
    const Entry& entry = state.entries[index];
    text += std::to_string(entry.seq) + " " + ToIso(entry.at) + " " + entry.kind + " v" + std::to_string(entry.v) + " " +
            std::string(StatusName(state.status[index])) + "\n";
  }
  return text;
}

}  // namespace fairlead
