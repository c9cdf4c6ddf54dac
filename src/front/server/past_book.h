// SPDX-License-Identifier: Apache-2.0
// The practice's cases as an audit reads them: what DATA/past.sqlite keeps of the imported ones, with the journal's visits and
// the lab's own list of past cases put in memory on top. An id that more than one has counts once: as the journal says it, else
// as it was imported.
#pragma once

#include <filesystem>
#include <vector>

#include "front/server/row_packer.h"
#include "practice/registry/registry.h"
#include "practice/similar/similar.h"

namespace fairlead {

class PastBook {
 public:
  // `data` may be empty or without past.sqlite: then the others are all there is. Errors: the file cannot be read.
  static Result<PastBook> Read(const std::filesystem::path& data, const Registry& registry, const std::vector<CaseRow>& listed);
  // Of everything, from the sums alone.
  Result<AuditBook> Book() const;
  // Of a slice: the rows of its days, with others that may be cut away by RunAudit; sorted.
  Result<PackedCases> Rows(const Slice& slice) const;
  // The one or the other, as the slice needs it.
  Result<Audit> AuditIn(const Slice& slice) const;
  // The nearest past cases of a plan. Of the imported ones only those that are shown are read.
  Result<LikeAnswer> Like(const CaseRow& plan, std::size_t most) const;

 private:
  std::shared_ptr<RegistryStore> store_;  // null: there is none
  RowsOutIn change_;                      // what the others take out of it and put in
};

}  // namespace fairlead
