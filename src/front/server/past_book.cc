// SPDX-License-Identifier: Apache-2.0
#include "front/server/past_book.h"

#include <set>
#include <string>

#include "front/server/registry_kept.h"

namespace fairlead {

Result<PastBook> PastBook::Read(const std::filesystem::path& data, const Registry& registry, const std::vector<CaseRow>& listed) {
  PastBook book;
  if (HasPast(data)) {
    auto store = OpenPast(data);
    if (!store.ok()) return store.error();
    book.store_ = std::move(*store);
  }
  std::set<std::string> visits, both;
  for (const LabVisit& visit : registry.visits) {
    if (visits.insert(visit.row.id).second) book.change_.in.push_back(visit.row);
  }
  both = visits;
  for (const CaseRow& row : listed) both.insert(row.id);
  std::set<std::string> there = visits;
  if (book.store_ != nullptr) {
    auto named = book.store_->RowsNamed(kPastLab, {both.begin(), both.end()});
    if (!named.ok()) return named.error();
    for (const KeptRow& row : *named) {
      if (there.insert(row.id).second) continue;  // of the lab's list: as it was imported
      if (auto read = CaseRowOf(row)) book.change_.out.push_back(std::move(*read));
    }
  }
  for (const CaseRow& row : listed) {
    if (there.insert(row.id).second) book.change_.in.push_back(row);
  }
  return book;
}

Result<AuditBook> PastBook::Book() const {
  AuditBook book;
  if (store_ == nullptr) {
    if (!ChangeBook(book, change_)) return Error{"the cases cannot be counted", "", "tell who looks after the program"};
    return book;
  }
  auto kept = ReadBook(*store_, kPastLab);
  if (!kept.ok()) return kept.error();
  if (auto changed = ChangeBookOf(*store_, kPastLab, change_, *kept); !changed.ok()) return changed.error();
  return kept;
}

Result<PackedCases> PastBook::Rows(const Slice& slice) const {
  PackedCases rows;
  if (store_ != nullptr) {
    auto kept = ReadPacked(*store_, kPastLab, slice);
    if (!kept.ok()) return kept.error();
    rows = std::move(*kept);
  }
  std::set<std::string_view> gone;
  for (const CaseRow& row : change_.out) gone.insert(row.id);
  rows.Leave(gone);
  for (const CaseRow& row : change_.in) rows.Add(row);
  rows.Sort();
  return rows;
}

Result<LikeAnswer> PastBook::Like(const CaseRow& plan, std::size_t most) const {
  LikeSearch search(plan, most);
  for (const CaseRow& row : change_.in) search.Take(row);
  std::vector<CaseRow> read;
  if (store_ != nullptr) {
    std::set<std::string_view> gone;
    for (const CaseRow& row : change_.out) gone.insert(row.id);
    auto found = SearchLike(*store_, kPastLab, search, gone);
    if (!found.ok()) return found.error();
    search = std::move(*found);
    auto rows = store_->RowsNamed(kPastLab, search.Unread());
    if (!rows.ok()) return rows.error();
    for (const KeptRow& row : *rows) {
      if (auto one = CaseRowOf(row)) read.push_back(std::move(*one));
    }
  }
  return search.Answer(read);
}

Result<Audit> PastBook::AuditIn(const Slice& slice) const {
  if (IsEverything(slice)) {
    auto book = Book();
    if (!book.ok()) return book.error();
    return AuditOf(*book);
  }
  auto rows = Rows(slice);
  if (!rows.ok()) return rows.error();
  return RunAudit(*rows, slice);
}

}  // namespace fairlead
