// SPDX-License-Identifier: Apache-2.0
#include "front/server/held_rows.h"

#include "casebook/knowledge.h"
#include "front/server/registry_kept.h"

namespace fairlead {

Result<Registry> HeldRows::Refresh(Practice& practice) {
  auto lab = practice.Lab();
  if (!lab.ok()) return lab.error();
  auto registry = practice.RegistryNow();
  if (!registry.ok()) return registry.error();
  std::string visits;
  for (const LabVisit& visit : registry->visits) visits += visit.row.id + ' ' + std::to_string(visit.seq) + '\n';
  const std::string past = folder_.empty() ? std::string() : PastStamp(folder_);
  if ((*lab)->seq == lab_seq_ && past == past_stamp_ && visits == visits_stamp_ && past_) return registry;
  past_.reset(), book_ = nullptr, packed_ = nullptr;
  listed_.clear();
  if (const KnowledgeText* list = FindKnowledge(**lab, kPastCases)) {
    auto read = ParseCaseRows(list->text);
    if (!read.ok()) return Within("the lab's past cases", read.error());
    listed_ = std::move(*read);
  }
  auto book = PastBook::Read(folder_, *registry, listed_);
  if (!book.ok()) return book.error();
  past_ = std::move(*book);
  lab_seq_ = (*lab)->seq, visits_stamp_ = std::move(visits);
  past_stamp_ = folder_.empty() ? std::string() : PastStamp(folder_);  // the reading itself may leave a file beside
  return registry;
}

Result<HeldRows::Found> HeldRows::AuditNow(Practice& practice, const Slice& slice) {
  std::shared_ptr<const AuditBook> book;
  std::shared_ptr<const PackedCases> rows;
  Registry registry;
  {
    const std::lock_guard lock(mutex_);
    auto now = Refresh(practice);
    if (!now.ok()) return now.error();
    registry = std::move(*now);
    if (IsEverything(slice) && book_ == nullptr) {
      auto read = past_->Book();
      if (!read.ok()) return read.error();
      book_ = std::make_shared<const AuditBook>(std::move(*read));
    } else if (!IsEverything(slice) && packed_ == nullptr) {
      auto read = past_->Rows({});
      if (!read.ok()) return read.error();
      packed_ = std::make_shared<const PackedCases>(std::move(*read));
    }
    book = book_, rows = packed_;
    // A reading that brought an older file forward changed it.
    if (!folder_.empty()) past_stamp_ = PastStamp(folder_);
  }
  return Found{IsEverything(slice) ? AuditOf(*book) : RunAudit(*rows, slice), std::move(registry)};
}

Result<LikeAnswer> HeldRows::Like(Practice& practice, const CaseRow& plan, std::size_t most) {
  const std::lock_guard lock(mutex_);
  if (auto registry = Refresh(practice); !registry.ok()) return registry.error();
  return past_->Like(plan, most);
}

}  // namespace fairlead
