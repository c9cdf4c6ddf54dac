// SPDX-License-Identifier: Apache-2.0
// A file's bytes into the store and the case: a run, or else a dose report.
#include "front/server/case_dose.h"
#include "front/server/practice.h"
#include "keeping/images/doses.h"

namespace fairlead {

Status Practice::TakeFile(const std::string& case_id, std::span<const std::uint8_t> file, const std::string& device) {
  auto upload = images_->Begin();
  if (!upload.ok()) return upload.error();
  if (auto added = (*upload)->Add(file); !added.ok()) return added;
  auto imported = (*upload)->Finish({}, {});
  if (!imported.ok()) {
    auto dose = FinishDose(**upload, {});
    if (!dose.ok()) return imported.error();
    auto joined = AddDose(*this, case_id, dose->hash, false, device);
    return joined.ok() ? Status(Done{}) : joined.error();
  }
  auto entry = AddImage(case_id, Remember(std::move(imported->run))->run, device);
  if (!entry.ok()) return entry.error();
  return Done{};
}

}  // namespace fairlead
