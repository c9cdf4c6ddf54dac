// SPDX-License-Identifier: Apache-2.0
// What the screens said at an entry, written beside it. An acceptance is answered with it; at a step of a run it is
// computed and written afterwards, of the journal as it stood at that step, and without the lock of the practice.
#include <algorithm>
#include <array>
#include <utility>

#include "casebook/run_event.h"
#include "casebook/ulid.h"
#include "front/server/practice.h"
#include "front/server/random.h"
#include "front/server/run_shown.h"
#include "front/server/shown.h"
#include "reasoning/assess/assess.h"

namespace fairlead {
namespace {

constexpr double kMissed_min = 24 * 60;  // of a step recorded before, its screens are past; chosen

// It follows from the entry, so that an entry sent twice shows once, and a crash leaves no two.
std::string ShownId(const Entry& entry) {
  std::array<std::uint8_t, 10> tail{};
  std::copy_n(entry.hash.begin(), tail.size(), tail.begin());
  return NewUlid(entry.recorded, tail);
}

}  // namespace

Result<Shown> Practice::ShownAt(const State& state, const Entry& entry) {
  if (!std::holds_alternative<RunEvent>(entry.data)) return Shown{.at_step = "acceptance", .text = ShownText(Assess(StandingFacts(state)))};
  auto lab = LabHeld();
  if (!lab.ok()) return lab.error();
  return Shown{.at_step = StepOf(entry.data), .text = RunShownText(state, **lab, entry)};
}

Status Practice::WriteShown(const std::string& case_id, Held& held, const Entry& entry, Shown shown) {
  Entry own;
  own.id = ShownId(entry);
  if (held.state.places.contains(own.id)) return Done{};
  own.at = entry.at, own.written = Now();
  own.by = "fairlead", own.device = "server";
  own.data = std::move(shown);
  own.kind = KindName(own.data);
  const IncomingEntry incoming = MakeIncoming(std::move(own));
  if (auto receipts = journal_->Append(case_id, {&incoming, 1}); !receipts.ok()) return receipts.error();
  return CatchUp(case_id, held);
}

Status Practice::KeepShown(const std::string& case_id, Held& held, const std::string& id) {
  const auto place = held.state.places.find(id);
  if (place == held.state.places.end()) return Done{};
  const Entry entry = held.state.entries[place->second];
  if (held.state.places.contains(ShownId(entry))) return Done{};
  if (!std::holds_alternative<RunEvent>(entry.data)) {
    auto shown = ShownAt(held.state, entry);
    return shown.ok() ? WriteShown(case_id, held, entry, std::move(*shown)) : shown.error();
  }
  auto lab = LabHeld();
  if (!lab.ok()) return lab.error();
  afterwards_.Put([this, case_id, entry, lab = *lab]() -> Status {
    std::unique_lock lock(mutex_);
    auto now = Find(case_id);
    if (!now.ok()) return now.error();
    std::vector<Entry> until = (*now)->state.entries;
    lock.unlock();
    std::erase_if(until, [&](const Entry& each) { return each.seq > entry.seq; });  // others may have typed since
    Shown shown{.at_step = StepOf(entry.data), .text = RunShownText(Fold(std::move(until)), *lab, entry, kDrawsOnScreen)};
    lock.lock();
    const std::size_t before = (*now)->state.entries.size();
    if (auto written = WriteShown(case_id, **now, entry, std::move(shown)); !written.ok()) return written;
    for (std::size_t i = before; told_ && i < (*now)->state.entries.size(); ++i) told_(AppendedOf(case_id, (*now)->state.entries[i]));
    return Done{};
  });
  return Done{};
}

// The program ended between a step and what belongs to it.
void Practice::KeepMissed(const std::string& case_id, const Held& held) {
  if (!keeps_missed_ || case_id == kLabCase) return;
  std::vector<std::string> missed;
  for (const Entry& entry : held.state.entries) {
    if (StepOf(entry.data).empty() || (Now() - entry.recorded).minutes() > kMissed_min) continue;
    const bool kept = std::ranges::any_of(held.state.entries, [&](const Entry& each) {
      const auto* shown = std::get_if<Shown>(&each.data);
      return shown != nullptr && each.at == entry.at && shown->at_step == StepOf(entry.data);
    });
    if (!kept) missed.push_back(entry.id);
  }
  for (const std::string& id : missed)
    if (!KeepShown(case_id, cases_.at(case_id), id).ok()) return;
}

}  // namespace fairlead
