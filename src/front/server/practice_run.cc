// SPDX-License-Identifier: Apache-2.0
// The run in the lab, as the practice holds it: what is typed against the state is planned and written in one go.
#include "casebook/run_event.h"
#include "front/server/practice.h"

namespace fairlead {

Result<State> Practice::StateOf(const std::string& case_id, std::optional<CasePicture::Past> past) {
  std::unique_lock lock(mutex_);
  auto held = Find(case_id);
  if (!held.ok()) return held.error();
  if (!past) return (*held)->state;
  std::vector<Entry> entries = (*held)->state.entries;
  lock.unlock();
  return past->known ? Fold(std::move(entries), AsItWasKnown{past->at}) : Fold(std::move(entries), AsItWas{past->at});
}

Result<std::int64_t> Practice::BoardSeqOf(const std::string& case_id) {
  const std::lock_guard lock(mutex_);
  auto held = Find(case_id);
  if (!held.ok()) return held.error();
  return (*held)->board_seq;
}

Result<std::vector<Receipt>> Practice::AppendPlanned(const std::string& case_id, const Plan& plan) {
  const std::lock_guard lock(mutex_);
  auto held = Find(case_id);
  if (!held.ok()) return held.error();
  auto entries = plan((*held)->state);
  if (!entries.ok()) return entries.error();
  if (entries->empty()) return std::vector<Receipt>{};
  if (auto fits = FitsChain(case_id, *entries); !fits.ok()) return fits.error();
  return Write(case_id, **held, *entries);
}

Result<Registry> Practice::RegistryNow() {
  auto lines = [this] {
    const std::lock_guard lock(mutex_);
    return journal_->Cases();
  }();
  if (!lines.ok()) return lines.error();
  Registry registry;
  for (const CaseLine& line : *lines) {  // the lock is let go between cases: an entry waits for one of them at most
    const std::lock_guard lock(mutex_);
    auto held = Find(line.id);
    if (!held.ok()) return Within("case " + line.id, held.error());
    if (!(*held)->visits) (*held)->visits = VisitsOf(line.id, (*held)->state);
    AddVisits(registry, line.id, *(*held)->visits);
  }
  return registry;
}

Result<std::vector<RecordedUse>> Practice::KitUsesNow() {
  const std::lock_guard lock(mutex_);
  auto lines = journal_->Cases();
  if (!lines.ok()) return lines.error();
  std::vector<RecordedUse> uses;
  for (const CaseLine& line : *lines) {
    auto held = Find(line.id);
    if (!held.ok()) return Within("case " + line.id, held.error());
    if (!(*held)->uses) (*held)->uses = UsesOf((*held)->state);
    uses.insert(uses.end(), (*held)->uses->begin(), (*held)->uses->end());
  }
  return uses;
}

}  // namespace fairlead
