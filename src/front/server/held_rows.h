// SPDX-License-Identifier: Apache-2.0
// The practice's rows as the audit reads them, held until one of them changes: a hundred thousand imported cases are not read
// from their text again for every look at the page. Safe from several threads.
#pragma once

#include <filesystem>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "front/server/practice.h"
#include "practice/audit/packed.h"
#include "practice/registry/registry.h"

namespace fairlead {

class HeldRows {
 public:
  explicit HeldRows(std::filesystem::path folder = {}) : folder_(std::move(folder)) {}
  struct Rows {
    std::shared_ptr<const std::vector<CaseRow>> imported;  // the lab's past cases
    std::shared_ptr<const PackedCases> packed;             // with the journal's visits
    Registry registry;
  };
  // Errors: the lab's past cases cannot be read, a journal cannot.
  Result<Rows> Now(Practice& practice);

 private:
  std::filesystem::path folder_;                           // of past.sqlite; empty: there is none
  std::mutex mutex_;
  std::int64_t lab_seq_ = -1;                              // that `imported_` was read at; all that follows guarded by mutex_
  std::string past_stamp_;
  std::shared_ptr<const std::vector<CaseRow>> imported_;
  std::string stamp_;                                      // of the visits that `packed_` holds
  std::shared_ptr<const PackedCases> packed_;
};

}  // namespace fairlead
