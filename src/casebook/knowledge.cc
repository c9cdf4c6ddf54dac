// SPDX-License-Identifier: Apache-2.0
#include "casebook/knowledge.h"

#include <algorithm>

namespace fairlead {

Knowledge KnowledgeOf(const State& lab) {
  Knowledge knowledge;
  knowledge.seq = lab.seq;
  knowledge.not_understood = lab.not_understood;
  for (const auto& [name, standing] : lab.knowledge) {
    if (standing.empty()) continue;
    const Entry& entry = lab.entries[standing.back()];
    const auto* written = std::get_if<KnowledgeWritten>(&entry.data);
    if (written == nullptr) continue;
    knowledge.texts.push_back({name, written->owner, written->version, written->text, entry.id, entry.seq, entry.at,
                               entry.recorded, entry.by, entry.hash});
  }
  return knowledge;
}

const KnowledgeText* FindKnowledge(const Knowledge& knowledge, std::string_view name) {
  const auto found = std::lower_bound(knowledge.texts.begin(), knowledge.texts.end(), name,
                                      [](const KnowledgeText& text, std::string_view wanted) { return text.name < wanted; });
  return found == knowledge.texts.end() || found->name != name ? nullptr : &*found;
}

}  // namespace fairlead
