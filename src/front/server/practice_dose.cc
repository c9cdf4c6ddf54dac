// SPDX-License-Identifier: Apache-2.0
// Dose reports of the practice: joined to a case, and read again when they are asked for.
#include <algorithm>

#include "casebook/entry_json.h"
#include "casebook/ulid.h"
#include "front/server/practice.h"
#include "front/server/random.h"
#include "imaging/dosereport/gather.h"

namespace fairlead {
namespace {

DoseGiven GivenBy(const ImportedDose& dose, bool earlier, std::size_t before) {
  const GatheredDose gathered = Gather({dose.report});
  DoseGiven given;
  given.hash = dose.hash;
  given.label = (earlier ? "earlier dose report " : "dose report ") + std::to_string(before + 1);
  given.earlier = earlier;
  for (const IrradiationEvent& event : dose.report.events) {
    if (given.day.empty() && event.started.size() >= 10) given.day = event.started.substr(0, 10);
  }
  if (given.day.empty()) given.day = dose.report.written.substr(0, 10);
  given.events = static_cast<int>(dose.report.events.size());
  // A report whose unit is wrong by powers of ten is still kept; what it says is told when it is read.
  given.air_kerma_gy = std::clamp(std::max(gathered.stated_kerma, gathered.summed_kerma), 0.0, 100.0);
  given.kerma_area_gycm2 = std::clamp(1e4 * std::max(gathered.stated_area_product, gathered.summed_area_product), 0.0, 100'000.0);
  given.fluoroscopy_min = std::clamp(gathered.fluoroscopy_minutes, 0.0, 10'000.0);
  return given;
}

}  // namespace

Result<Receipt> Practice::AddDose(const std::string& case_id, const ImportedDose& dose, bool earlier, const std::string& device) {
  const std::lock_guard lock(mutex_);
  auto held = Find(case_id);
  if (!held.ok()) return held.error();
  const State& state = (*held)->state;
  for (const EntryIndex index : state.doses) {
    const Entry& entry = state.entries[index];
    const auto* given = std::get_if<DoseGiven>(&entry.data);
    if (given != nullptr && given->hash == dose.hash) return Receipt{.id = entry.id, .seq = entry.seq, .recorded = entry.recorded, .hash = entry.hash, .again = true};
  }
  const auto before = static_cast<std::size_t>(std::ranges::count_if(state.entries, [](const Entry& entry) { return std::holds_alternative<DoseGiven>(entry.data); }));
  Entry entry;
  entry.at = entry.written = Now();
  entry.id = NewUlid(entry.at, RandomTail());
  entry.by = "fairlead";
  entry.device = device;
  entry.data = GivenBy(dose, earlier, before);
  const IncomingEntry incoming = MakeIncoming(std::move(entry));
  auto receipts = Write(case_id, **held, {&incoming, 1});
  if (!receipts.ok()) return receipts.error();
  return receipts->front();
}

Status Practice::TakeDose(const std::string& case_id, Upload& upload, const Error& no_run, const std::string& device) {
  auto imported = upload.FinishDose({});
  if (!imported.ok()) return no_run;
  auto entry = AddDose(case_id, *imported, false, device);
  if (!entry.ok()) return entry.error();
  return Done{};
}

Result<std::shared_ptr<const DoseReport>> Practice::DoseReportOf(const std::string& hash) {
  {
    const std::lock_guard lock(image_mutex_);
    if (const auto at = held_doses_.find(hash); at != held_doses_.end()) return at->second;
  }
  auto report = images_->FindDose(hash);
  if (!report.ok()) return report.error();
  auto kept = std::make_shared<const DoseReport>(std::move(*report));
  const std::lock_guard lock(image_mutex_);
  constexpr std::size_t kMostHeld = 200;  // chosen
  if (held_doses_.size() >= kMostHeld) held_doses_.clear();
  held_doses_[hash] = kept;
  return kept;
}

}  // namespace fairlead
