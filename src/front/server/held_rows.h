// SPDX-License-Identifier: Apache-2.0
// The practice's rows as the audit reads them, held until one of them changes: neither the sums nor the packed rows are read
// again for every look at the page. Safe from several threads.
#pragma once

#include <filesystem>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "front/server/past_book.h"
#include "front/server/practice.h"
#include "practice/audit/packed.h"
#include "practice/registry/registry.h"

namespace fairlead {

class HeldRows {
 public:
  explicit HeldRows(std::filesystem::path folder = {}) : folder_(std::move(folder)) {}
  struct Found {
    Audit audit;
    Registry registry;
  };
  // Errors: the lab's past cases cannot be read, a journal cannot.
  Result<Found> AuditNow(Practice& practice, const Slice& slice);
  // The nearest past cases of a plan.
  Result<LikeAnswer> Like(Practice& practice, const CaseRow& plan, std::size_t most);

 private:
  // What the journals say now; all that is held of anything older is dropped.
  Result<Registry> Refresh(Practice& practice);
  std::filesystem::path folder_;                           // of past.sqlite; empty: there is none
  std::mutex mutex_;                                       // guards all that follows; of two who ask at once the second finds what the first made
  std::int64_t lab_seq_ = -1;
  std::string past_stamp_, visits_stamp_;
  std::vector<CaseRow> listed_;                            // the lab's own list of past cases
  std::optional<PastBook> past_;
  std::shared_ptr<const AuditBook> book_;
  std::shared_ptr<const PackedCases> packed_;
};

}  // namespace fairlead
