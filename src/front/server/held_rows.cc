// SPDX-License-Identifier: Apache-2.0
#include "front/server/held_rows.h"

#include <iterator>

#include "casebook/knowledge.h"
#include "front/server/registry_kept.h"

namespace fairlead {

Result<HeldRows::Rows> HeldRows::Now(Practice& practice) {
  auto lab = practice.Lab();
  if (!lab.ok()) return lab.error();
  auto registry = practice.RegistryNow();
  if (!registry.ok()) return registry.error();
  std::string stamp;
  for (const LabVisit& visit : registry->visits) stamp += visit.row.id + ' ' + std::to_string(visit.seq) + '\n';
  const std::lock_guard lock(mutex_);  // of two who ask at once the second finds what the first made
  const std::string stamp_now = folder_.empty() ? std::string() : PastStamp(folder_);
  if ((*lab)->seq != lab_seq_ || stamp_now != past_stamp_ || imported_ == nullptr) {
    std::vector<CaseRow> rows;
    if (!folder_.empty()) {
      auto kept = ImportedPast(folder_);
      if (!kept.ok()) return kept.error();
      rows = std::move(*kept);
    }
    if (const KnowledgeText* past = FindKnowledge(**lab, kPastCases)) {
      auto read = ParseCaseRows(past->text);
      if (!read.ok()) return Within("the lab's past cases", read.error());
      rows.insert(rows.end(), std::make_move_iterator(read->begin()), std::make_move_iterator(read->end()));
    }
    imported_ = std::make_shared<const std::vector<CaseRow>>(std::move(rows));
    lab_seq_ = (*lab)->seq, past_stamp_ = folder_.empty() ? std::string() : PastStamp(folder_), packed_ = nullptr;  // the reading itself may leave a file beside
  }
  if (packed_ == nullptr || stamp != stamp_) {
    packed_ = std::make_shared<const PackedCases>(Pack(RowsTogether(*imported_, *registry)));
    stamp_ = std::move(stamp);
  }
  return Rows{imported_, packed_, std::move(*registry)};
}

}  // namespace fairlead
