// SPDX-License-Identifier: Apache-2.0
// The lab's journal, as the practice holds it.
#include <algorithm>

#include "casebook/entry_json.h"
#include "front/server/json_text.h"
#include "front/server/lab_json.h"
#include "front/server/practice.h"

namespace fairlead {

Result<std::shared_ptr<const Knowledge>> Practice::Lab(std::optional<Instant> known) {
  const std::lock_guard lock(mutex_);
  if (!known) return LabHeld();
  auto held = Find(std::string(kLabCase));
  if (!held.ok()) return held.error();
  return std::make_shared<const Knowledge>(KnowledgeOf(Fold((*held)->state.entries, AsItWasKnown{*known})));
}

Result<std::shared_ptr<const Knowledge>> Practice::LabHeld() {
  auto held = Find(std::string(kLabCase));
  if (!held.ok()) return held.error();
  const State& state = (*held)->state;
  if (lab_ == nullptr || lab_->seq != state.seq) lab_ = std::make_shared<const Knowledge>(KnowledgeOf(state));
  return lab_;
}

Result<std::string> Practice::LabJson(std::string_view name, std::optional<Instant> known) {
  auto lab = Lab(known);
  if (!lab.ok()) return lab.error();
  if (name.empty()) return KnowledgeJson(**lab);
  Knowledge one{.texts = {}, .seq = (*lab)->seq, .not_understood = (*lab)->not_understood};
  if (const KnowledgeText* text = FindKnowledge(**lab, name)) one.texts.push_back(*text);
  return KnowledgeJson(one);
}

Status FitsChain(std::string_view case_id, std::span<const IncomingEntry> entries) {
  const bool lab = case_id == kLabCase;
  for (const IncomingEntry& incoming : entries) {
    const std::string& kind = incoming.entry.kind;
    if (!lab && kind == "knowledge")
      return Error{"knowledge belongs to the lab's journal, not to a case", "kind", "send it to /api/lab/entries"};
    if (lab && kind != "knowledge" && kind != "withdraw" && kind != "note")
      return Error{"the lab's journal takes no entry of kind \"" + kind + "\"", "kind", "write it in a case"};
  }
  return Done{};
}

std::string ReceiptsJson(std::span<const Receipt> receipts) {
  JsonText json;
  json.Open('{').Key("entries").Open('[');
  for (const Receipt& receipt : receipts) {
    json.Open('{').Member("id", receipt.id).Member("seq", receipt.seq).Member("recorded", ToIso(receipt.recorded));
    json.Member("hash", HexOf(receipt.hash)).Member("again", receipt.again).Close('}');
  }
  return json.Close(']').Close('}').Take();
}

std::string KnowledgeTextJson(const KnowledgeText& text) {
  JsonText json;
  json.Open('{').Member("name", text.name).Member("owner", text.owner).Member("version", text.version);
  json.Member("at", ToIso(text.at)).Member("recorded", ToIso(text.recorded)).Member("by", text.by);
  json.Member("entry", text.entry).Member("seq", text.seq).Member("hash", HexOf(text.hash));
  return json.Key("text").Raw(text.text).Close('}').Take();
}

std::string KnowledgeJson(const Knowledge& knowledge) {
  JsonText json;
  json.Open('{').Member("seq", knowledge.seq).Member("not_understood", knowledge.not_understood);
  json.Key("knowledge").Open('[');
  for (const KnowledgeText& text : knowledge.texts) json.Raw(KnowledgeTextJson(text));
  return json.Close(']').Close('}').Take();
}

}  // namespace fairlead
